"""The server's entry log, state tables and bookkeeping. No HTTP inside."""
