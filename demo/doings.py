"""What people do in the invented seasons, as plain values: who, when, on whose phone, and what. Records nothing.

Trees are called "garden/label", traps "garden/label". A doing is acted out by `recording` on real phones, and
written down plainly by `plain_entries`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class Number:
    """A number as people say it: exact, about, or from low to high (its middle counts)."""

    low: float
    high: float
    estimated: bool = False

    @property
    def counts_as(self) -> float:
        """What a report takes it for."""
        return (self.low + self.high) / 2


def exactly(n: float) -> Number:
    """A counted number."""
    return Number(n, n)


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """Something done at a moment (local, with offset) and recorded on a phone.

    `helper` did it without a phone of their own; `told_day` is the day it is about where it is entered later.
    """

    moment: datetime
    phone: str
    helper: str | None = None
    told_day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NameGarden(Doing):
    """A garden is made."""

    garden: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AddHelper(Doing):
    """Somebody without a phone is added."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AddRow(Doing):
    """Trees in a row: prefix and number."""

    garden: str
    prefix: str
    first: int
    count: int
    cultivar: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HangTrap(Doing):
    """A trap is hung."""

    garden: str
    trap: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NameContrast(Doing):
    """A comparison is named before scoring: trees with a method and trees without it."""

    season: str
    with_method: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclareUntreated(Doing):
    """Trees are declared left untreated on purpose."""

    trees: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveOut(Doing):
    """A tree is left out of the comparison."""

    tree: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Treat(Doing):
    """A job on trees; `name` lets it be taken back."""

    method: str
    trees: tuple[str, ...]
    minutes: int
    product: str | None = None
    name: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBack(Doing):
    """A job that was never done is undone; two phones may do so without knowing of each other."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PutBagsOn(Doing):
    """Bags put on fruit of one tree, as the box tells it."""

    tree: str
    took: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountTrap(Doing):
    """A visit to a trap. `caught` is how many moths are truly new; 0 where another phone counted the same ones."""

    trap: str
    moths: int
    caught: int
    on_liner: bool = False
    emptied: bool = False
    state: str = "counted"
    double: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drops:
    """Fallen fruit of one kind under one part of a tree."""

    cover: str
    damaged: bool
    number: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class LookForDrops(Doing):
    """One tree of a drops round; nothing found is a count too."""

    tree: str
    found: tuple[Drops, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PickedInAll:
    """How many were picked: by count, by weight, or all of them scored; nothing said is not known."""

    total: int | None = None
    weight_kg: float | None = None
    fruit_per_kg: float | None = None
    all_scored: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Score(Doing):
    """Fruit of one part of a tree scored at picking: what each was, in the order it was taken in hand.

    `tapped` is one touch a fruit, else numbers at once. `slips` marks are made too many and taken back one by one.
    `name` lets it be corrected later.
    """

    tree: str
    cover: str
    scores: tuple[str, ...]
    picked: PickedInAll
    tapped: bool = False
    slips: int = 0
    name: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectLater(Doing):
    """Somebody corrects a score of that name by a difference, with a reason."""

    score: str
    what: str
    difference: int
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SaySameTree(Doing):
    """Two records of one tree, made on two phones, are said to be one tree."""

    tree: str
    made_on: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Share(Doing):
    """The phone exchanges with the group's server."""
