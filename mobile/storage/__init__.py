"""The phone's own database and files. Knows no screen and no network."""
