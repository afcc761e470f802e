"""Daily copies of the phone's file: when they are made, what is in them, and what is not."""

import os
import shutil
import sqlite3
import stat
import threading
from contextlib import closing
from pathlib import Path

import pytest

from mobile.storage import backups
from mobile.storage.beside import Beside
from mobile.storage.facts import Fact
from mobile.storage.phone_store import PhoneStore
from shared_models.protocol import ConnectReply
from shared_models.vocabulary import Role
from tests.mobile.pages import EPOCH
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total

TOKEN = "a-token-that-must-stay-on-this-phone"


def connected(store: PhoneStore, token: str = TOKEN) -> None:
    """The phone as it is after connecting; no server is asked."""
    reply = ConnectReply(
        server_time="2026-09-12T10:00:00+00:00",
        token=token,
        epoch=EPOCH,
        group="g1",
        group_name="Hillside",
        role=Role.KEEPER,
    )
    store.membership.join("https://garden.example", reply)


def copies(phones: Phones) -> list[str]:
    """What there is, by name."""
    return sorted(path.name for path in phones.folder.iterdir() if "backup" in path.name)


def marks_in(file: Path) -> int:
    with closing(sqlite3.connect(file)) as copy:
        return int(copy.execute("SELECT count(*) FROM entry WHERE kind = 'mark'").fetchone()[0])


def test_one_copy_a_day_and_the_newest_three_are_kept(
    phones: Phones, phone: PhoneStore, clock: SetClock
) -> None:
    visit = picking_visit(phone)
    for day in range(1, 6):
        mark(phone, visit)
        phone.safe_keeping.keep_safe()
        mark(phone, visit)
        phone.safe_keeping.keep_safe()  # the same day: nothing happens
        assert len(copies(phones)) == min(day, 3)
        clock.move(days=1)
    beside = Beside(phones.folder / "phone.db")
    assert [marks_in(path) for path in beside.backups()] == [9, 7, 5]
    assert copies(phones) == [f"phone.db.backup-{age}" for age in (1, 2, 3)]


def test_a_clock_that_was_set_back_does_not_stop_the_copies(phone: PhoneStore, clock: SetClock) -> None:
    clock.move(days=4000)
    phone.safe_keeping.keep_safe()
    clock.move(days=-4000)
    mark(phone, picking_visit(phone))
    phone.safe_keeping.keep_safe()
    assert [marks_in(path) for path in Beside(phone._database.path).backups()] == [1, 0]


def test_a_phone_that_was_not_begun_has_nothing_to_copy(phones: Phones) -> None:
    phones.open().safe_keeping.keep_safe()
    assert copies(phones) == []


def test_a_copy_is_a_whole_phone_by_itself(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    phone.save_place({"screen": "picking"})
    phone.save_choices({"scheme": "dusk"})
    phone.safe_keeping.keep_safe()
    shutil.copy(phones.folder / "phone.db.backup-1", phones.folder / "restored.db")
    restored = phones.open("restored.db")
    assert restored.history(100) == phone.history(100) and restored.identity == phone.identity
    assert (total(restored, visit), restored.place(), restored.choices()) == (
        1,
        {"screen": "picking"},
        {"scheme": "dusk"},
    )
    mark(restored, visit)
    assert total(restored, visit) == 2


def test_no_copy_holds_a_token_nor_one_from_before(phones: Phones, phone: PhoneStore) -> None:
    connected(phone, "the-token-from-before-" * 8)
    connected(phone)
    phone.safe_keeping.keep_safe()
    held = (phones.folder / "phone.db.backup-1").read_bytes()
    assert TOKEN.encode() not in held and b"the-token-from-before" not in held
    assert b"garden.example" in held
    shutil.copy(phones.folder / "phone.db.backup-1", phones.folder / "restored.db")
    restored = phones.open("restored.db")
    assert restored.membership.current() is None
    connected(restored, "a new token")
    again = restored.membership.current()
    assert again is not None and again.token == "a new token"
    mine = phone.membership.current()
    assert mine is not None and mine.token == TOKEN, "the phone itself stays connected"


def test_only_this_user_can_read_a_copy(phones: Phones, phone: PhoneStore) -> None:
    phone.safe_keeping.keep_safe()
    assert stat.S_IMODE((phones.folder / "phone.db.backup-1").stat().st_mode) == 0o600


def test_without_room_for_two_no_copy_is_made(
    phones: Phones, phone: PhoneStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    size = sum((phones.folder / name).stat().st_size for name in ("phone.db", "phone.db-wal", "phone.db-shm"))
    usage = shutil.disk_usage(phones.folder)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage._replace(free=2 * size - 1))
    phone.safe_keeping.keep_safe()
    assert copies(phones) == []
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage._replace(free=2 * size))
    phone.safe_keeping.keep_safe()
    assert copies(phones) == ["phone.db.backup-1"]


