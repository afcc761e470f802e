"""Where the marks of a chart stand: data in, shares of the drawing's width and height out. Knows no pixel and no colour.

Phone and page paint the same shapes from these numbers; 0 is the left or lower edge, 1 the right or upper.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

_ROUND_STEPS = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class RangeMark:
    """A dot with its range: where the dot stands and where the line begins and ends [0..1 of the width]."""

    at: float
    left: float
    right: float


@dataclass(frozen=True, slots=True)
class StackedDot:
    """One of many dots: where it stands [0..1 of the width] and in which lane, 0 being the one next to the axis."""

    at: float
    lane: int


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: its left edge and width [0..1 of the width] and its height [0..1 of the height]; None is not known."""

    left: float
    width: float
    height: float | None


def range_mark(value: float, low: float, high: float, full: float = 1.0) -> RangeMark:
    """A value with its range on the scale from 0 to `full`.

    Arguments: value, low, high and full [all in one unit]; low <= value <= high. What lies beyond the scale is drawn
    at its end, so nothing leaves the drawing. Misleads where the scales of two charts that are compared differ.

    >>> range_mark(0.30, 0.10, 0.55)
    RangeMark(at=0.3, left=0.1, right=0.55)
    >>> range_mark(30, -5, 130, full=100)
    RangeMark(at=0.3, left=0.0, right=1.0)
    """
    if not low <= value <= high:
        raise ValueError(f"The value {value} is not within its range {low} to {high}.")
    return RangeMark(_on_scale(value, full), _on_scale(low, full), _on_scale(high, full))


def stacked(values: Sequence[float], apart: float, full: float = 1.0) -> list[StackedDot]:
    """Dots for values, in their order, none covering another: from the smallest on, each in the lowest free lane.

    Arguments: values and full [one unit]; `apart` [0..1 of the width] is how far two dots of a lane must be apart.
    Misleads where `apart` is less than a dot's own width: then dots overlap.

    >>> [(dot.at, dot.lane) for dot in stacked([0.5, 0.1, 0.52], apart=0.05)]
    [(0.5, 0), (0.1, 0), (0.52, 1)]
    """
    if apart <= 0:
        raise ValueError(f"Dots must be apart by more than nothing, not by {apart}.")
    places = [_on_scale(value, full) for value in values]
    lanes = [0] * len(places)
    last_in_lane: list[float] = []
    for index in sorted(range(len(places)), key=lambda each: places[each]):
        lanes[index] = _free_lane(last_in_lane, places[index], apart)
    return [StackedDot(place, lane) for place, lane in zip(places, lanes, strict=True)]


def bars(heights: Sequence[float | None], top: float, filled: float = 0.8) -> list[Bar]:
    """Equally wide bars over equal steps; a step that is not known keeps its place and has no bar.

    Arguments: heights and top [one unit]; `filled` [0..1] is the share of a step that its bar takes. A height of 0 is
    a bar of height 0, which is not the same as None. Misleads where the steps were not equally long.

    >>> bars([1, None], top=2, filled=0.5)
    [Bar(left=0.125, width=0.25, height=0.5), Bar(left=0.625, width=0.25, height=None)]
    """
    if not 0 < filled <= 1:
        raise ValueError(f"A bar takes between nothing and all of its step, not {filled}.")
    step = 1 / len(heights) if heights else 0.0
    return [
        Bar(
            (index + (1 - filled) / 2) * step,
            filled * step,
            None if height is None else _on_scale(height, top),
        )
        for index, height in enumerate(heights)
    ]


def round_top(largest: float) -> float:
    """The end of a scale that holds the largest value: 1, 2 or 5 times a power of ten, at least 1.

    >>> [round_top(largest) for largest in (0, 1, 3.2, 9.625, 21)]
    [1.0, 1.0, 5.0, 10.0, 50.0]
    """
    _refuse_no_number(largest)
    if largest <= 1:
        return 1.0
    power = 10.0 ** math.floor(math.log10(largest))
    return next(step * power for step in _ROUND_STEPS if step * power >= largest)


def far_enough_apart(places: Sequence[float], apart: float) -> list[int]:
    """Which of the labels at rising places [0..1 of the width] can be written: the first, and each `apart` after it.

    >>> far_enough_apart([0.0, 0.1, 0.25, 0.3], apart=0.2)
    [0, 2]
    """
    kept: list[int] = []
    for index, place in enumerate(places):
        if not kept or place - places[kept[-1]] >= apart:
            kept.append(index)
    return kept


def _free_lane(last_in_lane: list[float], place: float, apart: float) -> int:
    """The lowest lane whose last dot is far enough away; notes the dot there."""
    for lane, last in enumerate(last_in_lane):
        if place - last >= apart:
            last_in_lane[lane] = place
            return lane
    last_in_lane.append(place)
    return len(last_in_lane) - 1


def _on_scale(value: float, full: float) -> float:
    _refuse_no_number(value)
    if not full > 0:
        raise ValueError(f"A scale ends above 0, not at {full}.")
    return min(max(value / full, 0.0), 1.0)


def _refuse_no_number(value: float) -> None:
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be drawn.")
