"""The server over real HTTP, on SQLite files and on a private PostgreSQL."""
