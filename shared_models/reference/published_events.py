"""What is published of the moth's year: events with the totals at which they come, as bands where sources differ.

"Clocks that start on different days are never mixed": an event belongs to one clock. A figure from memory widens a
band only as *unchecked*; computed figures and rows without a key are not here at all.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from shared_models.reference.reading import Mark, rows_of


class Clock(StrEnum):
    """From which day a total is counted."""

    SEASON = "season"  # 1 January, in the south 1 July
    BIOFIX = "biofix"


@dataclass(frozen=True, slots=True)
class Figure:
    """What one source says of an event [°C·day]."""

    low: float
    high: float
    source: str
    mark: Mark
    note: str


@dataclass(frozen=True, slots=True)
class Event:
    """One event on one clock, with everything that sources say of it."""

    key: str
    clock: Clock
    figures: tuple[Figure, ...]

    @property
    def low(self) -> float:
        """The least total that any source names [°C·day]."""
        return min(figure.low for figure in self.figures)

    @property
    def high(self) -> float:
        """The greatest total that any source names [°C·day]."""
        return max(figure.high for figure in self.figures)

    @property
    def published(self) -> tuple[Figure, ...]:
        """The figures that were read in a document."""
        return tuple(figure for figure in self.figures if figure.mark is Mark.OPENED)

    @property
    def unchecked(self) -> tuple[Figure, ...]:
        """The figures that are quoted from memory."""
        return tuple(figure for figure in self.figures if figure.mark is Mark.MEMORY)


@cache
def published_events() -> tuple[Event, ...]:
    """All events that may be shown, by clock and least total."""
    found: dict[tuple[str, Clock], list[Figure]] = {}
    for key, clock, figure in _figures():
        found.setdefault((key, clock), []).append(figure)
    events = [Event(key, clock, tuple(figures)) for (key, clock), figures in found.items()]
    return tuple(sorted(events, key=lambda event: (event.clock, event.low, event.key)))


def event_named(key: str, clock: Clock) -> Event:
    """One event; KeyError where the table has none of that name on that clock."""
    for event in published_events():
        if (event.key, event.clock) == (key, clock):
            return event
    raise KeyError(f"{key} from {clock}")


def _figures() -> Iterator[tuple[str, Clock, Figure]]:
    for row in rows_of("phenology"):
        mark = Mark(row["mark"])
        if row["key"] and mark in (Mark.OPENED, Mark.MEMORY):
            low, high = float(row["low_F"]) / 1.8, float(row["high_F"]) / 1.8
            yield row["key"], Clock(row["clock"]), Figure(low, high, row["source"], mark, row["note"])
