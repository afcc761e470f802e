"""Importing scores from a table: from its lines to the few records that have to be written. Writes nothing itself."""
