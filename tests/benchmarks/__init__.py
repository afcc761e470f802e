"""How much Pomeward's promises cost: each measure against a floor that runs in the same minutes on the same machine."""