def test_a_copy_that_does_not_pass_its_check_replaces_nothing(
    phones: Phones, phone: PhoneStore, clock: SetClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone.safe_keeping.keep_safe()
    before = (phones.folder / "phone.db.backup-1").read_bytes()
    clock.move(days=1)
    spoil = backups._copy

    def spoilt(file: Path, new: Path) -> None:
        spoil(file, new)
        with new.open("r+b") as written:
            written.seek(4096 * 4 + 3)
            written.write(b"\xff" * 200)

    monkeypatch.setattr(backups, "_copy", spoilt)
    phone.safe_keeping.keep_safe()
    assert copies(phones) == ["phone.db.backup-1"]
    assert (phones.folder / "phone.db.backup-1").read_bytes() == before


def test_a_copy_of_an_altered_record_replaces_nothing_and_neither_does_a_list_of_it(
    phones: Phones, phone: PhoneStore, clock: SetClock
) -> None:
    mark(phone, picking_visit(phone))
    phone.safe_keeping.keep_safe()
    names = ("phone.db.backup-1", "phone.db.unsent")
    before = [(phones.folder / name).read_bytes() for name in names]
    phones.in_the_file("phone.db", "UPDATE entry SET body = replace(body, 'picked', 'packed')")
    clock.move(days=1)
    phone.safe_keeping.keep_safe()
    clock.move(days=1)
    phone.safe_keeping.keep_safe()
    assert [(phones.folder / name).read_bytes() for name in names] == before
    assert copies(phones) == ["phone.db.backup-1"] and (phones.folder / "phone.db.suspect").exists()
    phones.close()
    again = phones.open()
    assert len(again.history(100)) == 5 and again.safe_keeping.saved()[0].altered == 0


def test_what_a_broken_off_copy_left_is_taken_away_later(
    phones: Phones, phone: PhoneStore, clock: SetClock
) -> None:
    left = phones.folder / "phone.db.backup-new-1"
    left.write_bytes(b"half")
    long_ago = clock().timestamp() - 2 * 86_400
    os.utime(left, (long_ago, long_ago))
    phone.safe_keeping.keep_safe()
    assert copies(phones) == ["phone.db.backup-1"]


def test_touches_go_on_while_a_copy_is_made(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    made: list[str] = []
    stop = threading.Event()

    def tally() -> None:
        while not stop.is_set():
            made.append(mark(phone, visit))

    touching = threading.Thread(target=tally)
    touching.start()
    beside = Beside(phones.folder / "phone.db")
    counts = []
    for _ in range(5):
        before = len(made)
        assert backups.back_up(beside, phone.now())
        counts.append((before, marks_in(beside.backup(1)), len(made) + 1))
    stop.set()
    touching.join()
    assert all(before <= copied <= after for before, copied, after in counts)
    assert total(phone, visit) == len(made) > 5


def test_the_list_of_what_is_not_shared_is_made_anew_with_the_copy(phones: Phones, phone: PhoneStore) -> None:
    mark(phone, picking_visit(phone))
    (phones.folder / "phone.db.unsent").write_bytes(b"")
    phone.safe_keeping.keep_safe()
    assert len(list(phone.safe_keeping._unsent.bodies())) == 5


def test_the_token_is_the_only_secret_among_the_facts() -> None:
    assert {fact for fact in Fact if "token" in fact} == {Fact.TOKEN}
