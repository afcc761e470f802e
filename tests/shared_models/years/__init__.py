"""Tests of the report over several seasons."""
