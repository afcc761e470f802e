"""What is to be decided, in SQL: held back and unreadable entries are no part of it, and it is found without reading all."""

from __future__ import annotations

import pytest
from sqlalchemy import create_engine

from shared_models.entries import Entry, seal
from shared_models.fold import fold
from shared_models.store import entry_log, looks, state
from shared_models.store.tables import SHARED_TABLES
from tests.builders import FieldPhone

OURS = "ours"


@pytest.fixture
def connection(tmp_path):
    """A database with the shared tables."""
    engine = create_engine(f"sqlite:///{tmp_path / 'state.sqlite'}")
    SHARED_TABLES[0].metadata.create_all(engine, tables=SHARED_TABLES)
    with engine.begin() as opened:
        yield opened
    engine.dispose()


@pytest.fixture
def apart(connection) -> tuple[Entry, Entry, Entry]:
    """A tree, and two labels given apart."""
    one, other = FieldPhone(), FieldPhone()
    tree = one.tree(one.garden(), "7")
    edits = one.edits(tree, fold([tree]), label="7a"), other.edits(tree, fold([tree]), label="7b")
    add(connection, tree, *edits)
    return tree, *edits


def add(connection, *entries: Entry) -> None:
    entry_log.append(connection, OURS, [seal(entry) for entry in entries])
    state.refold_touched(connection, OURS)


def told(connection, group: str = OURS) -> list[str]:
    found = [one.field for one in looks.open_blind_edits(connection, group)]
    assert looks.count_open_blind_edits(connection, group) == len(found)
    return found


def test_an_entry_that_is_held_back_made_nobody_blind(connection, apart):
    tree, _, other = apart
    assert told(connection) == ["label"]
    for aside, expected in ((True, []), (False, ["label"])):
        entry_log.set_aside(connection, OURS, other.id, tree.rec, aside)
        state.refold_touched(connection, OURS)
        assert told(connection) == expected


def test_an_entry_of_a_newer_app_is_no_part_of_it(connection, apart):
    tree, *_ = apart
    phone = FieldPhone()
    add(connection, phone.edits(tree, fold([tree]), form="fan"))
    newer = phone.edits(tree, None, form="cordon").model_copy(update={"v": 2, "prev": {"form": tree.id}})
    add(connection, newer)
    assert told(connection) == ["label"]


def test_another_group_and_other_records_are_not_asked(connection, apart):
    tree, *_ = apart
    assert told(connection, "theirs") == []
    assert looks.open_blind_edits(connection, OURS, [FieldPhone().garden().rec]) == []
    assert [one.rec for one in looks.open_blind_edits(connection, OURS, [tree.rec])] == [tree.rec]


def test_what_happened_is_corrected_and_not_told_of(connection):
    one, other = FieldPhone(), FieldPhone()
    tree = one.tree(one.garden(), "7")
    visit = one.visit(tree)
    edits = one.edits(visit, fold([visit]), took=5), other.edits(visit, fold([visit]), took=6)
    add(connection, tree, visit, *edits)
    found = state.find(connection, OURS, visit.rec)
    assert told(connection) == [] and found is not None and found.blind == ("took",)


def test_a_rebuild_finds_the_same(connection, apart):
    before = looks.open_blind_edits(connection, OURS)
    state.rebuild(connection, OURS)
    assert looks.open_blind_edits(connection, OURS) == before != []
