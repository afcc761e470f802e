"""Tests of what the server does for a group."""
