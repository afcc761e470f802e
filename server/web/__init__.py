"""Pages for any browser, which work without script. Never a query or a rule."""
