"""What is true of the invented seasons: mixes with damage rates fixed beforehand, and what each tree then bore.

Knows no records and no reports. "A mix's rate is fixed first, a tree draws its own around it, fruit draw theirs."
Damaged fruit drop more often than clean, so the share among picked fruit lies below the share of all fruit; both
are known exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

ICC = 0.08  # likeness of fruit on one tree; beta-distributed tree rates have exactly this intracluster correlation
DAMAGED_DROP, CLEAN_DROP = (
    0.45,
    0.12,
)  # shares of damaged and of clean fruit that fall before picking (invented)


@dataclass(frozen=True, slots=True)
class Mix:
    """A method mix of one garden: the key that the report gives it, and its true rate of all fruit [0..1].

    `methods` are what people do; `cover` is none, bagged or bare; `drops_counted` says whether fallen fruit is.
    """

    garden: str
    key: str
    rate: float
    methods: tuple[str, ...] = ()
    untreated: bool = False
    cover: str = "none"
    drops_counted: bool = True

    @property
    def picked_rate(self) -> float:
        """Expected damaged picked fruit to expected picked fruit, for one fruit drawn from all that trees bear.

        >>> round(Mix("hill", "untreated", 0.30).picked_rate, 4)
        0.2113
        """
        damaged = self.rate * (1 - DAMAGED_DROP)
        return damaged / (damaged + (1 - self.rate) * (1 - CLEAN_DROP))

    def rate_of_a_tree(self, chance: Random) -> float:
        """One tree's own rate: beta-distributed around the mix's."""
        size = 1 / ICC - 1
        return chance.betavariate(self.rate * size, (1 - self.rate) * size)


@dataclass(frozen=True, slots=True)
class Fruit:
    """All fruit of one part of a tree: what fell, and what was still on it (True: damaged), in picking order."""

    fallen_damaged: int
    fallen_clean: int
    picked: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a tree by its cover. `mix` is what it truly had; people may not have recorded it."""

    cover: str
    mix: Mix
    fruit: Fruit


@dataclass(frozen=True, slots=True)
class Tree:
    """One real tree. `recorded` is whether people wrote down what was done to it; `compared` is False where left out."""

    garden: str
    label: str
    cultivar: str
    parts: tuple[Part, ...]
    recorded: bool = True
    compared: bool = True

    @property
    def name(self) -> str:
        """What doings call it."""
        return f"{self.garden}/{self.label}"


def bear(mix: Mix, fruit: int, chance: Random) -> Part:
    """Let one part of a tree bear so many fruit."""
    own = mix.rate_of_a_tree(chance)
    damaged = [chance.random() < own for _ in range(fruit)]
    stays = [chance.random() >= (DAMAGED_DROP if one else CLEAN_DROP) for one in damaged]
    fallen = [one for one, kept in zip(damaged, stays, strict=True) if not kept]
    picked = tuple(one for one, kept in zip(damaged, stays, strict=True) if kept)
    return Part(mix.cover, mix, Fruit(sum(fallen), len(fallen) - sum(fallen), picked))
