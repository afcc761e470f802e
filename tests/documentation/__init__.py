"""Tests that what the project says about itself is so."""
