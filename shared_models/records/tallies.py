"""Records of visits to trees and of what is tallied there: marks, numbers at once, adjustments, picks.

Tree stands on the visit only; place, cover, bag and source stand on the mark, so a visit moves to another tree
as one. A mark is lean: its record is its entry; day, zone and person come from its visit.
"""

from typing import Annotated, ClassVar

from pydantic import Field, StrictBool

from shared_models.entries import Identifier
from shared_models.records.fields import (
    Count,
    Doubt,
    Happening,
    MomentText,
    Place,
    Record,
    ShortText,
    between,
    doubt,
)
from shared_models.vocabulary import (
    AllScored,
    Bag,
    Certainty,
    Cover,
    EntryPoint,
    Fruit,
    Round,
    Source,
    Tallied,
)

Marks = Annotated[list[Fruit], Field(min_length=1, max_length=6)]
Number = Annotated[float, between(0, 1_000_000)]


class Visit(Happening):
    """One tree on a round. Bags put on are `took` less `left` where given; `nothing_found` makes none a count."""

    kind: ClassVar[str] = "visit"
    round: Round
    tree: Identifier
    ended: MomentText | None = None
    pause_minutes: Annotated[int, between(0, 1440)] | None = None
    pick: Identifier | None = None
    job: Identifier | None = None
    took: Count | None = None
    left: Count | None = None
    material: ShortText | None = None
    fruit_size_mm: Annotated[float, between(1, 150)] | None = None
    nothing_found: StrictBool = False
    ladder: StrictBool | None = None

    @property
    def bags_by_the_box(self) -> int | None:
        """Bags put on as the box tells it, or None where it was not counted so."""
        return None if self.took is None else max(0, self.took - (self.left or 0))

    def doubts(self) -> list[Doubt]:
        """Warns where more bags came back than were taken."""
        if self.took is not None and (self.left or 0) > self.took:
            return [doubt("left", "More bags were left than were taken from the box.")]
        return []


class _OfVisit(Record):
    """What marks, numbers and adjustments share: the visit and where on the tree the fruit was."""

    visit: Identifier
    what: Tallied = Tallied.FRUIT
    place: Place = "whole"
    cover: Cover = Cover.NONE
    bag: Bag | None = None
    source: Source | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where a bag is described on fruit that had none."""
        if self.bag and self.cover is not Cover.BAGGED:
            return [doubt("bag", "A bag is noted on fruit that is not noted as bagged.")]
        return []


class TallyMark(_OfVisit):
    """One fruit or one bag, +1; `marks` is what a fruit was scored (the worst codling-moth mark counts).

    What else was noted of this one fruit changes no count: where a larva went in, whether one was found, whether the
    fruit was cut open, and what a mark that is no codling moth came from.
    """

    kind: ClassVar[str] = "mark"
    marks: Marks | None = None
    entered_at: EntryPoint | None = None
    larva_found: StrictBool | None = None
    cut_open: StrictBool | None = None
    cause: ShortText | None = None


class NumberAtOnce(_OfVisit):
    """Many alike at once: `n`, or from `low` to `high` (its middle counts)."""

    kind: ClassVar[str] = "number"
    marks: Marks | None = None
    n: Number | None = None
    low: Number | None = None
    high: Number | None = None
    certainty: Certainty = Certainty.EXACT

    @property
    def amount(self) -> float:
        """The number that counts: n, else the middle of from and to."""
        if self.n is not None:
            return float(self.n)
        return ((self.low or 0) + (self.high or 0)) / 2

    @property
    def estimated(self) -> bool:
        """Whether it is not exact: said so, or given as from–to."""
        return self.certainty is Certainty.ESTIMATED or self.n is None

    def doubts(self) -> list[Doubt]:
        """Warns on a missing number and on from above to."""
        found = super().doubts()
        if self.n is None and (self.low is None or self.high is None):
            found.append(doubt("n", "This number holds neither one value nor from and to."))
        if self.low is not None and self.high is not None and self.low > self.high:
            found.append(doubt("low", "“From” is larger than “to”."))
        return found


class Adjustment(_OfVisit):
    """Somebody corrects a tally of others by a difference, with a reason; never by setting it."""

    kind: ClassVar[str] = "adjustment"
    marks: Marks | None = None
    n: Annotated[int, between(-100_000, 100_000)]
    reason: ShortText


class Pick(Happening):
    """The crop of one picking of a tree or part: how many in all, by count or by weight. Scored is counted elsewhere.

    Fruit that others took (eaten, deer, wind) stands outside the total.
    """

    kind: ClassVar[str] = "pick"
    tree: Identifier
    place: Place = "whole"
    cover: Cover = Cover.NONE
    total: Count | None = None
    weight_kg: Annotated[float, between(0, 100_000)] | None = None
    fruit_per_kg: Annotated[float, between(0.1, 1000)] | None = None
    total_certainty: Certainty = Certainty.EXACT
    all_scored: AllScored = AllScored.NOT_SAID
    taken_by_others: Count | None = None

    @property
    def typed_total(self) -> float | None:
        """Fruit picked in all as typed: the count, else kilograms times fruit per kilogram."""
        if self.total is not None:
            return float(self.total)
        if self.weight_kg is not None and self.fruit_per_kg is not None:
            return float(self.weight_kg * self.fruit_per_kg)
        return None

    def doubts(self) -> list[Doubt]:
        """Warns on a weight that cannot become a number."""
        if self.total is None and self.weight_kg is not None and self.fruit_per_kg is None:
            return [doubt("fruit_per_kg", "Without fruit per kilogram this weight gives no number of fruit.")]
        return []
