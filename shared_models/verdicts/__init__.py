"""From the rows of a season to what may be said: which trees are compared, how sure a difference is, what forbids more."""
