"""One suite for every store: what holds for the phone's file holds for the server's databases."""
