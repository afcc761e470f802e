"""What of a season is looked at: one garden, one cultivar, which damage, which fruit. Knows no row.

What a tree had, and how much of it, is never asked of a part of the orchard: a drops round counts as one by all
trees of its garden, also where one cultivar is looked at.
"""

from dataclasses import dataclass
from enum import StrEnum


class Damage(StrEnum):
    """Which codling-moth marks are damage: sting or deep entry, or deep entry alone."""

    ANY = "any"
    DEEP = "deep"


class Counted(StrEnum):
    """Which fruit leads: all of it where drops and removed fruit are known, or picked fruit always."""

    BEST = "best"
    PICKED = "picked"


@dataclass(frozen=True, slots=True)
class Choice:
    """What is looked at; without anything said, everything. `garden` is an id, `cultivar` as it was noted."""

    garden: str | None = None
    cultivar: str | None = None
    damage: Damage = Damage.ANY
    fruit: Counted = Counted.BEST


EVERYTHING = Choice()
