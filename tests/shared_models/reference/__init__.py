"""Tests of the published tables that the program reads."""
