"""How the tables of a server came to be what they are, one step a module; run by `server/database/upgrading.py`."""
