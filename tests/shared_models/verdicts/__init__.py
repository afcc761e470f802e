"""Comparisons of a season: who is compared with whom, what caps it, what is said of it."""
