"""The seeded generator: what is true of the invented seasons and what people did in them. Records nothing.

The same seed gives the same seasons. Rates are fixed in `place`; only trees, fruit, moths and days are drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from demo.calendar_of_work import work_of
from demo.doings import Doing
from demo.place import MIXES, ROWS, Row
from demo.truth import Mix, Part, Tree, bear


@dataclass(frozen=True, slots=True)
class InventedSeasons:
    """Everything about the invented seasons: the truth, and the doings in order of time."""

    seed: int
    mixes: tuple[Mix, ...]
    trees: tuple[Tree, ...]
    doings: tuple[Doing, ...]


def invent(seed: int) -> InventedSeasons:
    """Draw the seasons of a seed."""
    chance = Random(f"invented season {seed}")
    trees = tuple(tree for row in ROWS for tree in _grow(row, chance))
    return InventedSeasons(seed, MIXES, trees, tuple(work_of(trees, chance)))


def _grow(row: Row, chance: Random) -> list[Tree]:
    """The trees of a row; which of them gets which treatment is dealt out by chance."""
    fates = [(key, True, True) for key, count in row.trees for _ in range(count)]
    first = row.trees[0][0]
    fates += [(first, False, True)] * row.not_recorded + [(first, True, False)] * row.left_out
    chance.shuffle(fates)
    return [
        Tree(
            row.garden,
            f"{row.prefix}{place}",
            row.cultivars[2 * place > row.count],
            _parts(row.garden, key, chance),
            recorded,
            compared,
        )
        for place, (key, recorded, compared) in enumerate(fates, start=1)
    ]


def _parts(garden: str, key: str, chance: Random) -> tuple[Part, ...]:
    if not key.startswith("bagging"):
        return (bear(_mix(garden, key), chance.randint(90, 240), chance),)
    beside = _mix(garden, key.removeprefix("bagging+") + "|beside_bags")
    return (
        bear(_mix(garden, key), chance.randint(40, 90), chance),
        bear(beside, chance.randint(60, 160), chance),
    )


def _mix(garden: str, key: str) -> Mix:
    return next(mix for mix in MIXES if (mix.garden, mix.key) == (garden, key))
