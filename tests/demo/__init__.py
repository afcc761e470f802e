"""The demo and its environment."""
