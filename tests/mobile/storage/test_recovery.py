"""A damaged file loses nothing that the file itself, the newest copy and the list of what was not shared still hold."""

import os
import random
import shutil
import sqlite3
from pathlib import Path

import pytest

from mobile.storage.beside import Beside
from mobile.storage.facts import Identity
from mobile.storage.phone_store import PhoneStore
from mobile.storage.saved import Saved
from shared_models.errors import StoreError
from shared_models.records.gardens import Garden
from shared_models.stamps import LATEST_MS
from tests.mobile.pages import oldest_first, page
from tests.mobile.phones import Phones, SetClock, mark, picking_visit
from tests.mobile.storage import damage
from tests.mobile.storage.damage import Stopped, check, held, stopped_phone

ROOT = Path(__file__).parents[3]
NAMES = ("phone.db.damaged-2026-09-12", "phone.db.damaged-2026-09-12-2")
TIMES = int(os.environ.get("POMEWARD_DAMAGES", "3"))


def spoil_root(file: Path, table: str) -> None:
    """Let a table's tree begin with nothing, as a phone that met it at work leaves it."""
    with sqlite3.connect(file) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_schema WHERE name = ?", (table,)).fetchone()
    connection.close()
    with file.open("r+b") as pages:
        pages.seek((root - 1) * 4096)
        pages.write(bytes(4096))
    Beside(file).suspect.touch()


def started_until_whole(stopped: Stopped) -> PhoneStore:
    """Start, look at the whole file as the phone does once a week, and start again where that finds damage."""
    for _ in range(3):
        clock = SetClock()
        clock.move(days=8)
        try:
            store = PhoneStore(stopped.file, clock)
            if store.safe_keeping.check_if_due():
                return store
            store.close()
        except StoreError:  # read at the start: it is noted, and looked at by the next start
            assert stopped.beside.suspect.exists()
    raise AssertionError("a start does not put the file in order")


@pytest.mark.parametrize("way", damage.WAYS, ids=lambda way: way.__name__)
def test_however_the_file_is_spoilt_everything_is_there_again(
    whole: Stopped, tmp_path: Path, way: damage.Spoil
) -> None:
    for number in range(TIMES):
        chance = random.Random(f"{way.__name__} {number}")
        stopped = whole.in_folder(tmp_path / str(number))
        way(stopped.file, chance)
        store = started_until_whole(stopped)
        now = held(store, whole.visit)
        assert now.entries == whole.before.entries, number
        assert now.identity == whole.before.identity
        waiting = {one.id for one in store.outgoing.oldest(100_000, 1 << 30)}
        assert waiting >= set(whole.before.entries) - whole.shared, "what was not shared waits again"
        if [saved for saved in store.safe_keeping.saved() if saved.kept_as]:
            assert (now.records, now.tallies) == (whole.before.records, whole.before.tallies)
            assert store.incoming.cursor() == 0
        later = mark(store, stopped.visit)
        assert store.entries_of(later)[0].stamp > whole.before.newest_stamp
        store.close()
        assert check(stopped.file) == "ok"


def test_a_stopped_phone_that_nobody_spoilt_is_opened_as_it_is(stopped: Stopped) -> None:
    now, store = stopped.again()
    assert now == stopped.before and store.safe_keeping.saved() == []
    store.close()
    assert not [path for path in stopped.folder.iterdir() if "damaged" in path.name]


def test_the_damaged_file_is_kept_as_it_was_with_its_journal(stopped: Stopped) -> None:
    damage.cut_short(stopped.file, random.Random(3))
    before = [path.read_bytes() for path in (stopped.file, stopped.file.with_name("phone.db-wal"))]
    clock = SetClock()
    stopped.again(clock)[1].close()
    aside = stopped.folder / "phone.db.damaged-2026-09-12"
    assert [path.read_bytes() for path in (aside, aside.with_name(aside.name + "-wal"))] == before


def test_a_second_damage_on_one_day_is_kept_under_another_name(stopped: Stopped) -> None:
    for number in (1, 2):
        with stopped.file.open("r+b") as file:
            file.truncate(9000)
        now, store = stopped.again(SetClock())
        assert now.entries == stopped.before.entries
        assert store.safe_keeping.saved()[-1].kept_as == NAMES[number - 1]
        store.close()
    names = {path.name for path in stopped.folder.iterdir() if "damaged" in path.name}
    assert names >= set(NAMES)


