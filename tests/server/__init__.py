"""Tests of the server, on real databases and over real HTTP."""
