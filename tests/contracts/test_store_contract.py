"""What every store of entries promises: each entry once, numbers without a hole, the fold of the set and nothing else."""

import random
from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from shared_models.entries import Entry, canonical_text, seal
from shared_models.fold import fold_all
from shared_models.identifiers import new_id
from shared_models.season_records import TallyCount, from_entries
from tests.builders import MORNING, FieldPhone
from tests.contracts.histories import grouped, history

if TYPE_CHECKING:
    from tests.contracts.stores import StoreOfEntries

pytestmark = pytest.mark.needs_server


@pytest.fixture
def phone() -> FieldPhone:
    """Somebody who records."""
    return FieldPhone()


def tree_with_visit(phone: FieldPhone) -> tuple[list[Entry], Entry]:
    """A garden, a tree and a picking visit to it; the visit again by itself."""
    garden = phone.garden()
    tree = phone.tree(garden)
    visit = phone.visit(tree)
    return [garden, tree, visit], visit


def tallied(store: "StoreOfEntries", visit: Entry) -> list[TallyCount]:
    """What was tallied on a visit."""
    return [count for count in store.season("2026").tallies if count.visit == visit.rec]


def test_an_empty_store_has_nothing(fresh_store: "StoreOfEntries") -> None:
    assert fresh_store.page(0, 100) == [] and fresh_store.season_keys() == []
    assert fresh_store.known([new_id()]) == set() and fresh_store.folded(new_id()) is None
    assert fresh_store.season("2026") == from_entries([], "2026")


def test_entries_come_back_verbatim_with_dense_numbers(
    fresh_store: "StoreOfEntries", phone: FieldPhone
) -> None:
    entries, visit = tree_with_visit(phone)
    entries.append(
        phone.makes("note", {"when": "unknown", "text": "“Zürich” \U0001f34e\n", "about": visit.rec})
    )
    fresh_store.give(entries)
    found = fresh_store.page(0, 100)
    assert [one.seq for one in found] == [1, 2, 3, 4]
    assert [one.body for one in found] == [canonical_text(entry) for entry in entries]
    assert [one.hash for one in found] == [seal(entry).hash for entry in entries]


def test_what_arrives_again_changes_nothing(fresh_store: "StoreOfEntries", phone: FieldPhone) -> None:
    entries, visit = tree_with_visit(phone)
    entries.append(phone.mark(visit, "clean"))
    fresh_store.give(entries)
    before = fresh_store.page(0, 100), fresh_store.season("2026")
    fresh_store.give(entries)
    fresh_store.give([*entries, *entries])
    assert (fresh_store.page(0, 100), fresh_store.season("2026")) == before


def test_known_tells_which_ids_are_there(fresh_store: "StoreOfEntries", phone: FieldPhone) -> None:
    entries, _ = tree_with_visit(phone)
    fresh_store.give(entries)
    ids = [entry.id for entry in entries]
    assert fresh_store.known([*ids, new_id()]) == set(ids)
    assert fresh_store.known([]) == set()


@pytest.mark.parametrize("limit", [1, 2, 7, 100])
def test_pages_of_any_size_tile_the_log(fresh_store: "StoreOfEntries", phone: FieldPhone, limit: int) -> None:
    entries, visit = tree_with_visit(phone)
    entries += [phone.mark(visit, "clean") for _ in range(20)]
    for start in range(0, len(entries), 6):
        fresh_store.give(entries[start : start + 6])
    numbers: list[int] = []
    while page := fresh_store.page(numbers[-1] if numbers else 0, limit):
        numbers += [one.seq or 0 for one in page]
    assert numbers == list(range(1, len(entries) + 1))


@pytest.mark.parametrize("seed", range(4))
def test_records_are_the_fold_of_the_set_of_entries(fresh_store: "StoreOfEntries", seed: int) -> None:
    chance = random.Random(seed)
    entries = history(chance)
    for batch in grouped(chance, entries):
        fresh_store.give(batch)
        if chance.random() < 0.3:  # reading in between makes no difference
            fresh_store.season("2026")
    assert len(fresh_store.page(0, 1000)) == len(entries)
    for rec, folded in fold_all(entries).items():
        assert fresh_store.folded(rec) == folded
    assert fresh_store.season("2026") == from_entries(entries, "2026")
    assert fresh_store.season_keys() == ["2026"]


def test_order_repetition_and_grouping_make_no_difference(
    new_store: Callable[[], "StoreOfEntries"],
) -> None:
    chance = random.Random(11)
    entries = history(chance)
    at_once, in_pieces = new_store(), new_store()
    at_once.give(entries)
    for batch in grouped(chance, entries):
        in_pieces.give(batch)
    assert at_once.season("2026") == in_pieces.season("2026")
    assert [at_once.folded(entry.rec) for entry in entries] == [
        in_pieces.folded(entry.rec) for entry in entries
    ]