def test_it_is_told_how_many_came_from_where_until_it_was_read(stopped: Stopped) -> None:
    damage.spoil_head(stopped.file, random.Random(1))
    stopped.file.write_bytes(b"\0" * stopped.file.stat().st_size)
    stopped.file.with_name("phone.db-wal").unlink()
    _, store = stopped.again(SetClock())
    (saved,) = store.safe_keeping.saved()
    copied = len(stopped.shared)
    assert saved == Saved(
        at="2026-09-12T10:00:00+02:00",
        from_copy=copied,
        from_list=len(stopped.before.entries) - copied,
        copied_at="2026-09-12T10:00:00+02:00",
        kept_as="phone.db.damaged-2026-09-12",
    )
    store.close()
    _, again = stopped.again()
    assert again.safe_keeping.saved() == [saved]
    again.safe_keeping.saved_was_read()
    assert again.safe_keeping.saved() == []
    again.close()


def test_without_a_copy_and_a_list_what_can_be_read_of_the_file_is_saved(stopped: Stopped) -> None:
    for path in (stopped.beside.backup(1), stopped.beside.unsent):
        path.unlink()
    stopped.file.with_name("phone.db-wal").unlink()
    with stopped.file.open("r+b") as file:
        file.truncate(stopped.file.stat().st_size - 3 * 4096)
    now, store = stopped.again()
    (saved,) = store.safe_keeping.saved()
    assert saved.from_file == saved.total == len(now.entries) > 0
    assert now.identity == stopped.before.identity
    assert now.entries.items() <= stopped.before.entries.items()
    store.close()


def test_pages_are_read_where_the_trees_cannot_be_followed(stopped: Stopped) -> None:
    """The list and the copy are gone and the table's root is spoilt: its leaf pages are still there."""
    for path in (stopped.beside.backup(1), stopped.beside.unsent):
        path.unlink()
    with sqlite3.connect(stopped.file) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        roots = connection.execute("SELECT rootpage FROM sqlite_schema WHERE rootpage > 1").fetchall()
    connection.close()
    whole = bytearray(stopped.file.read_bytes())
    inner = [root for (root,) in roots if whole[(root - 1) * 4096] in (0x02, 0x05)]
    assert inner, "the phone has recorded enough for trees of two storeys"
    for root in inner:
        whole[(root - 1) * 4096 : root * 4096] = bytes(4096)
    stopped.file.write_bytes(whole)
    stopped.beside.suspect.touch()
    now, store = stopped.again()
    assert now.entries == stopped.before.entries and now.identity == stopped.before.identity
    assert now.tallies == stopped.before.tallies
    store.close()


def test_an_altered_record_is_left_out_and_counted_where_nothing_else_has_it(stopped: Stopped) -> None:
    for path in (stopped.beside.backup(1), stopped.beside.unsent):
        path.unlink()
    victim = next(entry.id for entry in stopped.before.entries.values() if entry.kind == "mark")
    with sqlite3.connect(stopped.file) as connection:
        connection.execute(
            "UPDATE entry SET body = replace(body, 'picked', 'packed') WHERE id = ?", (victim,)
        )
    connection.close()
    store = started_until_whole(stopped)
    (saved,) = store.safe_keeping.saved()
    assert saved.altered == 1 and saved.from_file == len(stopped.before.entries) - 1
    assert victim not in held(store, stopped.visit).entries
    store.close()


def test_the_journal_of_another_phone_is_put_aside_and_nothing_is_mixed(
    stopped: Stopped, tmp_path: Path
) -> None:
    other = stopped_phone(tmp_path / "other", marks=90)
    shutil.copy(other.folder / "phone.db-wal", stopped.folder / "phone.db-wal")
    now, store = stopped.again()
    assert now.entries == stopped.before.entries and now.identity == stopped.before.identity
    assert check(store._database.path) == "ok"
    store.close()
    assert [
        path for path in stopped.folder.iterdir() if path.name.endswith("-wal") and "damaged" in path.name
    ]


def test_a_newest_copy_that_is_damaged_is_passed_over(stopped: Stopped) -> None:
    copy = stopped.beside.backup(1)
    shutil.copy(copy, stopped.beside.backup(2))
    copy.write_bytes(copy.read_bytes()[:9000])
    stopped.file.unlink()
    stopped.file.with_name("phone.db-wal").unlink()
    now, store = stopped.again()
    assert now.entries == stopped.before.entries
    store.close()


