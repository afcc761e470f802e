"""Records of what stands there: people, gardens, trees, grafts, and what is said about whole trees."""

from typing import Annotated, ClassVar

from pydantic import StrictBool

from shared_models.entries import Identifier
from shared_models.language import say
from shared_models.records.fields import (
    DayText,
    Doubt,
    Happening,
    Label,
    Latitude,
    Longitude,
    Mix,
    Place,
    Record,
    SeasonKey,
    ShortText,
    Text,
    Year,
    ZoneName,
    between,
    doubt,
)
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Species, TreeSize


class Person(Record):
    """Somebody who records or does things; roles are the server's."""

    kind: ClassVar[str] = "person"
    changes: ClassVar[bool] = True
    name: Label
    retired: StrictBool = False


class Garden(Record):
    """One place with trees. Making one asks north or south, with or without a position (degrees, WGS 84)."""

    kind: ClassVar[str] = "garden"
    changes: ClassVar[bool] = True
    name: Label
    hemisphere: Hemisphere
    zone: ZoneName | None = None
    lat: Latitude | None = None
    lon: Longitude | None = None
    elevation_m: Annotated[float, between(-500, 6000)] | None = None
    unmanaged_neighbours: StrictBool | None = None
    note: Text | None = None
    retired: StrictBool = False

    def doubts(self) -> list[Doubt]:
        """Warns where the latitude lies in the other half of the earth."""
        if self.lat is None or self.lat == 0 or (self.lat > 0) == (self.hemisphere is Hemisphere.NORTH):
            return []
        return [
            doubt(
                "lat",
                "The latitude {lat} lies in the other half of the earth than this garden.",
                lat=self.lat,
            )
        ]


class Tree(Record):
    """A tree with its label, garden and place in walking order. A replanted place is a new tree."""

    kind: ClassVar[str] = "tree"
    changes: ClassVar[bool] = True
    label: Label
    garden: Identifier
    species: Species | None = None
    size: TreeSize | None = None
    form: ShortText | None = None
    year_planted: Year | None = None
    bearing_from: Year | None = None
    lat: Latitude | None = None
    lon: Longitude | None = None
    order: Annotated[float, between(-1e6, 1e6)] | None = None
    removed_on: DayText | None = None
    retired: StrictBool = False

    def doubts(self) -> list[Doubt]:
        """Warns where a tree bears before it was planted."""
        if self.year_planted and self.bearing_from and self.bearing_from < self.year_planted:
            return [doubt("bearing_from", "This tree bears from a year before it was planted.")]
        return []


class Graft(Record):
    """One cultivar on a tree; its id is a place on the tree. A tree of one cultivar has one graft."""

    kind: ClassVar[str] = "graft"
    changes: ClassVar[bool] = True
    tree: Identifier
    cultivar: Label
    grafted_on: DayText | None = None
    retired: StrictBool = False


class SameTree(Record):
    """Says that two tree records are one tree; taken back by undoing it."""

    kind: ClassVar[str] = "same_tree"
    changes: ClassVar[bool] = True
    a: Identifier
    b: Identifier

    def doubts(self) -> list[Doubt]:
        """Warns where a tree is said to be itself."""
        return [Doubt("b", say("A tree is always the same as itself."))] if self.a == self.b else []


class LeftOut(Happening):
    """A tree left out of a season's comparison, with the reason and the day this was decided."""

    kind: ClassVar[str] = "left_out"
    changes: ClassVar[bool] = True
    content: ClassVar[tuple[str, ...]] = ("tree", "season")
    tree: Identifier
    season: SeasonKey
    reason: ShortText


class PlanLine(Happening):
    """What is planned for a tree or part in a season; or that it is left untreated on purpose, declared `when`."""

    kind: ClassVar[str] = "plan_line"
    changes: ClassVar[bool] = True
    content: ClassVar[tuple[str, ...]] = ("tree", "season", "place", "left_untreated")
    tree: Identifier
    season: SeasonKey
    place: Place = "whole"
    methods: Mix | None = None
    left_untreated: StrictBool = False
    block: ShortText | None = None

    def doubts(self) -> list[Doubt]:
        """Warns where a tree is both treated and left untreated."""
        if self.left_untreated and self.methods:
            return [doubt("methods", "This tree is planned to be treated and declared left untreated.")]
        return []


class Note(Happening):
    """A text about any record."""

    kind: ClassVar[str] = "note"
    text: Text
    about: Identifier | None = None
