"""Tests of the record kinds, their checks and their doubts."""
