"""Trap visits of the invented seasons: moths drawn from a flight of two generations, and what people read. Records nothing.

One day two phones count one trap; one day a trap is flooded; one trap is read as all moths on the liner.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from demo.diary import at
from demo.doings import CountTrap, Doing, HangTrap

EVERY = timedelta(days=4)


@dataclass(frozen=True, slots=True)
class Walk:
    """A trap, whose phone counts it, the days it hangs, the peaks of the flight, and how it is read."""

    garden: str
    label: str
    phone: str
    hung: date
    down: date
    peaks: tuple[date, date]
    on_liner: bool = False
    doubled_on: date | None = None
    flooded_on: date | None = None

    @property
    def name(self) -> str:
        """What doings call the trap."""
        return f"{self.garden}/{self.label}"


_NORTH = (date(2026, 6, 2), date(2026, 8, 1))
_SOUTH = (date(2025, 12, 2), date(2026, 1, 31))
HUNG, DOWN = date(2026, 4, 25), date(2026, 9, 4)
DOUBLED, FLOODED = HUNG + 11 * EVERY, HUNG + 20 * EVERY
WALKS = (
    Walk("larkhollow", "T1", "ansa", HUNG, DOWN, _NORTH, doubled_on=DOUBLED),
    Walk("larkhollow", "T2", "ansa", HUNG, DOWN, _NORTH, flooded_on=FLOODED),
    Walk("millward", "T3", "coro", HUNG, DOWN, _NORTH, on_liner=True),
    Walk("tarnfold", "T1", "emmo", date(2025, 10, 25), date(2026, 3, 4), _SOUTH),
)


def trap_walks(chance: Random) -> Iterator[Doing]:
    """Hanging every trap and visiting it until it comes down."""
    for hour, walk in enumerate(WALKS, start=8):
        yield HangTrap(
            moment=at(walk.phone, walk.hung, hour), phone=walk.phone, garden=walk.garden, trap=walk.label
        )
        yield from _visits(walk, chance)


def _visits(walk: Walk, chance: Random) -> Iterator[CountTrap]:
    on_liner = 0
    for number in range(1, (walk.down - walk.hung) // EVERY + 1):
        day = walk.hung + number * EVERY
        moment = at(walk.phone, day, 18, 5 if walk.label == "T2" else 0)
        caught = _poisson(sum(_flying(walk, day - timedelta(days=back)) for back in range(4)), chance)
        if day == walk.flooded_on:
            yield CountTrap(
                moment=moment, phone=walk.phone, trap=walk.name, moths=0, caught=0, state="flooded"
            )
            continue
        emptied = number % 5 == 0
        on_liner += caught
        yield CountTrap(
            moment=moment,
            phone=walk.phone,
            trap=walk.name,
            moths=on_liner if walk.on_liner else caught,
            caught=caught,
            on_liner=walk.on_liner,
            emptied=emptied,
        )
        on_liner = 0 if emptied else on_liner
        if day == walk.doubled_on:
            yield _counted_by_another(walk, day, caught)


def _counted_by_another(walk: Walk, day: date, caught: int) -> CountTrap:
    """The same moths on a second phone that has not heard of the first count, and reads one moth more."""
    return CountTrap(
        moment=at("brun", day, 18, 40), phone="brun", trap=walk.name, moths=caught + 1, caught=0, double=True
    )


def _flying(walk: Walk, day: date) -> float:
    """Expected moths of one night: two generations, the second larger."""
    first, second = ((day - peak).days / 12 for peak in walk.peaks)
    return 0.9 * math.exp(-first * first / 2) + 1.3 * math.exp(-second * second / 2)


def _poisson(mean: float, chance: Random) -> int:
    """A Poisson number by multiplying chances (Knuth 1969, from memory); fit for small means."""
    limit, product, number = math.exp(-mean), chance.random(), 0
    while product > limit:
        product *= chance.random()
        number += 1
    return number
