"""Tests of the SQL that phone and server share, on SQLite files and on PostgreSQL."""
