"""The phone's file: what was recorded is there, whatever happens."""