def test_the_token_is_kept_where_the_file_still_tells_it(phones: Phones, phone: PhoneStore) -> None:
    from tests.mobile.storage.test_backups import TOKEN, connected

    connected(phone)
    mark(phone, picking_visit(phone))
    phone.safe_keeping.keep_safe()
    phones.close()
    file = phones.folder / "phone.db"
    whole = bytearray(file.read_bytes())
    whole[28:32] = (1_000_000).to_bytes(4, "big")  # says that it is longer than it is
    file.write_bytes(whole)
    again = phones.open()
    member = again.membership.current()
    assert member is not None and member.token == TOKEN
    again.close()
    file.write_bytes(b"\0" * 9000)
    once_more = phones.open()
    assert once_more.membership.current() is None and once_more.membership.group_left() == "Hillside"
    assert once_more.identity == phone.identity


def test_what_stood_aside_stands_aside_again(phones: Phones, phone: PhoneStore) -> None:
    from mobile.storage.outbox import Waits
    from mobile.storage.outgoing import Answer, Attempt

    visit = picking_visit(phone)
    mark(phone, visit)
    last = phone.outgoing.oldest(100, 1 << 20)[-1]
    answer = Answer(last, aside=Waits.HELD_BACK, field="marks", code="x", sentence="Wrong mark.")
    phone.outgoing.settle([answer], Attempt("1", "t"))
    before = phone.sharing()
    phones.close()
    spoil_root(phones.folder / "phone.db", "record")
    again = phones.open()
    assert again.sharing() == before and again.tallies(visit) == []
    assert again.safe_keeping.saved()[0].from_file == 5


def test_a_file_that_was_never_ours_is_left_alone_even_beside_a_copy(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "phone.db") as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    other.close()
    before = (tmp_path / "phone.db").read_bytes()
    with pytest.raises(StoreError, match="no Pomeward file"):
        PhoneStore(tmp_path / "phone.db")
    assert (tmp_path / "phone.db").read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["phone.db"]


def test_an_old_copy_put_back_is_an_ordinary_merge(stopped: Stopped, phones: Phones, clock: SetClock) -> None:
    """What was shared since comes from the group, what was not from the list; in the end nothing differs."""
    group = phones.begun("neighbour.db", clock)
    shared = [entry for entry in stopped.before.entries.values() if entry.id in stopped.shared]
    shared.sort(key=lambda entry: (entry.stamp, entry.id))
    group.record("garden", {"name": "Far", "hemisphere": "south"})
    extra = oldest_first(group)
    shutil.copy(stopped.beside.backup(1), stopped.file)
    stopped.file.with_name("phone.db-wal").unlink()
    now, store = stopped.again(clock)
    assert now.entries == stopped.before.entries
    store.incoming.take(page(extra, since=len(shared)))
    assert set(held(store, stopped.visit).entries) == set(stopped.before.entries) | {one.id for one in extra}
    assert {garden.name for garden in store.all(Garden)} == {"Hill", "Far"}
    assert held(store, stopped.visit).tallies == stopped.before.tallies
    mark(store, stopped.visit)
    assert store.history(1)[0].stamp > max(stopped.before.newest_stamp, extra[-1].stamp)
    store.close()


def test_a_stamp_beyond_belief_does_not_become_the_last_one(phones: Phones, phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    one = oldest_first(phone)[-1].model_dump(exclude_none=True)
    beyond = one | {"id": one["id"][:-4] + "abcd", "rec": one["id"], "stamp": f"{(LATEST_MS << 16) + 1:016x}"}
    phone.incoming.take(page([beyond]))
    phones.close()
    file = phones.folder / "phone.db"
    file.write_bytes(file.read_bytes()[:-4096])
    again = phones.open()
    assert len(again.safe_keeping.saved()) == 1
    mark(again, visit)
    assert again.entries_of(again.newest_own_mark(visit) or "")[0].stamp < beyond["stamp"]


def test_a_phone_whose_owner_nobody_knows_any_more_keeps_its_records(stopped: Stopped) -> None:
    with sqlite3.connect(stopped.file) as connection:
        connection.execute("DELETE FROM phone")
    connection.close()
    stopped.beside.unsent.unlink()
    stopped.beside.backup(1).unlink()
    stopped.beside.suspect.touch()
    with sqlite3.connect(stopped.file) as connection:
        connection.execute("UPDATE entry SET seq = NULL")
    connection.close()
    store = PhoneStore(stopped.file)
    assert store.identity is None
    assert isinstance(store.begin("Keeper again", "Europe/Rome"), Identity)
    assert set(stopped.before.entries) < {entry.id for entry in store.history(100_000)}
    store.close()
