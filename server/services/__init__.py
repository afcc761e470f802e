"""What the server does for a group; owns the transaction. No HTTP inside."""
