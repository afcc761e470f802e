"""Tests of importing scores from a table, on bare entries."""
