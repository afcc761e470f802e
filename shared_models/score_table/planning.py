"""The import of a table: what was understood, what is wrong, and the few changes that have to be written.

"Importing twice changes nothing; a corrected table writes only the differences."
What an earlier table said of a tree and season and this one does not (another method, another day) is undone. A tree
that is left out of a table keeps its scores. Where any line is bad, nothing is to be written: the sums of its tree
would be wrong.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from shared_models.fold import DELETED
from shared_models.records.fields import Record
from shared_models.score_table import records as made
from shared_models.score_table.agreement import Cultivars, Methods, check_treatment
from shared_models.score_table.earlier import said_earlier
from shared_models.score_table.ground import Asked, DoesNotFit, Ground, Records
from shared_models.score_table.reading import BadLine, ScoreRow, ScoreTable
from shared_models.score_table.records import TreeInTable, WantedRecord


@dataclass(frozen=True, slots=True)
class Change:
    """One entry to write: the fields to set on a record, a new one or one that is there."""

    kind: str
    rec: str
    fields: dict[str, Any]
    new: bool

    @property
    def undoes(self) -> bool:
        """Whether it takes back what an earlier table said."""
        return self.fields.get(DELETED) is True


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What the table says tree by tree, what is wrong with it, and the changes after which the records say the same.

    `garden_names` gives names to the gardens of `trees`; `not_used` are columns that mean nothing here.
    """

    trees: list[TreeInTable]
    garden_names: dict[str, str]
    changes: list[Change]
    bad: list[BadLine]
    not_used: list[str]


def plan_import(table: ScoreTable, records: Records, asked: Asked) -> ImportPlan:
    """Plan an import; BadInputError where garden, season or half of the earth are left open."""
    planner = _Planner(records, asked)
    for row in table.rows:
        planner.take(row)
    bad = sorted([*table.bad, *planner.bad], key=lambda line: line.line)
    trees = list(planner.trees.values())
    changes = [] if bad else list(planner.changes())
    return ImportPlan(trees, planner.ground.garden_names, changes, bad, table.not_used)


class _Planner:
    """Takes line after line, then compares what they say with what is recorded."""

    def __init__(self, records: Records, asked: Asked) -> None:
        self._records = records
        self.ground = Ground(records, asked)
        self._cultivars, self._methods = Cultivars(records), Methods(records)
        self._named: dict[str, WantedRecord] = {}
        self.trees: dict[tuple[str, str], TreeInTable] = {}
        self.bad: list[BadLine] = []

    def take(self, row: ScoreRow) -> None:
        """Place a line, or note why it does not fit."""
        try:
            spot = self.ground.spot(row)
            tree = TreeInTable(spot.garden, spot.tree, row.tree, spot.season)
            tree = self.trees.get((spot.tree, spot.season.key), tree)
            check_treatment(row, tree)
            named = [*self._methods.note(row), self._cultivars.note(row, spot.tree)]
        except DoesNotFit as wrong:
            self.bad.append(BadLine(row.line, wrong.column, wrong.sentence))
            return
        self._named.update({wanted.rec: wanted for wanted in named if wanted})
        self.trees.setdefault((spot.tree, spot.season.key), tree).rows.append(row)

    def changes(self) -> Iterator[Change]:
        """Everything that is to be written, what stands there first."""
        standing = [*self.ground.wanted.values(), *self._named.values()]
        happened = [record for tree in self.trees.values() for record in made.of_tree(tree)]
        for wanted in [*standing, *happened]:
            yield from self._difference(wanted)
        yield from self._undone(self._cultivars.stale())
        said_now = {wanted.rec for wanted in happened}
        earlier = said_earlier(self._records, self.trees.values())
        yield from self._undone(one for one in earlier if one.rec not in said_now)

    def _difference(self, wanted: WantedRecord) -> Iterator[Change]:
        there = self._records.folded(wanted.rec)
        if there is None:
            yield Change(wanted.kind, wanted.rec, wanted.fields, new=True)
            return
        said = {} if wanted.only_if_missing else wanted.fields
        fields = {name: value for name, value in said.items() if there.fields.get(name) != value}
        if there.deleted:
            fields[DELETED] = False
        if fields:
            yield Change(wanted.kind, wanted.rec, fields, new=False)

    def _undone(self, stale: Iterable[Record]) -> Iterator[Change]:
        for record in stale:
            yield Change(record.kind, record.rec, {DELETED: True}, new=False)
