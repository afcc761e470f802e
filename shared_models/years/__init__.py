"""Several seasons together: years side by side and pooled, what each tree gave for its work, traps of two seasons."""
