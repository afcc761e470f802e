"""The records that scores from a table become: trees, methods, jobs, declarations, picks and numbers. Pure.

Every id is derived from what the record is about, so that a table read twice, or on two phones, makes the same
records; a corrected table meets the records of the first and differs from them in what was corrected.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

from shared_models.identifiers import derived_id
from shared_models.records.gardens import Garden, Graft, PlanLine, Tree
from shared_models.records.jobs import Job
from shared_models.records.methods import OwnMethod
from shared_models.records.tallies import NumberAtOnce, Pick, Visit
from shared_models.score_table.reading import ScoreRow
from shared_models.seasons import Hemisphere, Season, season_of
from shared_models.stamps import EARLIEST_MS
from shared_models.vocabulary import BAGGING, AllScored, Cover, Fruit, Reach, Round, Source
from shared_models.when import UNKNOWN

FROM_TABLE = "scores from a table"


@dataclass(frozen=True, slots=True)
class WantedRecord:
    """A record as the table says it: kind, id and fields.

    Where the id says all that the table does, `only_if_missing` leaves alone what somebody changed since by hand.
    """

    kind: str
    rec: str
    fields: dict[str, Any]
    only_if_missing: bool = False


@dataclass(frozen=True, slots=True)
class TreeInTable:
    """All lines of one tree and season. `treatment` is what the tree had but for bags; None is not recorded."""

    garden: str
    tree: str
    label: str
    season: Season
    rows: list[ScoreRow] = field(default_factory=list)

    @property
    def treatment(self) -> set[str] | None:
        """Methods of the whole tree: empty where it was untreated or only bagged."""
        told = [row.methods for row in self.rows if row.methods is not None]
        return {key for methods in told for key in methods} - {BAGGING} if told else None

    @property
    def bagged(self) -> bool:
        """Whether any of its fruit was bagged."""
        return any(BAGGING in (row.methods or {}) for row in self.rows)

    @property
    def untreated(self) -> bool:
        """Whether it was declared left untreated."""
        return self.treatment == set() and not self.bagged

    def cover(self, row: ScoreRow) -> Cover:
        """Bagged or bare on a tree that has bags, none on others."""
        if not self.bagged:
            return Cover.NONE
        return Cover.BAGGED if BAGGING in (row.methods or {}) else Cover.BARE


# ---------------------------------------------------------------- identifiers
def garden_id(name: str) -> str:
    """The id of a garden that the table makes."""
    return derived_id(EARLIEST_MS, FROM_TABLE, Garden.kind, name)


def tree_id(garden: str, label: str) -> str:
    """The id of a tree that the table makes."""
    return derived_id(EARLIEST_MS, FROM_TABLE, Tree.kind, garden, label)


def graft_id(tree: str, cultivar: str) -> str:
    """The id of a tree's cultivar."""
    return derived_id(EARLIEST_MS, FROM_TABLE, Graft.kind, tree, cultivar)


def method_id(key: str) -> str:
    """The id of an own method."""
    return derived_id(EARLIEST_MS, FROM_TABLE, OwnMethod.kind, key)


def job_id(tree: str, season: Season, method: str) -> str:
    """The id of the one job of a tree and method."""
    return _of_season(season, Job.kind, tree, method)


def declaration_id(tree: str, season: Season) -> str:
    """The id of the declaration that a tree is left untreated."""
    return _of_season(season, PlanLine.kind, tree)


def pick_id(tree: str, season: Season, when: str, cover: str) -> str:
    """The id of a pick of one day and cover."""
    return _of_season(season, Pick.kind, tree, when, cover)


def visit_id(pick: str) -> str:
    """The id of the visit on which a pick was scored."""
    return derived_id(int(pick[:8] + pick[9:13], 16), FROM_TABLE, Visit.kind, pick)


def number_id(pick: str, fruit: str) -> str:
    """The id of the number of clean or damaged fruit of a pick."""
    return derived_id(int(pick[:8] + pick[9:13], 16), FROM_TABLE, NumberAtOnce.kind, pick, fruit)


def _of_season(season: Season, *about: str) -> str:
    first = datetime.combine(season.first_day, datetime.min.time(), UTC)
    return derived_id(int(first.timestamp() * 1000), FROM_TABLE, season.key, *about)


# ---------------------------------------------------------------- what stands there
def garden(name: str, hemisphere: Hemisphere) -> WantedRecord:
    """A garden that the table names and the group does not have."""
    return WantedRecord(Garden.kind, garden_id(name), {"name": name, "hemisphere": hemisphere.value}, True)


