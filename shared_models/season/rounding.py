"""Rounding at the edge of a report, so that phone and server print the same digits whatever their processors."""

DECIMALS = 6


def edge(value: float) -> float:
    """Six decimals, and whole numbers without a fraction; never minus zero."""
    return round(value, DECIMALS) + 0.0
