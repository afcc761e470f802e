"""Every record kind of Pomeward, validated, one module per subject; `kinds.py` lists them."""
