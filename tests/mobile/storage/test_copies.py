"""Copies of a phone's records as files: made of one moment, looked through, taken in, and never taken twice."""

from __future__ import annotations

import json
import os
import sqlite3
import threading
import tracemalloc
from pathlib import Path
from typing import Any

import pytest

from mobile.storage.copies import LastCopy, TakenIn
from mobile.storage.copy_merge import merge_copied
from mobile.storage.copy_place import free_name
from mobile.storage.phone_store import PhoneStore
from shared_models.copy_file.lines import Wrong
from shared_models.entries import canonical_text
from shared_models.errors import BadInputError, StoreError
from shared_models.records.gardens import Garden
from tests.mobile.pages import EPOCH, fields_of, oldest_first, page
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total
from tests.shared_models.copy_file.archives import good_copy, made_up


@pytest.fixture
def visit(neighbour: PhoneStore) -> str:
    """A picking visit of three marks on the neighbour's phone, one of them undone."""
    visit = picking_visit(neighbour)
    mark(neighbour, visit)
    mark(neighbour, visit, "sting")
    neighbour.undo(mark(neighbour, visit))
    return visit


def copy_of(store: PhoneStore, folder: Path) -> Path:
    """A copy of all that a phone holds, noted as its last one."""
    with store.copies.moment() as moment:
        made = store.copies.write(moment, folder, "Ida (invented)", store.now())
    store.copies.note(made)
    return Path(made.file)


def file_of(folder: Path, content: bytes) -> Path:
    """A file with this content."""
    file = folder / "came.copy"
    file.write_bytes(content)
    return file


def copy_with(folder: Path, *fields: dict[str, Any]) -> Path:
    """A copy with these entries, made up."""
    return file_of(
        folder, good_copy(json.dumps(one, ensure_ascii=False, separators=(",", ":")) for one in fields)
    )


