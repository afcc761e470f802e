"""The band of an event on a scale of days around today, as shapes. Knows no pixel, no clock and no garden.

Three weeks back and six ahead, the same for every event, so that bands below each other can be compared at a glance.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from shared_models.chart_shapes import Block, Drawing, Held, Ink, Label, Shape, Stroke
from shared_models.language import say
from shared_models.report_words import month_name
from shared_models.timing.parts import EventBand
from shared_models.timing_words import band_sentence

BACK, AHEAD = 21, 42  # [days]
LANE = 0.7  # [em] middle of the band
THICK = 0.7  # [em]
FOOT = 1.4  # [em] where the names of months stand
LAST_NAME = 0.8  # [share of the width] a month that begins further right has no room for its name


def band_drawing(event: EventBand, day: str) -> Drawing | None:
    """A bar from the earliest to the latest day beside an upright line at today; None where it lies outside the scale.

    A band without an end runs to the end of the scale, as `told` says.
    """
    if event.earliest is None:
        return None
    today = date.fromisoformat(day)
    first = date.fromisoformat(event.earliest)
    last = date.fromisoformat(event.latest) if event.latest else date.max - timedelta(1)
    if last < today - timedelta(BACK) or first >= today + timedelta(AHEAD):
        return None
    left, right = _share(first, today), _share(last + timedelta(1), today)
    shapes = (
        Stroke(0.0, LANE, 1.0, LANE, Ink.GRID),
        *_months(today),
        Block(left, LANE - THICK / 2, right - left, THICK, Ink.MARK),
        Stroke(_share(today, today), 0.15, _share(today, today), FOOT, Ink.NOTHING),
    )
    told = say("{band} The upright line is today, {day}.", band=band_sentence(event, day), day=day)
    return Drawing(FOOT + 1.4, shapes, told)


def _months(today: date) -> Iterator[Shape]:
    """A tick at the first of each month, with its name where there is room for it."""
    days = (today + timedelta(n) for n in range(-BACK, AHEAD))
    for first in (day for day in days if day.day == 1):
        at = _share(first, today)
        yield Stroke(at, LANE, at, FOOT + 0.3, Ink.GRID)
        if at <= LAST_NAME:
            yield Label(at, FOOT + 0.1, month_name(first.month), Held.START)


def _share(day: date, today: date) -> float:
    """The place of a day's beginning on the scale, never outside it."""
    return min(1.0, max(0.0, ((day - today).days + BACK) / (BACK + AHEAD)))
