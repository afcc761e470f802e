"""Checks of the calculations: reference values, properties, and comparisons with scipy."""