def test_an_undo_takes_one_mark_away_however_it_arrives(
    fresh_store: "StoreOfEntries", phone: FieldPhone
) -> None:
    entries, visit = tree_with_visit(phone)
    first, second = phone.mark(visit, "clean"), phone.mark(visit, "clean")
    early = phone.undoes(second)
    fresh_store.give([*entries, early, first])  # the undo before its mark
    fresh_store.give([second, phone.undoes(second), early])
    assert [count.n for count in tallied(fresh_store, visit)] == [1]
    fresh_store.give([phone.redoes(second)])
    assert [count.n for count in tallied(fresh_store, visit)] == [2]


def test_tallies_are_counted_by_what_the_marks_say(fresh_store: "StoreOfEntries", phone: FieldPhone) -> None:
    entries, visit = tree_with_visit(phone)
    entries += [phone.mark(visit, "clean") for _ in range(3)]
    entries += [phone.mark(visit, "sting", "deep_entry"), phone.mark(visit, "deep_entry", "sting")]
    entries += [phone.mark(visit, "clean", source="drop"), phone.mark(visit, "clean", cover="bagged")]
    entries += [phone.number(visit, 12, "clean"), phone.adjustment(visit, -2, "clean")]
    fresh_store.give(entries)
    counted = [(one.marks, one.source, one.cover, one.n) for one in tallied(fresh_store, visit)]
    assert sorted(counted) == [
        ("clean", "drop", "none", 1),
        ("clean", "picked", "bagged", 1),
        ("clean", "picked", "none", -2),
        ("clean", "picked", "none", 3),
        ("clean", "picked", "none", 12),
        ("deep_entry+sting", "picked", "none", 2),
    ]


def test_a_visit_moved_to_another_tree_takes_its_marks_along(
    fresh_store: "StoreOfEntries", phone: FieldPhone
) -> None:
    entries, visit = tree_with_visit(phone)
    other = phone.tree(entries[0], "2")
    fresh_store.give([*entries, phone.mark(visit, "clean"), other])
    fresh_store.give([phone.edits(visit, tree=other.rec)])
    season = fresh_store.season("2026")
    assert [one.fields["tree"] for one in [fresh_store.folded(visit.rec)] if one] == [other.rec]
    assert [count.n for count in season.tallies] == [1]


def test_both_halves_of_the_earth_have_their_own_seasons(
    fresh_store: "StoreOfEntries", phone: FieldPhone
) -> None:
    north, _ = tree_with_visit(phone)
    south = phone.garden("Far", hemisphere="south")
    tree = phone.tree(south)
    visit = phone.visit(tree, when="2027-02-10")
    entries = [*north, south, tree, visit, phone.mark(visit, "clean")]
    fresh_store.give(entries)
    assert {"2026", "2026/27"} <= set(fresh_store.season_keys())
    for key in ("2026", "2026/27", "2025/26"):
        assert fresh_store.season(key) == from_entries(entries, key)


def reused_ids(chance: random.Random) -> list[Entry]:
    """A visit tallied with numbers and marks whose ids others use for records of another kind, stamped as it falls."""
    phone, other = FieldPhone(), FieldPhone(MORNING + timedelta(minutes=chance.choice([-5, 5])))
    entries, visit = tree_with_visit(phone)
    for _ in range(6):
        made = chance.choice(
            [phone.mark(visit, "clean"), phone.number(visit, 3, "clean"), phone.visit(visit)]
        )
        kind = chance.choice(["note", "mark", "number", "visit"])
        fields = {"when": "2026-08-20", "text": "hm", "visit": visit.rec, "n": 5, "round": "picking"}
        again = other.edits(made.model_copy(update={"kind": kind}), tree=entries[1].rec, **fields)
        undone = [other.undoes(chance.choice([made, again]))] if chance.random() < 0.3 else []
        entries += [made, again, *undone]
    return entries


@pytest.mark.parametrize("seed", range(4))
def test_an_id_used_by_records_of_several_kinds_comes_to_the_same_in_any_order(
    new_store: Callable[[], "StoreOfEntries"], seed: int
) -> None:
    chance = random.Random(seed)
    entries = reused_ids(chance)
    for _ in range(3):
        store = new_store()
        for batch in grouped(chance, entries):
            store.give(batch)
            store.season("2026")
        assert store.season("2026") == from_entries(entries, "2026")
        for rec, folded in fold_all(entries).items():
            assert store.folded(rec) == folded
