"""JSON routes: parse, call a service, answer. Never a query or a rule."""
