"""Checks of the shared language; the folders mirror shared_models."""
