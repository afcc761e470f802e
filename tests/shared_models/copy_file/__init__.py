"""Tests of copies as files: what is written, what is read, and what is refused."""
