"""Phones and a server through random histories: what breaks a group's one truth, if anything can."""
