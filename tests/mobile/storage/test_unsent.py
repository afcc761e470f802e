"""The second place of what is not shared: what it holds, what damage to it costs, and what it must never cost a touch."""

import os
import shutil
import stat
from pathlib import Path

import pytest

from mobile.storage.facts import Identity
from mobile.storage.phone_store import PhoneStore
from mobile.storage.unsent import Unsent
from mobile.workflows.copies import make_copy
from mobile.workflows.copies_in import take_in_copy
from shared_models.entries import read_entry
from tests.mobile.pages import oldest_first, page
from tests.mobile.phones import Phones, mark, picking_visit

OWNER = Identity("device", "person", "Europe/Rome")


def list_of(phones: Phones, name: str = "phone.db") -> Unsent:
    return Unsent(phones.folder / f"{name}.unsent")


def ids(found: Unsent) -> list[str]:
    return [read_entry(body).id for body in found.bodies()]


def waiting(store: PhoneStore) -> list[str]:
    return [one.id for one in store.outgoing.oldest(100_000, 1 << 30)]


def test_everything_that_is_recorded_is_in_it_as_it_was_recorded(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    phone.undo(mark(phone, visit))
    phone.record("note", {"when": "2026-09-12", "text": "zürich\n“quote” \U0001f34e", "about": visit})
    found = list_of(phones)
    assert list(found.bodies()) == [one.body for one in phone.outgoing.oldest(100, 1 << 20)]
    assert found.owner() == phone.identity


def test_only_this_user_can_read_it(phones: Phones, phone: PhoneStore) -> None:
    assert stat.S_IMODE((phones.folder / "phone.db.unsent").stat().st_mode) == 0o600
    phone.safe_keeping._write_unsent_anew()
    assert stat.S_IMODE((phones.folder / "phone.db.unsent").stat().st_mode) == 0o600


def test_what_was_refused_is_not_in_it(phones: Phones, phone: PhoneStore) -> None:
    before = ids(list_of(phones))
    with pytest.raises(Exception, match="label"):
        phone.record("tree", {"garden": before[0]})
    assert ids(list_of(phones)) == before


def test_a_torn_or_damaged_line_is_left_out_and_the_others_are_read(tmp_path: Path) -> None:
    found = Unsent(tmp_path / "list")
    for number in range(5):
        found.add([f'{{"id":{number}}}'])
    whole = (tmp_path / "list").read_bytes()
    texts = list(found.bodies())
    assert len(texts) == 5
    for end in range(len(whole)):
        (tmp_path / "list").write_bytes(whole[:end])
        complete = [text for text in texts if whole.index(text.encode()) + len(text) <= end]
        assert list(found.bodies()) == complete
    for place in range(len(whole)):
        flipped = bytearray(whole)
        flipped[place] ^= 0x10
        (tmp_path / "list").write_bytes(flipped)
        left = list(found.bodies())
        assert set(left) < set(texts) and len(left) >= 3, "a flipped line break spoils two lines"


def test_a_line_added_after_a_torn_one_is_whole(tmp_path: Path) -> None:
    found = Unsent(tmp_path / "list")
    found.add(["first", "second"])
    with (tmp_path / "list").open("r+b") as file:
        file.truncate(file.seek(0, os.SEEK_END) - 3)
    found.add(["third"])
    assert list(found.bodies()) == ["first", "third"]
    assert found.newest() == ["first", "third"]


def test_the_newest_are_read_from_the_end_alone(tmp_path: Path) -> None:
    found = Unsent(tmp_path / "list")
    found.add(f"number {number}" for number in range(100))
    assert found.newest(200)[-1] == "number 99"
    assert 3 <= len(found.newest(200)) <= 8


def test_it_is_emptied_when_everything_is_shared(phones: Phones, phone: PhoneStore) -> None:
    phone.safe_keeping.keep_safe()  # the day's copy is not what empties it
    mark(phone, picking_visit(phone))
    phone.incoming.take(page(oldest_first(phone)))
    assert waiting(phone) == [] and len(ids(list_of(phones))) == 5
    phone.safe_keeping.keep_safe()
    assert ids(list_of(phones)) == [] and list_of(phones).owner() == phone.identity


def test_it_is_left_as_it_is_while_little_of_it_was_shared(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    phone.safe_keeping.keep_safe()  # makes the day's copy, and the list with it
    before = (phones.folder / "phone.db.unsent").stat()
    mark(phone, visit)
    phone.safe_keeping.keep_safe()
    assert (phones.folder / "phone.db.unsent").stat().st_ino == before.st_ino


def test_it_is_made_anew_when_it_has_grown_far_beyond_what_waits(
    phones: Phones, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    visit = picking_visit(phone)
    for _ in range(40):
        mark(phone, visit)
    phone.safe_keeping.keep_safe()
    phone.incoming.take(page(oldest_first(phone)))
    mark(phone, visit)
    monkeypatch.setattr("mobile.storage.safe_keeping.GROWN", 1000)
    phone.safe_keeping.keep_safe()
    assert ids(list_of(phones)) == waiting(phone) and len(waiting(phone)) == 1
    mark(phone, visit)
    assert ids(list_of(phones)) == waiting(phone) and len(waiting(phone)) == 2


def test_what_is_added_while_it_is_made_anew_is_taken_over(tmp_path: Path) -> None:
    found, beside = Unsent(tmp_path / "list"), Unsent(tmp_path / "list")
    found.add(["shared", "waits"])
    beside.add(["waits too"])

    def what_waits() -> list[str]:
        beside.add(["recorded meanwhile"])
        return ["waits", "waits too"]

    found.make_anew(OWNER, what_waits)
    beside.add(["recorded by a window that had the old file open"])
    assert list(found.bodies()) == [
        "waits",
        "waits too",
        "recorded meanwhile",
        "recorded by a window that had the old file open",
    ]


def test_a_phone_from_before_there_was_such_a_list_gets_one(phones: Phones, phone: PhoneStore) -> None:
    mark(phone, picking_visit(phone))
    phones.close()
    (phones.folder / "phone.db.unsent").unlink()
    again = phones.open()
    assert ids(list_of(phones)) == waiting(again) and list_of(phones).owner() == phone.identity


def test_a_list_that_cannot_be_written_fails_no_touch(
    phones: Phones, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    visit = picking_visit(phone)

    def full(handle: int, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    mark(phone, visit)
    phone.safe_keeping._write_unsent_anew()
    monkeypatch.undo()
    assert "No space left" in caplog.text
    mark(phone, visit)
    assert len(phone.tallies(visit)) == 1 and phone.tallies(visit)[0].n == 2


def test_a_folder_in_its_place_fails_no_touch(phones: Phones) -> None:
    (phones.folder / "phone.db.unsent").mkdir()
    store = phones.begun()
    mark(store, picking_visit(store))
    assert len(waiting(store)) == 5
    shutil.rmtree(phones.folder / "phone.db.unsent")


def test_what_comes_with_a_copy_is_in_it_too(
    phones: Phones, phone: PhoneStore, neighbour: PhoneStore
) -> None:
    mark(neighbour, picking_visit(neighbour))
    made = make_copy(neighbour, str(phones.folder))
    take_in_copy(phone, made.file)
    assert ids(list_of(phones)) == waiting(phone) and len(waiting(phone)) == 6
