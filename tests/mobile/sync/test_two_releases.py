"""A phone of a later release, one of this release, and a server of either: nothing is lost that one of them cannot
read, the person is told how much it is, and the update reads it."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.outbox import Waits
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.workflows.sharing import sharing_view
from mobile.workflows.sharing_line import sharing_line
from shared_models.records.gardens import Note
from tests.mobile.phones import Phones, mark, picking_visit, total
from tests.mobile.sync.two_releases import Hedge, OfLaterRelease, OfThisRelease, later_release

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server

Bodies = dict[str, str]


@pytest.fixture
def recorded(phone: PhoneStore) -> dict[str, str]:
    """What the phone of the later release recorded: a visit with a mark, hedges, a note that was corrected later."""
    visit = picking_visit(phone)
    note = phone.record("note", {"when": "2026-09-12", "text": "plain", "about": visit})
    with later_release():
        mark(phone, visit)
        hedges = [phone.record("hedge", {"name": name, "length_m": 12.5}) for name in ("north", "south")]
        phone.record("note", {"text": "corrected"}, note)
        newer = phone.record("note", {"when": "2026-09-12", "text": "new"})
    return {"visit": visit, "note": note, "newer": newer, "north": hedges[0], "south": hedges[1]}


def bodies(file: Path) -> Bodies:
    """The texts that a phone holds."""
    connection = sqlite3.connect(file)
    found = dict(connection.execute("SELECT id, body FROM entry"))
    connection.close()
    return found


def from_this_release(store: PhoneStore, group: Group) -> None:
    """This phone, of this release, exchanges with a server of the later one."""
    exchange(store, OfLaterRelease(group.door(store)))


def from_later_release(store: PhoneStore, group: Group) -> None:
    """A phone of the later release exchanges with a server of it."""
    with later_release():
        exchange(store, group.door(store))


def updated(phones: Phones, name: str, store: PhoneStore) -> PhoneStore:
    """The app after its update to the later release; called in it."""
    store.close()
    return phones.open(name)


def all_is_read(store: PhoneStore, other: PhoneStore, recorded: dict[str, str], marks: int = 1) -> None:
    """In the later release: everything is there and reads alike on both."""
    assert [one.name for one in store.all(Hedge)] == ["north", "south"]
    assert {one.text for one in store.all(Note)} == {"corrected", "new"}
    for rec in recorded.values():
        assert store.folded(rec) == other.folded(rec)
    assert total(store, recorded["visit"]) == total(other, recorded["visit"]) == marks
    assert store.sharing().unread == 0 and sharing_view(store).needs_a_look == []


def test_a_server_that_is_too_old_stores_nothing_of_it_and_the_phone_keeps_and_counts_it(
    group: Group, phone: PhoneStore, recorded: dict[str, str]
) -> None:
    group.connect(phone)
    with later_release():
        outcome = exchange(phone, OfThisRelease(group.door(phone)))
        assert (outcome.pushed, outcome.later) == (6, 4), "two hedges, and two notes of a later version"
        looks = phone.sharing().needs_a_look
        assert {look.state for look in looks} == {Waits.LATER} and phone.sharing().unread == 0
        assert all("counts here" in look.sentence and look.sentence.endswith(".") for look in looks)
        assert [one.name for one in phone.all(Hedge)] == ["north", "south"]
        again = exchange(phone, OfThisRelease(group.door(phone)))
        assert (again.pushed, again.later) == (0, 0), "not sent again to the same server"
        shared = exchange(phone, group.door(phone))
        assert shared.pushed == 4 and phone.sharing().needs_a_look == [], "as soon as the server knows more"


def test_an_older_phone_keeps_it_verbatim_tells_how_much_and_reads_it_after_the_update(
    group: Group, phones: Phones, phone: PhoneStore, neighbour: PhoneStore, recorded: dict[str, str]
) -> None:
    for store in (phone, neighbour):
        group.connect(store)
    from_later_release(phone, group)
    from_this_release(neighbour, group)
    here, there = bodies(phones.folder / "neighbour.db"), bodies(phones.folder / "phone.db")
    assert there.items() <= here.items(), "byte for byte"
    assert neighbour.folded(recorded["north"]) is None
    assert [one.text for one in neighbour.all(Note)] == ["plain"]
    assert neighbour.sharing().unread == 4 and neighbour.sharing().needs_a_look == []
    (line,) = sharing_view(neighbour).needs_a_look
    assert line.rec == "" and line.why.startswith("4 records were made or changed by a newer app.")
    assert "kept as it came" in line.why and line.to_do.startswith("Update the app")
    assert sharing_line(neighbour) == "4 need a look"
    mark(neighbour, recorded["visit"])
    neighbour.undo(mark(neighbour, recorded["visit"]))
    from_this_release(neighbour, group)
    from_later_release(phone, group)
    with later_release():
        neighbour = updated(phones, "neighbour.db", neighbour)
        all_is_read(neighbour, phone, recorded, marks=2)
        assert neighbour.season("2026") == phone.season("2026")


def test_one_record_is_told_as_one(phone: PhoneStore, neighbour: PhoneStore, group: Group) -> None:
    for store in (phone, neighbour):
        group.connect(store)
    with later_release():
        hedge = phone.record("hedge", {"name": "long"})
        phone.record("hedge", {"length_m": 3}, hedge)
    from_later_release(phone, group)
    from_this_release(neighbour, group)
    (line,) = sharing_view(neighbour).needs_a_look
    assert line.why.startswith("1 record was made or changed by a newer app.")
    assert sharing_line(neighbour) == "1 needs a look"


# ---------------------------------------------------------------- starting over in between
@pytest.fixture
def left_over(
    group: Group,
    phones: Phones,
    phone: PhoneStore,
    neighbour: PhoneStore,
    recorded: dict[str, str],
    tmp_path: Path,
) -> PhoneStore:
    """The older phone, which holds what the later one shared; the server was put back to before that."""
    for store in (phone, neighbour):
        group.connect(store)
    group.database.close()
    backup = shutil.copy(group.file, tmp_path / "backup.sqlite")
    group.reopen()
    from_later_release(phone, group)
    from_this_release(neighbour, group)
    group.database.close()
    shutil.copy(backup, group.file)
    group.reopen()
    return neighbour


def held_by_server(group: Group, store: PhoneStore) -> Bodies:
    """The texts that the server gives out."""
    return {one.entry["id"]: dumps(one.entry) for one in group.door(store).pull(0, 2000).items}


def dumps(entry: object) -> str:
    """An entry as it stands in a log."""
    return json.dumps(entry, ensure_ascii=False, separators=(",", ":"))


def test_a_phone_that_cannot_read_it_gives_it_back_to_a_server_that_lost_it(
    group: Group, phones: Phones, phone: PhoneStore, left_over: PhoneStore, recorded: dict[str, str]
) -> None:
    before = bodies(phones.folder / "neighbour.db")
    from_this_release(left_over, group)
    assert held_by_server(group, left_over) == bodies(phones.folder / "neighbour.db") == before
    assert left_over.sharing().unread == 4 and left_over.sharing().waiting == 0
    with later_release():
        all_is_read(updated(phones, "neighbour.db", left_over), phone, recorded)


def test_an_update_right_after_starting_over_reads_it_before_anything_was_sent(
    group: Group, phones: Phones, phone: PhoneStore, left_over: PhoneStore, recorded: dict[str, str]
) -> None:
    left_over.incoming.start_over()
    assert left_over.sharing().unread == 4 and left_over.sharing().waiting == len(
        bodies(phones.folder / "neighbour.db")
    )
    with later_release():
        left_over = updated(phones, "neighbour.db", left_over)
        all_is_read(left_over, phone, recorded)
        exchange(left_over, group.door(left_over))
        all_is_read(left_over, phone, recorded)
    assert held_by_server(group, left_over) == bodies(phones.folder / "neighbour.db")


def test_a_server_that_was_put_back_to_this_release_too_gets_it_once_it_is_updated(
    group: Group, phones: Phones, phone: PhoneStore, left_over: PhoneStore, recorded: dict[str, str]
) -> None:
    outcome = exchange(left_over, group.door(left_over))
    assert outcome.later == 4
    (line,) = sharing_view(left_over).needs_a_look
    assert line.why.startswith("4 records were made or changed by a newer app."), (
        "said once, not entry by entry"
    )
    from_this_release(left_over, group)
    assert held_by_server(group, left_over) == bodies(phones.folder / "neighbour.db")
    assert left_over.sharing().unread == 4
    with later_release():
        all_is_read(updated(phones, "neighbour.db", left_over), phone, recorded)


def test_an_update_reads_what_a_server_of_this_release_does_not_take(
    group: Group, phones: Phones, phone: PhoneStore, left_over: PhoneStore, recorded: dict[str, str]
) -> None:
    exchange(left_over, group.door(left_over))
    with later_release():
        left_over = updated(phones, "neighbour.db", left_over)
        assert [one.name for one in left_over.all(Hedge)] == ["north", "south"]
        assert left_over.sharing().unread == 0
        assert [look.state for look in left_over.sharing().needs_a_look] == [Waits.LATER] * 4
        exchange(left_over, group.door(left_over))
        all_is_read(left_over, phone, recorded)


def test_what_the_server_holds_back_is_not_read_by_an_update(
    group: Group, phones: Phones, phone: PhoneStore
) -> None:
    """It stands aside too, and is nothing that a newer app could read."""
    visit = picking_visit(phone)
    number = phone.record("number", {"visit": visit, "marks": ["clean"], "n": 12})
    was, bad = '"n":12', '"n":-12'
    phones.in_the_file(
        "phone.db", "UPDATE entry SET body = replace(body, ?, ?) WHERE id = ?", was, bad, number
    )
    group.connect(phone)
    assert exchange(phone, group.door(phone)).held_back == 1
    phones.in_the_file(
        "phone.db", "UPDATE entry SET body = replace(body, ?, ?) WHERE id = ?", bad, was, number
    )
    phone.incoming.start_over()
    assert phone.sharing().unread == 0
    phone = updated(phones, "phone.db", phone)
    assert total(phone, visit) == 0 and len(phone.sharing().needs_a_look) == 1


def test_a_server_says_when_it_knows_other_records(group: Group, phone: PhoneStore) -> None:
    group.connect(phone)
    before = group.door(phone).hello()
    with later_release():
        assert group.door(phone).hello().knows != before.knows
    assert group.door(phone).hello().knows == before.knows
