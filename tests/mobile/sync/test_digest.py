"""Phone and server compare what they hold after every exchange; whatever differs is noticed and, where it can be, mended."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from mobile.sync.engine import exchange
from mobile.sync.pull import DifferenceError
from shared_models.digest import NOTHING
from shared_models.errors import NotReachableError
from tests.mobile.pages import oldest_first
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total

if TYPE_CHECKING:
    from mobile.storage.phone_store import PhoneStore
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server

DAMAGE = {
    "a changed byte": "UPDATE entry SET body = replace(body, 'clean', 'sting') WHERE id = '{mark}'",
    "a changed stamp": "UPDATE entry SET body = replace(body, '{stamp}', 'ffffffffffffffff') WHERE id = '{mark}'",
    "text that is none": "UPDATE entry SET body = substr(body, 1, 40) WHERE id = '{mark}'",
    "another hash": "UPDATE entry SET hash = replace(hash, '0', '1') WHERE id = '{mark}'",
    "a missing entry": "DELETE FROM entry WHERE id = '{mark}'",
    "a missing number": "UPDATE entry SET seq = NULL WHERE id = '{mark}'",
}


@pytest.fixture
def counted(group: Group, phone: PhoneStore) -> str:
    """A picking visit with five marks that phone and server agree upon."""
    door = group.connect(phone)
    visit = picking_visit(phone)
    for _ in range(5):
        mark(phone, visit)
    exchange(phone, door)
    return visit


def test_phone_and_server_agree_after_every_exchange(
    group: Group, phone: PhoneStore, neighbour: PhoneStore, counted: str
) -> None:
    group.connect(neighbour)
    for store in (neighbour, phone, neighbour):
        mark(store, counted)
        exchange(store, group.door(store))
    exchange(phone, group.door(phone))
    last = group.door(phone).pull(0, 1)
    assert last.digest != NOTHING
    assert phone.incoming.agrees_with(last) and neighbour.incoming.agrees_with(last)


@pytest.mark.parametrize("damage", DAMAGE)
def test_what_was_damaged_on_the_phone_is_noticed_and_fetched_again(
    group: Group, phones: Phones, phone: PhoneStore, clock: SetClock, counted: str, damage: str
) -> None:
    before = oldest_first(phone)
    hurt = before[-2]
    phones.in_the_file("phone.db", DAMAGE[damage].format(mark=hurt.id, stamp=hurt.stamp))
    clock.move(days=1)  # what a disk did is looked for once a day
    exchange(phone, group.door(phone))
    assert oldest_first(phone) == before and total(phone, counted) == 5
    assert phone.incoming.agrees_with(group.door(phone).pull(0, 1)) and not phone.looking.difference()
    assert phone.sharing().waiting == 0 and phone.sharing().needs_a_look == []


def test_an_entry_that_only_this_phone_takes_for_shared_is_sent_again(
    group: Group, phones: Phones, phone: PhoneStore, clock: SetClock, counted: str
) -> None:
    last = phone.incoming.cursor()
    extra = mark(phone, counted)
    phones.in_the_file("phone.db", "UPDATE entry SET seq = ? WHERE id = ?", last + 1, extra)
    phones.in_the_file("phone.db", "DELETE FROM outbox")
    clock.move(days=1)
    exchange(phone, group.door(phone))
    assert group.door(phone).pull(0, 100).items[-1].entry["id"] == extra


def test_what_was_damaged_on_the_server_is_said_and_loses_nothing_here(
    group: Group, phone: PhoneStore, counted: str
) -> None:
    hurt = oldest_first(phone)[-1]
    with group.database.writing() as connection:
        connection.exec_driver_sql("UPDATE group_counter SET digest = ?", ("f" * 32,))
    for _ in range(2):
        with pytest.raises(DifferenceError, match="is kept"):
            exchange(phone, group.door(phone))
    assert phone.looking.difference() and total(phone, counted) == 5
    with group.database.writing() as connection:
        connection.exec_driver_sql("DELETE FROM entry WHERE id = ?", (hurt.id,))
    phone.incoming.start_over()
    with pytest.raises((DifferenceError, NotReachableError)):
        exchange(phone, group.door(phone))
    assert total(phone, counted) == 5


def test_looking_through_costs_nothing_the_second_time_of_a_day(
    phones: Phones, phone: PhoneStore, clock: SetClock, group: Group, counted: str
) -> None:
    phones.in_the_file("phone.db", "UPDATE entry SET body = replace(body, 'clean', 'sting')")
    exchange(phone, group.door(phone))
    assert {entry.f.get("marks", ["sting"])[0] for entry in oldest_first(phone)} == {"sting"}
    clock.move(days=1)
    exchange(phone, group.door(phone))
    assert "clean" in {entry.f.get("marks", ["sting"])[0] for entry in oldest_first(phone)}
