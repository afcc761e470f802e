"""Phones and a server of which one was put back to an earlier state, or whose clock is off: nothing lost or doubled."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from shared_models.errors import BadInputError
from shared_models.records.gardens import Garden
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server


def test_a_server_that_was_put_back_gets_everything_again(
    group: "Group", tmp_path: Path, phone: PhoneStore, neighbour: PhoneStore
) -> None:
    here = group.connect(phone)
    group.connect(neighbour)
    visit = picking_visit(phone)
    exchange(phone, here)
    group.database.close()
    backup = shutil.copy(group.file, tmp_path / "backup.sqlite")
    group.reopen()
    mark(phone, visit)
    exchange(phone, group.door(phone))
    exchange(neighbour, group.door(neighbour))
    mark(neighbour, visit)
    exchange(neighbour, group.door(neighbour))
    group.database.close()
    shutil.copy(backup, group.file)
    group.reopen()
    mark(phone, visit)
    for store in (phone, neighbour, phone):
        exchange(store, group.door(store))
    assert total(phone, visit) == total(neighbour, visit) == 3
    assert phone.season("2026") == neighbour.season("2026")
    assert group.door(phone).pull(0, 100).max == 8
    assert phone.sharing().waiting == neighbour.sharing().waiting == 0


def test_a_server_that_was_put_back_and_went_on_is_noticed_too(
    group: "Group", tmp_path: Path, phone: PhoneStore, neighbour: PhoneStore
) -> None:
    """Its numbers have grown to where they were, but they name other entries."""
    group.connect(phone)
    group.connect(neighbour)
    visit = picking_visit(phone)
    exchange(phone, group.door(phone))
    group.database.close()
    backup = shutil.copy(group.file, tmp_path / "backup.sqlite")
    group.reopen()
    mark(phone, visit)
    mark(phone, visit)
    exchange(phone, group.door(phone))
    group.database.close()
    shutil.copy(backup, group.file)
    group.reopen()
    exchange(neighbour, group.door(neighbour))
    mark(neighbour, visit)
    exchange(neighbour, group.door(neighbour))
    assert group.door(phone).pull(0, 100).max == phone.incoming.cursor() == 6
    for store in (phone, neighbour):
        exchange(store, group.door(store))
    assert total(phone, visit) == total(neighbour, visit) == 3
    assert group.door(phone).pull(0, 100).max == 8


def test_a_phone_whose_file_was_put_back_doubles_nothing(
    group: "Group", phones: Phones, phone: PhoneStore, clock: SetClock
) -> None:
    door = group.connect(phone)
    visit = picking_visit(phone)
    exchange(phone, door)
    phone.close()
    backup = shutil.copy(phones.folder / "phone.db", phones.folder / "backup.db")
    phone = phones.open(clock=clock)
    mark(phone, visit)
    exchange(phone, door)
    phone.close()
    shutil.copy(backup, phones.folder / "phone.db")
    phone = phones.open(clock=clock)
    mark(phone, visit)
    exchange(phone, door)
    assert total(phone, visit) == 2 and phone.sharing().waiting == 0


def test_a_clock_that_is_off_is_noticed(group: "Group", phones: Phones) -> None:
    for off in (timedelta(hours=3), timedelta(seconds=-300)):
        store = phones.begun(f"{off.seconds}.db", SetClock(datetime.now(UTC) + off))
        ahead = exchange(store, group.connect(store)).clock_ahead
        assert ahead is not None and abs(ahead - off) < timedelta(seconds=60)
    right = phones.begun("right.db", SetClock(datetime.now(UTC)))
    assert exchange(right, group.connect(right)).clock_ahead is None


def test_a_phone_of_one_group_refuses_another(group: "Group", phone: PhoneStore, tmp_path: Path) -> None:
    from tests.mobile.sync.group import Group

    other = Group(tmp_path / "other" / "server.sqlite")
    group.connect(phone)
    before = phone.membership.current()
    with pytest.raises(BadInputError, match="not mixed"):
        other.connect(phone)
    assert phone.membership.current() == before
    other.database.close()


def test_whoever_saw_a_value_and_replaced_it_does_not_lose_to_a_fast_clock(
    group: "Group", phone: PhoneStore, phones: Phones
) -> None:
    fast = phones.begun("fast.db", SetClock(datetime(2036, 1, 1, tzinfo=UTC)))
    garden = fast.record("garden", {"name": "From the future", "hemisphere": "north"})
    exchange(fast, group.connect(fast))
    door = group.connect(phone)
    exchange(phone, door)
    phone.record("garden", {"name": "Seen and replaced"}, garden)
    exchange(phone, door)
    exchange(fast, group.door(fast))
    assert [one.name for one in fast.all(Garden)] == ["Seen and replaced"]
