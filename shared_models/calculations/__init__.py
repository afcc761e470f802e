"""Pure calculations: numbers in, numbers out, standard library only."""
