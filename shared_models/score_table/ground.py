"""Where a line of a table belongs: the garden, tree and season as the group has them, or as they are to be made.

A line that does not fit what is recorded is refused with a sentence. Writes nothing.
"""

from dataclasses import dataclass
from typing import Protocol, TypeVar

from shared_models.errors import BadInputError
from shared_models.fold import FoldedRecord
from shared_models.language import say
from shared_models.records.fields import Record
from shared_models.records.gardens import Garden, SameTree, Tree
from shared_models.records.kinds import check_fields
from shared_models.score_table import records as made
from shared_models.score_table.reading import ScoreRow
from shared_models.score_table.records import WantedRecord
from shared_models.season.orchard import smallest_of_connected
from shared_models.seasons import Hemisphere, Season, is_season_key, season_named, season_of

R = TypeVar("R", bound=Record)


class Records(Protocol):
    """The records of a group as they are: a phone's store and a server's reader are both one."""

    def all(self, kind: type[R]) -> list[R]:
        """The live records of a kind."""

    def folded(self, rec: str) -> FoldedRecord | None:
        """One record, undone or not; None where there is none."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What stands in no column: garden and season of lines that name none, north or south for new gardens."""

    garden: str | None = None
    season: str | None = None
    hemisphere: Hemisphere | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a line belongs."""

    garden: str
    tree: str
    season: Season


class DoesNotFit(Exception):
    """A line that cannot be placed: the column to blame and a sentence."""

    def __init__(self, column: str, sentence: str) -> None:
        self.column = column
        self.sentence = sentence


class Ground:
    """The gardens and trees of a group, and those that the lines make (`wanted`, by id)."""

    def __init__(self, records: Records, asked: Asked) -> None:
        _check(asked)
        self._asked = asked
        self._gardens = _gardens_by_name(records)
        self._trees = _trees_by_label(records)
        self._hemispheres: dict[str, Hemisphere] = {}
        self.garden_names: dict[str, str] = {}
        self.wanted: dict[str, WantedRecord] = {}

    def spot(self, row: ScoreRow) -> Spot:
        """Where a line belongs; makes what the group does not have. DoesNotFit where it contradicts something."""
        name = self._garden_name(row)
        garden = self._garden(row, name)
        season = self._season(row, name, self._hemispheres[garden])
        tree = self._tree(garden, row.tree)
        self.garden_names[garden] = name
        return Spot(garden, tree, season)

    # -- gardens and seasons
    def _garden_name(self, row: ScoreRow) -> str:
        name = row.garden or self._asked.garden
        if name:
            return name
        if len(self._gardens) == 1:
            return next(iter(self._gardens))
        raise BadInputError(
            say(
                "Line {line} names no garden, and it is not clear which one is meant. Nothing was imported; "
                "name the garden for the whole table, or add a column “garden”.",
                line=row.line,
            ),
            "garden",
        )

    def _garden(self, row: ScoreRow, name: str) -> str:
        found = self._gardens.get(name, [])
        if len(found) > 1:
            raise DoesNotFit("garden", say("Several gardens are called “{name}”.", name=name))
        if found:
            self._hemispheres[found[0].rec] = found[0].hemisphere
            return found[0].rec
        rec = made.garden_id(name)
        if rec not in self._hemispheres:
            self._hemispheres[rec] = self._hemisphere_of_new(row, name)
            self._want(made.garden(name, self._hemispheres[rec]))
        return rec

    def _hemisphere_of_new(self, row: ScoreRow, name: str) -> Hemisphere:
        key = row.season or self._asked.season
        hemisphere = self._asked.hemisphere or (season_named(key).hemisphere if key else None)
        if hemisphere is None:
            raise BadInputError(
                say("The garden “{name}” is new; say whether it lies north or south.", name=name),
                "hemisphere",
            )
        return hemisphere

    def _season(self, row: ScoreRow, garden: str, hemisphere: Hemisphere) -> Season:
        key = row.season or self._asked.season or (row.day and season_of(row.day, hemisphere))
        if not key:
            raise BadInputError(
                say(
                    "Line {line} has neither a date nor a season. Nothing was imported; name the season for the "
                    "whole table, or add a column “date” or “season”.",
                    line=row.line,
                ),
                "season",
            )
        season = season_named(key)
        if season.hemisphere is not hemisphere:
            raise DoesNotFit("season", _other_half(key, garden))
        if row.day and row.season is None and not season.holds(row.day):
            raise DoesNotFit(
                "date",
                say(
                    "{day} lies outside the season {key}; a column “season” says so if it is meant.",
                    day=row.day,
                    key=key,
                ),
            )
        return season

    # -- trees
    def _tree(self, garden: str, label: str) -> str:
        found = self._trees.get((garden, label), [])
        if len(found) > 1:
            raise DoesNotFit(
                "tree", say("Several trees of this garden carry the label “{label}”.", label=label)
            )
        if found:
            return found[0].rec
        wanted = made.tree(garden, label)
        self._want(wanted)
        return wanted.rec

    def _want(self, wanted: WantedRecord) -> None:
        self.wanted[wanted.rec] = wanted


def _check(asked: Asked) -> None:
    """BadInputError where what stands in no column cannot be a garden's name or a season."""
    for complaint in check_fields(Garden.kind, {"name": asked.garden} if asked.garden else {}, creates=False):
        raise BadInputError(complaint.sentence, "garden")
    if asked.season and not is_season_key(asked.season):
        raise BadInputError(
            say(
                "“{key}” names no season; write 2026 in the north or 2026/27 in the south.",
                key=asked.season[:20],
            ),
            "season",
        )


def _other_half(key: str, garden: str) -> str:
    if "/" in key:
        return say(
            "The season {key} is southern, and “{garden}” lies in the north; write one year.",
            key=key,
            garden=garden,
        )
    return say(
        "The season {key} is northern, and “{garden}” lies in the south; write 2026/27.",
        key=key,
        garden=garden,
    )


def _gardens_by_name(records: Records) -> dict[str, list[Garden]]:
    found: dict[str, list[Garden]] = {}
    for garden in records.all(Garden):
        found.setdefault(garden.name, []).append(garden)
    return found


def _trees_by_label(records: Records) -> dict[tuple[str, str], list[Tree]]:
    """The trees of each garden and label: standing ones before those that are gone, and one for the same tree twice."""
    smallest = smallest_of_connected((link.a, link.b) for link in records.all(SameTree))
    found: dict[tuple[str, str], list[Tree]] = {}
    for tree in records.all(Tree):
        if smallest.get(tree.rec, tree.rec) == tree.rec:
            found.setdefault((tree.garden, tree.label), []).append(tree)
    return {place: [one for one in trees if _stands(one)] or trees for place, trees in found.items()}


def _stands(tree: Tree) -> bool:
    return not tree.retired and tree.removed_on is None
