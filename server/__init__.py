"""The server of a group: keeps the shared entries, shows the season. Knows nothing of the phone's code."""
