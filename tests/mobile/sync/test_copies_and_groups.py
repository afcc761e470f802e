"""Copies beside a server: what came by file is sent on, what came both ways is there once, in whatever order."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.workflows.copies import make_copy
from mobile.workflows.copies_in import take_in_copy
from mobile.workflows.season import report_of
from shared_models.records.gardens import Garden
from shared_models.season_records import from_entries
from tests.mobile.pages import fields_of, oldest_first
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total
from tests.shared_models.copy_file.archives import good_copy

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

ROUNDS = int(os.environ.get("POMEWARD_HISTORIES", "4")) * 2  # more of them look longer


def ids(store: PhoneStore) -> set[str]:
    """The ids of all entries on a phone."""
    return {entry.id for entry in oldest_first(store)}


def handed(giver: PhoneStore, taker: PhoneStore, folder: Path) -> list[str]:
    """Everything from one phone to another, as a file."""
    return take_in_copy(taker, make_copy(giver, str(folder)).file)


@pytest.mark.needs_server
def test_a_phone_that_was_alone_sends_its_own_and_what_came_by_file_once_it_joins(
    group: Group, phone: PhoneStore, neighbour: PhoneStore, phones: Phones, tmp_path: Path
) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    handed(phone, neighbour, tmp_path)
    mark(neighbour, visit)
    exchange(neighbour, group.connect(neighbour))
    assert neighbour.sharing().waiting == 0 and neighbour.sharing().needs_a_look == []
    third = phones.begun("third.db")
    exchange(third, group.connect(third))
    assert total(third, visit) == 2 and ids(neighbour) < ids(third)
    assert report_of(third, "2026") == report_of(neighbour, "2026")


@pytest.mark.needs_server
def test_two_phones_that_exchanged_by_file_and_both_join_have_everything_once(
    group: Group, phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path
) -> None:
    visit = picking_visit(phone)
    handed(phone, neighbour, tmp_path)
    mark(phone, visit)
    mark(neighbour, visit, "sting")
    handed(neighbour, phone, tmp_path)
    handed(phone, neighbour, tmp_path)
    for store in (phone, neighbour):
        group.connect(store)
    for store in (phone, neighbour, phone):
        exchange(store, group.door(store))
    held = ids(phone)
    assert ids(neighbour) == held and total(phone, visit) == total(neighbour, visit) == 2
    page = group.door(phone).pull(0, 100)
    assert {item.entry["id"] for item in page.items} == held and page.max == len(held)
    assert phone.sharing().waiting == neighbour.sharing().waiting == 0


@pytest.mark.needs_server
def test_a_file_brings_a_phone_of_the_group_nothing_twice(
    group: Group, phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path
) -> None:
    for store in (phone, neighbour):
        group.connect(store)
    visit = picking_visit(phone)
    file = make_copy(phone, str(tmp_path)).file
    take_in_copy(neighbour, file)
    exchange(phone, group.door(phone))
    outcome = exchange(neighbour, group.door(neighbour))
    assert outcome.held_back == outcome.refused == 0 and neighbour.sharing().waiting == 0
    take_in_copy(neighbour, file)
    assert neighbour.sharing().waiting == 0 and ids(phone) < ids(neighbour)
    mark(neighbour, visit)
    exchange(neighbour, group.door(neighbour))
    exchange(phone, group.door(phone))
    assert ids(phone) == ids(neighbour) and total(phone, visit) == 1


@pytest.mark.needs_server
def test_a_lost_phone_comes_back_from_its_copy_and_joins_again(
    group: Group, phone: PhoneStore, phones: Phones, clock: SetClock, tmp_path: Path
) -> None:
    group.connect(phone)
    visit = picking_visit(phone)
    exchange(phone, group.door(phone))
    mark(phone, visit)  # not shared any more
    file = make_copy(phone, str(tmp_path)).file
    before = ids(phone)
    phone.close()
    new = phones.begun("new.db", clock)
    take_in_copy(new, file)
    assert total(new, visit) == 1
    exchange(new, group.connect(new))
    assert before < ids(new) and new.sharing().waiting == 0
    assert before < {item.entry["id"] for item in group.door(new).pull(0, 100).items}


@pytest.mark.needs_server
def test_what_a_newer_app_wrote_waits_until_the_server_knows_it_and_holds_nothing_up(
    group: Group, phones: Phones, phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path
) -> None:
    visit = picking_visit(neighbour)
    entries = [fields_of(one) for one in oldest_first(neighbour)]
    later = entries[1] | {"v": 2}
    file = tmp_path / "came.copy"
    told = [entries[0], later, entries[2] | {"weather": "wet"}, *entries[3:]]
    file.write_bytes(good_copy(json.dumps(one, ensure_ascii=False, separators=(",", ":")) for one in told))
    take_in_copy(phone, str(file))
    exchange(phone, group.connect(phone))
    assert later["id"] not in {one.id for one in phone.sharing().needs_a_look}, (
        "told as a number, not one by one"
    )
    assert phone.sharing().unread == 1 and phone.sharing().waiting == 0
    assert {entry.id for entry in phone.history()} >= {
        entries[0]["id"],
        visit,
    }  # what cannot be read stops nothing
    assert visit in {item.entry["id"] for item in group.door(phone).pull(0, 100).items}
    exchange(phone, group.door(phone))  # and again, with what waits still there
    phone.close()
    phones.in_the_file("phone.db", "UPDATE entry SET body = replace(body, '\"v\":2', '\"v\":1')")
    assert [one.name for one in phones.open().all(Garden)] == ["Hill"]


@pytest.mark.needs_server
def test_an_entry_that_clashes_with_the_group_s_is_told_and_the_group_s_stands(
    group: Group, phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path
) -> None:
    picking_visit(neighbour)
    entries = [fields_of(one) for one in oldest_first(neighbour)]
    exchange(neighbour, group.connect(neighbour))
    file = tmp_path / "came.copy"
    other = entries[1] | {"f": {"name": "Valley", "hemisphere": "north"}}
    file.write_bytes(good_copy([json.dumps(other, ensure_ascii=False, separators=(",", ":"))]))
    take_in_copy(phone, str(file))
    assert [one.name for one in phone.all(Garden)] == ["Valley"]
    exchange(phone, group.connect(phone))
    assert [one.name for one in phone.all(Garden)] == ["Hill"]
    assert "Valley" in next(one.sentence for one in phone.sharing().needs_a_look)
    assert make_copy(phone, str(tmp_path)).good  # what counts nowhere is left out of the copy


class ThreePhones:
    """Three phones that hand each other files, and an independent count of the fruit tallied."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.phones = Phones(folder)
        self.clocks = [SetClock() for _ in range(3)]
        self.clocks[1].move(hours=-1)
        self.clocks[2].move(days=700)
        self.stores = [self.phones.begun(f"{one}.db", clock) for one, clock in enumerate(self.clocks)]
        self.visit = picking_visit(self.stores[0])
        self.files = [make_copy(self.stores[0], str(folder)).file]
        for store in self.stores[1:]:
            take_in_copy(store, self.files[0])
        self.made: set[str] = set()
        self.undone: set[str] = set()

    def do(self, what: str, one: int, number: int) -> None:
        """One of them does something; any file that was ever made may come, again and late."""
        store = self.stores[one]
        self.clocks[one].move(seconds=1)
        if what == "tally":
            self.made.add(mark(store, self.visit))
        elif what == "undo":
            newest = store.newest_own_mark(self.visit)
            if newest:
                store.undo(newest)
                self.undone.add(newest)
        elif what == "copy":
            self.files.append(make_copy(store, str(self.folder)).file)
        else:
            take_in_copy(store, self.files[number % len(self.files)])

    def heal(self, order: list[int]) -> None:
        """Everybody gives everybody a file, in this order."""
        for giver in (*order, *order):
            file = make_copy(self.stores[giver], str(self.folder)).file
            for store in self.stores:
                take_in_copy(store, file)


DOINGS = st.tuples(
    st.sampled_from(["tally", "tally", "undo", "copy", "take"]), st.integers(0, 2), st.integers(0, 50)
)


@settings(max_examples=ROUNDS, deadline=None)
@given(st.lists(DOINGS, max_size=25), st.permutations([0, 1, 2]))
def test_phones_that_hand_each_other_files_in_any_order_and_again_end_with_the_same(
    doings: list[tuple[str, int, int]], order: list[int]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        three = ThreePhones(Path(folder))
        for what, one, number in doings:
            three.do(what, one, number)
        three.heal(order)
        live = len(three.made - three.undone)
        reports = [report_of(store, "2026") for store in three.stores]
        assert reports[0] == reports[1] == reports[2]
        for store in three.stores:
            assert total(store, three.visit) == live and ids(store) == ids(three.stores[0])
            assert store.season("2026") == from_entries(oldest_first(store), "2026")
        three.phones.close()
