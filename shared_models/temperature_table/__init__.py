"""Daily temperatures from a table: plain CSV and the open layout of daily station records; shown before written."""
