"""Published tables that the program reads, each row with its source and how far to trust it; see SOURCES.md beside."""