def tree(garden: str, label: str) -> WantedRecord:
    """A tree that the table names and the garden does not have."""
    return WantedRecord(Tree.kind, tree_id(garden, label), {"label": label, "garden": garden}, True)


def graft(tree: str, cultivar: str) -> WantedRecord:
    """The cultivar of a tree."""
    return WantedRecord(Graft.kind, graft_id(tree, cultivar), {"tree": tree, "cultivar": cultivar}, True)


def own_method(key: str, word: str, reach: Reach | None) -> WantedRecord:
    """A method that nobody knows becomes the group's own; it protects the tree unless the table says otherwise."""
    said = {"key": key, "name": word, "reach": (reach or Reach.TREE).value}
    return WantedRecord(OwnMethod.kind, method_id(key), said)


def other_reach(key: str, reach: Reach) -> WantedRecord:
    """An own method that an earlier table made gets another reach; its name stays."""
    return WantedRecord(OwnMethod.kind, method_id(key), {"reach": reach.value})


# ---------------------------------------------------------------- what happened
def of_tree(one: TreeInTable) -> list[WantedRecord]:
    """One job for each method, or the declaration, and the picks with what was scored."""
    jobs = [_job(one, method) for method in sorted(one.treatment or ())]
    declared = [_declaration(one)] if one.untreated else []
    picks: dict[tuple[str, Cover], list[ScoreRow]] = {}
    for row in one.rows:
        picks.setdefault((_when(row), one.cover(row)), []).append(row)
    scored = [
        record for (when, cover), rows in sorted(picks.items()) for record in _pick(one, when, cover, rows)
    ]
    return [*jobs, *declared, *scored]


def _job(one: TreeInTable, method: str) -> WantedRecord:
    said = {"method": method, "trees": [one.tree], "when": UNKNOWN, "season": one.season.key}
    return WantedRecord(Job.kind, job_id(one.tree, one.season, method), said, True)


def _declaration(one: TreeInTable) -> WantedRecord:
    """Declared before scoring began: some day up to the first scored; else on a day that nobody knows."""
    scored = [row.day for row in one.rows if row.day]
    before = all(row.declared_before for row in one.rows)
    first = max(one.season.first_day, min(scored)) if scored else one.season.first_day
    said = {
        "tree": one.tree,
        "season": one.season.key,
        "left_untreated": True,
        "when": f"{one.season.first_day}/{first}" if before else UNKNOWN,
    }
    return WantedRecord(PlanLine.kind, declaration_id(one.tree, one.season), said)


def _pick(one: TreeInTable, when: str, cover: Cover, rows: Iterable[ScoreRow]) -> list[WantedRecord]:
    """The pick, all of it scored, its visit, and the numbers of clean and of damaged fruit."""
    rec = pick_id(one.tree, one.season, when, cover)
    happened = {"tree": one.tree, "when": when, **_season_by_hand(one.season, when)}
    pick = {**happened, "cover": cover.value, "all_scored": AllScored.YES.value}
    visit = {**happened, "round": Round.PICKING.value, "pick": rec}
    rows = list(rows)
    damaged = sum(row.damaged for row in rows)
    clean = sum(row.scored for row in rows) - damaged
    return [
        WantedRecord(Pick.kind, rec, pick, True),
        WantedRecord(Visit.kind, visit_id(rec), visit, True),
        *(
            _number(rec, cover, fruit, n)
            for fruit, n in ((Fruit.CLEAN, clean), (Fruit.DAMAGED, damaged))
            if n
        ),
    ]


def _number(pick: str, cover: Cover, fruit: Fruit, n: int) -> WantedRecord:
    said = {
        "visit": visit_id(pick),
        "n": n,
        "marks": [fruit.value],
        "source": Source.PICKED.value,
        "cover": cover.value,
    }
    return WantedRecord(NumberAtOnce.kind, number_id(pick, fruit), said)


def _when(row: ScoreRow) -> str:
    return row.day.isoformat() if row.day else UNKNOWN


def _season_by_hand(season: Season, when: str) -> dict[str, str]:
    """The season is derived from the day where that gives it; else it is given by hand."""
    derived = when != UNKNOWN and season_of(date.fromisoformat(when), season.hemisphere) == season.key
    return {} if derived else {"season": season.key}
