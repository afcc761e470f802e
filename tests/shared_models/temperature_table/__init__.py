"""Tests of the import of daily temperatures."""
