"""The demo: a season whose true values are known, lived through by real phones and a real server."""
