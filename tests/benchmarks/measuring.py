"""Takes turns between a floor and a subject, and turns what they took into ratios. Knows nothing of what is measured.

"A ratio, never a bare time, is the verdict": a busy machine slows floor and subject alike, since they take turns.
"""

import gc
import math
import statistics
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

MICROSECONDS = 1e6
MILLISECONDS = 1e3

Work = Callable[[], object]


class Bound(StrEnum):
    """Whether a target is the most that a ratio may be, or the least."""

    AT_MOST = "at most"
    AT_LEAST = "at least"


@dataclass(frozen=True, slots=True)
class Target:
    """What a ratio has to keep to."""

    bound: Bound
    value: float

    def met_by(self, ratio: float) -> bool:
        """Whether a ratio keeps to it."""
        return ratio <= self.value if self.bound is Bound.AT_MOST else ratio >= self.value


def at_most(value: float) -> Target:
    """For costs: the subject may take so many times what the floor takes."""
    return Target(Bound.AT_MOST, value)


def at_least(value: float) -> Target:
    """For rates: the subject must get so much done of what the floor gets done."""
    return Target(Bound.AT_LEAST, value)


@dataclass(frozen=True, slots=True)
class Ratio:
    """One line of the answer; without a target it is information. `note` says what floor and subject are."""

    name: str
    floor: float
    subject: float
    unit: str
    target: Target | None
    note: str

    @property
    def ratio(self) -> float:
        """Subject by floor."""
        return self.subject / self.floor

    @property
    def met(self) -> bool | None:
        """Whether the target is met; None where there is none."""
        return None if self.target is None else self.target.met_by(self.ratio)

    def as_json(self) -> dict[str, Any]:
        """The line as it is printed; times and rates to four digits, they are no verdict."""
        shown = {"floor": _four_digits(self.floor), "subject": _four_digits(self.subject)}
        return {**asdict(self), **shown, "ratio": round(self.ratio, 3), "met": self.met}


@dataclass(frozen=True, slots=True)
class Times:
    """What the turns of floor and subject took [s]."""

    floor: list[float]
    subject: list[float]

    def medians(self, name: str, unit: str, scale: float, target: Target | None, note: str) -> Ratio:
        """The ratio of the middle turns, as times in a unit of `scale` a second."""
        floor, subject = statistics.median(self.floor), statistics.median(self.subject)
        return Ratio(name, floor * scale, subject * scale, unit, target, note)

    def rates(self, name: str, things: int, unit: str, target: Target | None, note: str) -> Ratio:
        """The ratio of the middle turns, as things done a second; a turn does so many `things`."""
        floor, subject = statistics.median(self.floor), statistics.median(self.subject)
        return Ratio(name, things / floor, things / subject, unit, target, note)

    def slowest_in_hundred(
        self, name: str, unit: str, scale: float, target: Target | None, note: str
    ) -> Ratio:
        """The ratio of the turns that one in a hundred is slower than."""
        return Ratio(
            name,
            percentile(self.floor, 0.99) * scale,
            percentile(self.subject, 0.99) * scale,
            unit,
            target,
            note,
        )


def seconds(work: Work) -> float:
    """How long a piece of work takes [s]."""
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def in_turns(turns: Iterable[tuple[Work, Work]]) -> Times:
    """Let floor and subject take turns; which of them begins changes each time.

    Garbage of what went before is collected first, and what the benchmark itself holds (tens of thousands of entries)
    is kept from being looked through for garbage, so that neither pays for it.
    """
    times = Times([], [])
    gc.collect()
    gc.freeze()
    for number, (floor, subject) in enumerate(turns):
        order = ((floor, times.floor), (subject, times.subject))
        for work, taken in order if number % 2 == 0 else reversed(order):
            taken.append(seconds(work))
    gc.unfreeze()
    return times


def percentile(values: Sequence[float], share: float) -> float:
    """The smallest of the values that at least this share of them does not exceed."""
    return sorted(values)[max(0, math.ceil(share * len(values)) - 1)]


def _four_digits(value: float) -> float:
    return float(f"{value:.4g}")
