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

    @property
    def of_a_part(self) -> bool:
        """Whether some of the fruit or damage is looked at apart. A garden is no such part: it is its keeper's whole."""
        return self.cultivar is not None or self.damage is Damage.DEEP or self.fruit is Counted.PICKED


EVERYTHING = Choice()
