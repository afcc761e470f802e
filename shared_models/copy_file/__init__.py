"""A copy of a phone's or a group's records as one file: what it says of itself, how it is written, how it is read.

A zip archive of two members: `entries.ndjson` (one entry a line, its canonical text, oldest first) and `manifest.json`.
Works on files that are given; knows no database and no screen.
"""
