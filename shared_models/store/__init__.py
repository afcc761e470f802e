"""The SQL of the entry log and of the state folded from it, on a connection that somebody else opened."""
