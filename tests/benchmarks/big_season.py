"""Phones that hold a season of thousands of trees, or many entries. Rows are inserted at once, as the fold writes them.

Only state is filled in for a season, since its report reads nothing else.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, create_engine

from mobile.storage.phone_store import PhoneStore
from shared_models.entries import Entry, SealedEntry
from shared_models.fold import fold
from shared_models.identifiers import new_id
from shared_models.store import entry_log, state
from shared_models.store.tables import MARK, OWN_GROUP, RECORD
from tests.benchmarks.season_written import FRUIT, TREES_A_GARDEN
from tests.builders import FieldPhone

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Tree:
    """A tree of the big season: what was recorded of it, and the visit that its fruit is tallied on."""

    records: Sequence[Entry]
    visit: Entry
    cover: str


def fill_with_season(path: Path, trees: int, fruit: int) -> None:
    """A phone that holds that season; a third of the trees untreated, a third netted, a third bagged in part."""
    _new_phone(path)
    phone = FieldPhone()
    with _opened(path) as connection:
        orchard = [tree for start in range(0, trees, TREES_A_GARDEN) for tree in _garden(phone, start, trees)]
        records = (entry for tree in orchard for entry in tree.records)
        _insert(connection, RECORD, (state.record_row(OWN_GROUP, fold([entry])) for entry in records))
        _insert(connection, MARK, (row for tree in orchard for row in _marks(phone, tree, fruit)))


def fill_with_entries(path: Path, history: Sequence[SealedEntry]) -> None:
    """A phone whose log holds these entries, folded."""
    _new_phone(path)
    with _opened(path) as connection:
        entry_log.append(connection, OWN_GROUP, history)
        state.refold_touched(connection, OWN_GROUP)


def _new_phone(path: Path) -> None:
    with closing(PhoneStore(path)) as store:
        store.begin("Ada", "Europe/Rome")


@contextmanager
def _opened(path: Path) -> Iterator[Connection]:
    """A transaction on a phone's file, from outside the phone."""
    engine = create_engine(f"sqlite:///{path}")
    with engine.begin() as connection:
        yield connection
    engine.dispose()


def _garden(phone: FieldPhone, start: int, trees: int) -> Iterator[Tree]:
    garden = phone.garden(f"Hill {start // TREES_A_GARDEN + 1}")
    yield _Planter(phone, garden).tree(start, garden)
    for number in range(start + 1, min(start + TREES_A_GARDEN, trees)):
        yield _Planter(phone, garden).tree(number)


@dataclass(frozen=True, slots=True)
class _Planter:
    phone: FieldPhone
    garden: Entry

    def tree(self, number: int, *before: Entry) -> Tree:
        """A tree, what was done to it, its pick and the visit at which its fruit was scored."""
        tree = self.phone.tree(self.garden, str(number + 1))
        cover, done = self._treated(tree, number)
        pick = self.phone.pick(tree, total=200, all_scored="no", cover=cover)
        visit = self.phone.visit(tree, pick=pick.rec)
        return Tree((*before, tree, done, pick, visit), visit, cover)

    def _treated(self, tree: Entry, number: int) -> tuple[str, Entry]:
        if number % 3 == 0:
            return "none", self.phone.untreated(tree)
        if number % 3 == 1:
            return "none", self.phone.job("netting", tree)
        return "bagged", self.phone.visit(tree, "bagging", took=80, left=10)


def _marks(phone: FieldPhone, tree: Tree, fruit: int) -> Iterator[Row]:
    """One row from the fold, repeated with another id and another fruit."""
    first = phone.mark(tree.visit, "clean", cover=tree.cover)
    row = state.mark_row(OWN_GROUP, fold([first]))
    for number in range(fruit):
        yield {**row, "rec": new_id(), "marks": FRUIT[number % len(FRUIT)]}


def _insert(connection: Connection, table: Table, rows: Iterable[Row]) -> None:
    """Through the driver: a million rows are not what is measured."""
    names = [column.name for column in table.columns]
    statement = f"INSERT INTO {table.name} VALUES ({', '.join('?' * len(names))})"
    driver = connection.connection.driver_connection
    assert driver is not None
    driver.executemany(statement, (tuple(row[name] for name in names) for row in rows))
