"""The exchange between phones and a server."""
