"""Checks of the whole project; the folders mirror the packages."""
