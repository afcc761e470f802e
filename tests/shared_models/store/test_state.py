"""State in SQL: always what the log folds to, whether refolded bit by bit or rebuilt, on both databases."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import create_engine

from shared_models.entries import Entry, seal
from shared_models.fold import fold_all
from shared_models.season_records import SeasonRecords, from_entries
from shared_models.store import entry_log, state
from shared_models.store.tables import MARK, RECORD, SHARED_TABLES, TOUCHED
from tests.builders import FieldPhone
from tests.strategies import EXAMPLES, law

OURS = "ours"


def add(connection, *entries: Entry) -> None:
    """Append entries and bring state up to them."""
    entry_log.append(connection, OURS, [seal(entry) for entry in entries])
    state.refold_touched(connection, OURS)


def small_group(chance: random.Random) -> list[Entry]:
    """What two phones record over three seasons in two gardens, undone and corrected at random."""
    one, two = FieldPhone(), FieldPhone()
    north, south = one.garden(), two.garden("Down", "south")
    trees = [one.tree(north, "1"), one.tree(north, "2"), two.tree(south, "3")]
    trap, moved = one.trap(north), two.trap(south)
    hung = {"trap": moved.rec, "from_day": "2025-10-01", "to_day": "2026-07-20"}
    placed = [two.makes("placement", {**hung, "garden": chance.choice([north, south]).rec})]
    entries = [north, south, *trees, trap, moved, *placed, one.same_tree(trees[0], trees[1])]
    for _ in range(chance.randint(1, 6)):
        phone, tree = chance.choice([one, two]), chance.choice(trees)
        day = chance.choice(["2025-09-01", "2026-02-28", "2026-08-20", "2026-12-31/2027-01-01", "unknown"])
        by_hand = {"season": chance.choice(["2026", "2025/26"])} if chance.random() < 0.2 else {}
        visit = phone.visit(tree, when=day, **by_hand)
        marks = [
            phone.mark(visit, chance.choice(["clean", "sting"]), cover=chance.choice(["none", "bare"]))
            for _ in range(chance.randint(0, 4))
        ]
        numbers = [phone.number(visit, chance.randint(0, 9), "clean"), phone.adjustment(visit, -1, "clean")]
        more = [phone.pick(tree, when=day, total=40), phone.job("netting", tree, when=day)]
        more += [phone.untreated(tree, when=day), phone.trap_visit(chance.choice([trap, moved]), 2, when=day)]
        made = [visit, *marks, *numbers, *more]
        undone = [phone.undoes(entry) for entry in made if chance.random() < 0.15]
        entries += [*made, *undone, *[phone.redoes(entry) for entry in made if chance.random() < 0.05]]
    return entries


def everything(season: SeasonRecords) -> tuple[object, ...]:
    """All that a report may look at, comparable."""
    records = {kind.kind: found for kind, found in season.records.items() if found}
    unplaced = sorted(season.unplaced, key=lambda record: record.rec)
    return season.season, records, season.tallies, unplaced, season.other_trap_visits


@settings(law, max_examples=max(30, EXAMPLES // 5))
@given(st.randoms(use_true_random=False))
def test_a_season_from_the_store_is_that_of_the_bare_entries(chance):
    entries = small_group(chance)
    arriving = entries.copy()
    chance.shuffle(arriving)
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        for table in SHARED_TABLES:
            table.create(connection)
        half = len(arriving) // 2
        add(connection, *arriving[:half])
        add(connection, *arriving[half:])
        for key in ("2025", "2026", "2027", "2025/26", "2026/27"):
            assert everything(state.season_records(connection, OURS, key)) == everything(
                from_entries(entries, key)
            )
    engine.dispose()


def test_state_is_the_same_bit_by_bit_and_rebuilt_on_both_databases(connection):
    entries = small_group(random.Random(11))
    for entry in entries:
        add(connection, entry)
    tables = (RECORD, MARK)
    before = [sorted(map(tuple, connection.execute(table.select()))) for table in tables]
    assert state.rebuild(connection, OURS) == len(fold_all(entries))
    assert [sorted(map(tuple, connection.execute(table.select()))) for table in tables] == before
    assert everything(state.season_records(connection, OURS, "2026")) == everything(
        from_entries(entries, "2026")
    )


def test_refolding_empties_the_list_of_touched_records(connection):
    phone = FieldPhone()
    garden = phone.garden()
    entry_log.append(connection, OURS, [seal(garden), seal(phone.tree(garden))])
    assert state.refold_touched(connection, OURS) == 2
    assert list(connection.execute(TOUCHED.select())) == []
    assert state.refold_touched(connection, OURS) == 0


def test_a_record_reads_back_as_it_was_folded(connection):
    phone = FieldPhone()
    garden = phone.garden("Hügel", lat=45.5)
    edit = phone.edits(garden, name="Dale", not_yet_known={"deep": [1]})
    add(connection, garden, edit)
    assert state.find(connection, OURS, garden.rec) == fold_all([garden, edit])[garden.rec]
    assert state.find(connection, "theirs", garden.rec) is None
    assert state.find(connection, OURS, phone.tree(garden).rec) is None


def test_an_entry_set_aside_is_folded_out_and_its_record_goes_when_it_was_the_only_one(connection):
    phone = FieldPhone()
    garden = phone.garden()
    edit, mark = phone.edits(garden, name="Dale"), phone.mark(garden, "clean")
    add(connection, garden, edit, mark)
    for entry in (edit, mark):
        entry_log.set_aside(connection, OURS, entry.id, entry.rec, True)
    state.refold_touched(connection, OURS)
    found = state.find(connection, OURS, garden.rec)
    assert found is not None and found.fields["name"] == "Hill"
    assert list(connection.execute(MARK.select())) == []
    entry_log.set_aside(connection, OURS, garden.id, garden.rec, True)
    state.refold_touched(connection, OURS)
    assert state.find(connection, OURS, garden.rec) is None


def test_a_kind_that_nobody_knows_yet_stays_in_the_log_unfolded(connection):
    bee = FieldPhone().makes("bee", {"name": "Maja"})
    add(connection, bee)
    assert state.find(connection, OURS, bee.rec) is None
    assert entry_log.size(connection, OURS) == 1


def test_live_records_of_a_kind_are_listed_by_id(connection):
    phone = FieldPhone()
    garden, gone = phone.garden("a"), phone.garden("b")
    tree = phone.tree(garden)
    add(connection, garden, gone, tree, phone.undoes(gone))
    assert [one.rec for one in state.of_kinds(connection, OURS, ["garden"])] == [garden.rec]
    both = state.of_kinds(connection, OURS, ["tree", "garden"])
    assert [one.rec for one in both] == sorted([garden.rec, tree.rec])


def test_the_tallies_of_a_visit_are_its_live_marks(connection):
    phone = FieldPhone()
    visit, other = phone.visit(phone.garden()), phone.visit(phone.garden())
    marks = [phone.mark(visit, "clean") for _ in range(3)]
    add(connection, visit, other, *marks, phone.mark(visit, "sting"), phone.mark(other, "clean"))
    add(connection, phone.undoes(marks[0]), phone.undoes(marks[0]))
    found = state.tallies(connection, OURS, visit.rec)
    assert [(tally.marks, tally.n) for tally in found] == [("clean", 2), ("sting", 1)]


def test_the_numbers_of_a_visit_are_its_live_numbers_and_adjustments(connection):
    phone = FieldPhone()
    visit, other = phone.visit(phone.garden()), phone.visit(phone.garden())
    number, adjustment, undone = phone.number(visit, 4), phone.adjustment(visit, 2), phone.number(visit, 9)
    add(connection, visit, number, adjustment, undone, phone.number(other, 7), phone.undoes(undone))
    found = state.numbers_of_visit(connection, OURS, visit.rec)
    assert {one.rec for one in found} == {number.rec, adjustment.rec}


def test_minus_one_finds_the_newest_live_mark_of_the_own_device(connection):
    phone, other = FieldPhone(), FieldPhone()
    visit = phone.visit(phone.garden())
    first, second = phone.mark(visit, "clean"), phone.mark(visit, "sting")
    other.wall = phone.wall
    add(connection, visit, first, second, other.mark(visit, "clean"))
    assert state.newest_mark(connection, OURS, visit.rec, phone.device) == second.rec
    add(connection, phone.undoes(second))
    assert state.newest_mark(connection, OURS, visit.rec, phone.device) == first.rec
    add(connection, phone.undoes(first))
    assert state.newest_mark(connection, OURS, visit.rec, phone.device) is None


@pytest.mark.parametrize("field", ["what", "place", "cover", "source"])
def test_a_mark_that_says_nothing_counts_as_one_that_says_the_usual(connection, field):
    phone = FieldPhone()
    visit = phone.visit(phone.garden())
    usual = {"what": "fruit", "place": "whole", "cover": "none", "source": "picked"}
    silent = {name: value for name, value in usual.items() if name != field}
    marks = [phone.makes("mark", {"visit": visit.rec, **said}) for said in (usual, silent)]
    add(connection, visit, *marks)
    said_apart = 2 if field == "source" else 1
    assert len(state.tallies(connection, OURS, visit.rec)) == said_apart


def test_a_record_whose_first_entry_is_set_aside_leaves_the_table_of_its_kind(connection):
    phone = FieldPhone()
    visit = phone.visit(phone.garden())
    mark = phone.mark(visit, "clean")
    note = phone.edits(mark.model_copy(update={"kind": "note"}), when="unknown", text="hm")
    add(connection, visit, mark, note)
    for aside in (True, False, True):
        entry_log.set_aside(connection, OURS, mark.id, mark.rec, aside)
        state.refold_touched(connection, OURS)
        assert (state.tallies(connection, OURS, visit.rec) == []) is aside
        assert (state.find(connection, OURS, mark.rec) is not None) is aside
