"""Tests of the server's tables: how they came to be, how they are kept."""