def test_what_leaves_one_phone_comes_to_another(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    file = copy_of(neighbour, tmp_path)
    assert file.name == "pomeward 2026-09-12 1000.copy" and file.stat().st_mode & 0o777 == 0o600
    entries = oldest_first(neighbour)
    assert phone.copies.look(file, {visit, "another"}).new == len(entries)
    taken = phone.copies.take(file)
    assert (taken.new, taken.here, taken.unread, taken.refused) == (len(entries), 0, 0, 0)
    assert phone.season("2026").tallies == neighbour.season("2026").tallies and total(phone, visit) == 2
    assert {canonical_text(one) for one in entries} < {canonical_text(one) for one in oldest_first(phone)}
    assert phone.sharing().waiting == len(entries) + 1 and phone.sharing().shared == 0


def test_taken_twice_it_changes_nothing(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    file = copy_of(neighbour, tmp_path)
    phone.copies.take(file)
    before = oldest_first(phone), phone.season("2026"), phone.sharing()
    taken = phone.copies.take(file)
    assert (taken.new, taken.here) == (0, len(oldest_first(neighbour)))
    assert (oldest_first(phone), phone.season("2026"), phone.sharing()) == before
    assert phone.copies.look(file).new == 0


def test_a_copy_is_of_one_moment_whatever_is_recorded_while_it_is_written(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    held = neighbour.entries_held()
    with neighbour.copies.moment() as moment:
        before = moment.fingerprint()
        mark(neighbour, visit)
        neighbour.record("tree", {"label": "8", "garden": neighbour.all(Garden)[0].rec})
        made = neighbour.copies.write(moment, tmp_path, "Ida", neighbour.now())
        assert moment.fingerprint() == before
    assert made.entries == before.entries == held and neighbour.entries_held() == held + 2
    assert phone.copies.take(Path(made.file)).new == held


def test_nobody_waits_while_a_copy_is_made(neighbour: PhoneStore, visit: str) -> None:
    with neighbour.copies.moment():
        done: list[str] = []
        touch = threading.Thread(target=lambda: done.append(mark(neighbour, visit)))
        touch.start()
        touch.join(5)
        assert done


def test_the_next_edit_lies_after_what_came_and_a_stamp_beyond_belief_stops_nothing(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    garden = neighbour.all(Garden)[0].rec
    entries = [fields_of(one) for one in oldest_first(neighbour)]
    ahead = entries[1] | {"stamp": "01b0000000000000"}  # a fast clock
    wild = entries[2] | {"stamp": "ffffffffffffffff"}
    phone.copies.take(copy_with(tmp_path, ahead, wild))
    phone.record("garden", {"name": "Seen and changed"}, garden)
    assert phone.all(Garden)[0].name == "Seen and changed"
    assert "01b0000000000000" < phone.entries_of(garden)[-1].stamp < "01b0000000100000"


def test_what_a_newer_app_wrote_is_kept_waits_and_is_read_after_the_update(
    phones: Phones, phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    person, garden, tree, *rest = (fields_of(one) for one in oldest_first(neighbour))
    strange = [person, garden | {"v": 2}, tree | {"kind": "hedge"}, rest[0] | {"weather": "wet"}]
    taken = phone.copies.take(copy_with(tmp_path, *strange))
    assert (taken.new, taken.unread, taken.refused) == (4, 3, 0)
    assert phone.all(Garden) == [] and phone.sharing().waiting == 5
    phone.incoming.take(page([]))  # an exchange goes on around them
    phones.close()
    phones.in_the_file("phone.db", "UPDATE entry SET body = replace(body, '\"v\":2', '\"v\":1')")
    again = phones.open()
    assert [one.name for one in again.all(Garden)] == ["Hill"] and again.sharing().waiting == 5


def test_bad_lines_are_named_and_the_others_taken(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    good = [canonical_text(one).encode() for one in oldest_first(neighbour)]
    lines = [good[0], b"hello", *good[1:], b'{"id":1}', good[2].replace(b'"f":{', b'"f":{"Bad":1,')]
    taken = phone.copies.take(file_of(tmp_path, made_up(b"".join(line + b"\n" for line in lines))))
    assert (taken.new, taken.refused) == (len(good), 3)
    assert taken.told == [
        (2, Wrong.NO_ENTRY),
        (len(lines) - 1, Wrong.NO_ENTRY),
        (len(lines), Wrong.BAD_ENTRY),
    ]
    assert total(phone, visit) == 2


@pytest.mark.parametrize("first_here", [True, False])
def test_where_another_record_has_the_id_the_one_that_is_here_stays_and_the_other_is_named(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path, first_here: bool
) -> None:
    entries = [fields_of(one) for one in oldest_first(neighbour)]
    other = entries[1] | {"f": {"name": "Valley", "hemisphere": "north"}}
    if first_here:
        phone.copies.take(copy_with(tmp_path, *entries))
        taken = phone.copies.take(copy_with(tmp_path, entries[0], other))
        assert (taken.new, taken.here) == (0, 1)
    else:  # both stand in one file
        taken = phone.copies.take(copy_with(tmp_path, *entries, other))
        assert taken.new == len(entries)
    assert [why for _, why in taken.told] == [Wrong.OTHER_HERE] and taken.refused == 1
    assert [one.name for one in phone.all(Garden)] == ["Hill"]


def test_an_entry_written_in_another_order_is_the_same_entry(
    phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    entries = [fields_of(one) for one in oldest_first(neighbour)]
    phone.copies.take(copy_with(tmp_path, *entries))
    turned = [dict(reversed(one.items())) for one in entries]
    taken = phone.copies.take(copy_with(tmp_path, *turned))
    assert (taken.new, taken.here, taken.refused) == (0, len(entries), 0)


@pytest.mark.parametrize("content", [b"", b"hello", made_up(b"{}\n", entries=2), made_up(b"{}\n", version=9)])
def test_a_file_that_is_no_good_copy_changes_nothing(
    phone: PhoneStore, tmp_path: Path, content: bytes
) -> None:
    with pytest.raises(BadInputError, match="Nothing was taken from it"):
        phone.copies.take(file_of(tmp_path, content))
    assert phone.entries_held() == 1


def test_what_is_no_plain_file_is_told_and_never_waited_for(phone: PhoneStore, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for name in ("", "nowhere.copy", "pipe", "\0"):
        with pytest.raises(BadInputError) as told:
            phone.copies.look(tmp_path / name)
        assert told.value.field == "file"


def test_a_copy_of_another_group_is_refused_by_a_phone_of_a_group_and_by_no_other(
    phones: Phones, phone: PhoneStore, neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    joined(phone, "a", "Hillside (invented)")
    joined(neighbour, "b", "Valley (invented)")
    theirs = copy_of(neighbour, tmp_path)
    with pytest.raises(BadInputError, match=r"another group, “Ida \(invented\)”.*“Hillside \(invented\)”"):
        phone.copies.take(theirs)
    assert phone.entries_held() == 1
    alone = phones.begun("alone.db")
    assert alone.copies.take(theirs).new > 0
    assert phone.copies.take(copy_of(alone, tmp_path)).new > 0
    with sqlite3.connect(phones.folder / "phone.db") as file:
        (token,) = file.execute("SELECT value FROM phone WHERE name = 'token'").fetchone()
    file.close()
    assert token.encode() not in copy_of(phone, tmp_path).read_bytes()


def joined(store: PhoneStore, group: str, name: str) -> None:
    """Make a phone a device of a group, as after the server's answer."""
    from shared_models.protocol import ConnectReply
    from shared_models.vocabulary import Role

    reply = ConnectReply(
        token=f"token of {group}", epoch=EPOCH, group=group, group_name=name, role=Role.KEEPER
    )
    store.membership.join("https://orchard.example", reply)


def test_broken_off_half_way_a_part_is_here_and_again_all_of_it(
    phone: PhoneStore,
    neighbour: PhoneStore,
    visit: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    file = copy_of(neighbour, tmp_path)
    monkeypatch.setattr("mobile.storage.copies.PART", 2)
    with monkeypatch.context() as broken:
        calls: list[int] = []

        def gives_out(*given: Any) -> Any:
            calls.append(1)
            if len(calls) == 3:
                raise KeyboardInterrupt
            return merge_copied(*given)

        broken.setattr("mobile.storage.copies.merge_copied", gives_out)
        with pytest.raises(KeyboardInterrupt):
            phone.copies.take(file)
    assert phone.entries_held() == 1 + 4
    taken = phone.copies.take(file)
    assert taken.here == 4 and taken.new == neighbour.entries_held() - 4
    assert phone.season("2026").tallies == neighbour.season("2026").tallies


def test_a_folder_that_cannot_be_written_to_is_told_and_leaves_nothing(
    neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    with pytest.raises(StoreError, match=r"No copy was made.*choose another folder"):
        copy_of(neighbour, tmp_path / "nowhere")
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    with pytest.raises(StoreError, match="No copy was made"):
        copy_of(neighbour, in_the_way)
    assert neighbour.copies.last() is None


def test_a_copy_that_fails_amid_its_writing_leaves_no_file(
    neighbour: PhoneStore, visit: str, tmp_path: Path
) -> None:
    def breaks_off() -> Any:
        yield "{}"
        raise OSError(28, "No space left on device")

    folder = tmp_path / "stick"
    folder.mkdir()
    with neighbour.copies.moment() as moment:
        moment.bodies = breaks_off  # type: ignore[method-assign]
        with pytest.raises(StoreError, match="No space left"):
            neighbour.copies.write(moment, folder, "Ida", neighbour.now())
    assert list(folder.iterdir()) == []


def test_no_copy_takes_the_place_of_another(neighbour: PhoneStore, visit: str, tmp_path: Path) -> None:
    names = [copy_of(neighbour, tmp_path).name for _ in range(3)]
    assert names == [f"pomeward 2026-09-12 1000{again}.copy" for again in ("", " 2", " 3")]
    assert free_name(tmp_path, neighbour.now()).name == "pomeward 2026-09-12 1000 4.copy"


def test_what_would_be_lost_is_what_no_server_and_no_copy_has(
    phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path, clock: SetClock
) -> None:
    visit = picking_visit(phone)
    lost = phone.copies.only_here()
    assert (lost.unshared, lost.in_no_copy) == (4, 4) and lost.oldest == oldest_first(phone)[0].id
    file = copy_of(phone, tmp_path)
    assert phone.copies.last() == LastCopy(
        "2026-09-12T10:00:00+02:00", 4, str(file), phone.entries_of(visit)[0].stamp
    )
    assert (phone.copies.only_here().unshared, phone.copies.only_here().in_no_copy) == (4, 0)
    made = mark(phone, visit)
    assert (phone.copies.only_here().in_no_copy, phone.copies.only_here().oldest) == (1, made)
    phone.incoming.take(page(oldest_first(phone)))
    assert phone.copies.only_here().unshared == 0
    picking_visit(neighbour)
    phone.copies.take(copy_of(neighbour, tmp_path))  # what came in a file lies in that file too
    assert phone.copies.only_here().unshared == 4


def test_what_came_of_a_copy_is_remembered(phones: Phones, phone: PhoneStore) -> None:
    assert phone.copies.taken() is None
    taken = TakenIn("Ida", "2026-09-12T10:00:00+02:00", 4, 1, 2)
    for line in range(30):
        taken.add_wrong(line, Wrong.NO_ENTRY)
    phone.copies.note_taken(taken)
    assert phones.open().copies.taken() == taken and (taken.refused, len(taken.told)) == (30, 20)


def test_many_entries_take_no_more_memory_than_few(
    phone: PhoneStore, neighbour: PhoneStore, tmp_path: Path
) -> None:
    """Growth of memory between a small copy and one ten times as large."""
    visit = picking_visit(neighbour)
    template = canonical_text(neighbour.entries_of(mark(neighbour, visit))[0])
    peaks = []
    for many in (1_000, 10_000):
        bodies = (
            template.replace(template[template.index('"id":"') + 6 :][:36], _numbered(n)) for n in range(many)
        )
        file = file_of(tmp_path, good_copy(bodies))
        tracemalloc.start()
        assert phone.copies.take(file).new > 0
        with phone.copies.moment() as moment:
            phone.copies.write(moment, tmp_path, "Ida", phone.now())
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    # All of them at once would take some 20 MB; garbage that waits to be collected takes up to 3.
    assert peaks[1] < 2 * peaks[0] + (5 << 20)


def _numbered(number: int) -> str:
    return f"01990000-0000-7000-8000-{number:012x}"
