"""A phone whose file was damaged, or that was put back from an old copy, and its group: an ordinary merge."""

import random
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.beside import Beside
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from shared_models.records.gardens import Garden
from tests.mobile.phones import Phones, SetClock, mark, picking_visit, total
from tests.mobile.storage import damage

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server


def everything(store: PhoneStore) -> dict[str, str]:
    """Every entry by its id, with its stamp."""
    return {entry.id: entry.stamp for entry in store.history(100_000)}


def lived(group: "Group", phone: PhoneStore, neighbour: PhoneStore, clock: SetClock) -> str:
    """Both share, a copy is made, both go on; in the end some of the phone's records wait. Returns the visit."""
    group.connect(phone)
    group.connect(neighbour)
    visit = picking_visit(phone)
    exchange(phone, group.door(phone))
    exchange(neighbour, group.door(neighbour))
    for _ in range(10):
        mark(neighbour, visit)
        mark(phone, visit)
    exchange(phone, group.door(phone))
    phone.safe_keeping.keep_safe()
    clock.move(hours=3)
    for _ in range(10):
        mark(neighbour, visit, "sting")
        mark(phone, visit, "sting")
    for store in (phone, neighbour, phone):
        exchange(store, group.door(store))
    neighbour.record("garden", {"name": "Dale", "hemisphere": "north"})
    exchange(neighbour, group.door(neighbour))
    for _ in range(5):
        mark(phone, visit)
    return visit


def all_agree(group: "Group", visit: str, *stores: PhoneStore) -> None:
    """After an exchange of each, and one more: the same entries, the same tallies, nothing waits."""
    for store in (*stores, *stores):
        exchange(store, group.door(store))
    first, *others = stores
    for other in others:
        assert everything(other) == everything(first)
        assert other.tallies(visit) == first.tallies(visit) and other.all(Garden) == first.all(Garden)
    assert all(store.sharing().waiting == 0 for store in stores)
    assert group.door(first).pull(0, 1).max == len(everything(first))
    assert all(not store.looking.difference() for store in stores)


@pytest.mark.parametrize(
    "way", [damage.cut_short, damage.spoil_head, damage.spoil_pages, damage.take_file_away]
)
def test_a_damaged_phone_is_as_the_others_after_an_exchange(
    group: "Group",
    phones: Phones,
    phone: PhoneStore,
    neighbour: PhoneStore,
    clock: SetClock,
    way: damage.Spoil,
) -> None:
    visit = lived(group, phone, neighbour, clock)
    before, shown = everything(phone), total(phone, visit)
    phone.close()
    file = phones.folder / "phone.db"
    for number in range(2):
        way(file, random.Random(f"{way.__name__} {number}"))
        Beside(file).suspect.touch()
        again = phones.open(clock=clock)
        assert before.items() <= everything(again).items() or again.membership.current() is None
        if again.membership.current() is None:  # the token was in the file alone
            group.connect(again)
        all_agree(group, visit, again, neighbour)
        assert total(again, visit) == shown == 45 and set(before) < set(everything(again))
        again.close()


def test_a_phone_put_back_from_an_old_copy_is_as_the_others_after_an_exchange(
    group: "Group", phones: Phones, phone: PhoneStore, neighbour: PhoneStore, clock: SetClock, tmp_path: Path
) -> None:
    """On another device: there is the copy and nothing else, so what was not shared is not there."""
    visit = lived(group, phone, neighbour, clock)
    phone.close()
    shutil.copy(phones.folder / "phone.db.backup-1", phones.folder / "restored.db")
    restored = phones.open("restored.db", clock)
    assert restored.membership.current() is None and restored.membership.group_left()
    mark(restored, visit, "deep_entry")
    group.connect(restored)
    all_agree(group, visit, restored, neighbour)
    assert total(restored, visit) == 41
    # And the phone itself turns up again after all, with what it had not shared.
    found = phones.open(clock=clock)
    all_agree(group, visit, found, restored, neighbour)
    assert total(restored, visit) == 46


def test_a_phone_put_back_beside_its_list_has_everything_even_before_an_exchange(
    group: "Group", phones: Phones, phone: PhoneStore, neighbour: PhoneStore, clock: SetClock
) -> None:
    visit = lived(group, phone, neighbour, clock)
    waiting = {one.id for one in phone.outgoing.oldest(1000, 1 << 30)}
    phone.close()
    shutil.copy(phones.folder / "phone.db.backup-1", phones.folder / "phone.db")
    again = phones.open(clock=clock)
    assert waiting <= set(everything(again)) and len(waiting) == 5
    group.connect(again)
    all_agree(group, visit, again, neighbour)
    assert total(again, visit) == 45


def test_a_damaged_phone_of_a_group_whose_server_was_put_back_loses_nothing(
    group: "Group", phones: Phones, phone: PhoneStore, neighbour: PhoneStore, clock: SetClock, tmp_path: Path
) -> None:
    """The server gives numbers again that the phone's copy knows for other entries."""
    group.connect(neighbour)
    group.database.close()
    earlier = shutil.copy(group.file, tmp_path / "earlier.sqlite")
    group.reopen()
    visit = lived(group, phone, neighbour, clock)
    exchange(phone, group.door(phone))
    before = everything(phone)
    phone.close()
    group.database.close()
    shutil.copy(earlier, group.file)
    group.reopen()
    damage.take_file_away(phones.folder / "phone.db", random.Random(2))
    again = phones.open(clock=clock)
    assert again.incoming.cursor() == 0
    group.connect(neighbour)
    exchange(neighbour, group.door(neighbour))
    group.connect(again)
    all_agree(group, visit, again, neighbour)
    assert set(before) <= set(everything(again))
