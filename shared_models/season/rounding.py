"""Rounding at the edge of a report, so that phone and server print the same digits whatever their processors."""

DECIMALS = 6


def edge(value: float) -> float:
    """Six decimals, and whole numbers without a fraction; never minus zero."""
    return round(value, DECIMALS) + 0.0


def edge_if_known(value: float | None) -> float | None:
    """The same; what is not known stays so."""
    return None if value is None else edge(value)
