"""Pages of the group's entries, each taken whole or not at all."""

import random
import sqlite3

import pytest

from mobile.storage.incoming import PageFate
from mobile.storage.numbering import NumbersChangedError
from mobile.storage.phone_store import PhoneStore
from shared_models.entries import canonical_text
from shared_models.errors import NotReachableError
from shared_models.protocol import PulledEntry
from shared_models.records.gardens import Garden, Tree
from shared_models.season_records import SeasonRecords, from_entries
from tests.mobile.pages import fields_of, oldest_first, page
from tests.mobile.phones import Phones, mark, picking_visit


@pytest.fixture
def neighbour(phones: Phones) -> PhoneStore:
    """Another phone of the group, with a picking visit of three marks, one undone."""
    store = phones.begun("neighbour.db")
    visit = picking_visit(store)
    mark(store, visit)
    mark(store, visit, "sting")
    store.undo(mark(store, visit))
    return store


def season_of_both(phone: PhoneStore, neighbour: PhoneStore) -> SeasonRecords:
    """The season from the bare entries of two phones, without any store."""
    return from_entries(oldest_first(phone) + oldest_first(neighbour), "2026")


def test_a_page_brings_the_records_of_others(phone: PhoneStore, neighbour: PhoneStore) -> None:
    entries = oldest_first(neighbour)
    taken = phone.incoming.take(page(entries))
    assert (taken.fate, taken.new) == (PageFate.TAKEN, len(entries))
    assert phone.incoming.cursor() == len(entries) and phone.sharing().shared == len(entries)
    assert phone.all(Tree) == neighbour.all(Tree)
    assert phone.season("2026") == season_of_both(phone, neighbour)


def test_what_came_is_stored_byte_for_byte(phones: Phones, phone: PhoneStore, neighbour: PhoneStore) -> None:
    entries = oldest_first(neighbour)
    odd = dict(reversed(fields_of(entries[1]).items()))  # the same entry, written in another order
    phone.incoming.take(page([entries[0], odd, *entries[2:]]))
    with sqlite3.connect(phones.folder / "phone.db") as connection:
        found = dict(connection.execute("SELECT id, body FROM entry WHERE seq IS NOT NULL"))
    connection.close()
    assert [found[entry.id] == canonical_text(entry) for entry in entries] == [
        entry.id != odd["id"] for entry in entries
    ]
    assert found[odd["id"]].startswith('{"v":1,')


def test_a_page_taken_twice_changes_nothing(phone: PhoneStore, neighbour: PhoneStore) -> None:
    whole = page(oldest_first(neighbour))
    phone.incoming.take(whole)
    before = phone.season("2026")
    assert phone.incoming.take(whole).fate is PageFate.DROPPED
    assert phone.season("2026") == before


def test_pages_may_cut_a_record_anywhere(phone: PhoneStore, neighbour: PhoneStore) -> None:
    entries = oldest_first(neighbour)
    random.Random(4).shuffle(entries)
    for start in range(len(entries)):
        phone.incoming.take(page(entries[start : start + 1], since=start, most=len(entries)))
    assert phone.season("2026") == season_of_both(phone, neighbour)


def test_a_page_with_a_hole_is_refused_whole(phone: PhoneStore, neighbour: PhoneStore) -> None:
    whole = page(oldest_first(neighbour))
    holed = whole.model_copy(update={"items": [*whole.items[:2], *whole.items[3:]]})
    shifted = whole.model_copy(
        update={"items": [PulledEntry(seq=item.seq + 1, entry=item.entry) for item in whole.items]}
    )
    for broken in (holed, shifted):
        with pytest.raises(NotReachableError, match="incomplete"):
            phone.incoming.take(broken)
    assert phone.incoming.cursor() == 0 and phone.all(Garden) == [] and phone.sharing().shared == 0


def test_the_next_edit_lies_after_what_was_received(phone: PhoneStore, neighbour: PhoneStore) -> None:
    garden = neighbour.all(Garden)[0].rec
    ahead = fields_of(neighbour.entries_of(garden)[0]) | {"stamp": "01b0000000000000"}  # a fast clock
    phone.incoming.take(page([ahead]))
    phone.record("garden", {"name": "Seen and changed"}, garden)
    assert phone.all(Garden)[0].name == "Seen and changed"


def test_a_stamp_beyond_belief_does_not_stop_the_phone(phone: PhoneStore, neighbour: PhoneStore) -> None:
    wild = fields_of(oldest_first(neighbour)[1]) | {"stamp": "ffffffffffffffff"}
    phone.incoming.take(page([wild]))
    visit = picking_visit(phone)
    assert phone.entries_of(visit)[0].stamp < "01b0000000000000"


def test_an_own_entry_whose_answer_was_lost_becomes_shared(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    taken = phone.incoming.take(page(oldest_first(phone)))
    assert taken.new == 0
    state = phone.sharing()
    assert (state.waiting, state.shared) == (0, 5)
    assert [count.n for count in phone.tallies(visit)] == [1]


def test_what_this_app_cannot_read_is_kept_unfolded_and_read_by_the_next(
    phones: Phones, phone: PhoneStore, neighbour: PhoneStore
) -> None:
    person, garden, tree, *rest = oldest_first(neighbour)
    strange = [
        fields_of(person),
        fields_of(garden) | {"v": 2},  # a later version of a kind that is known
        fields_of(tree) | {"kind": "hedge"},  # a kind that is not known
        fields_of(rest[0]) | {"weather": "wet"},  # an envelope of a later version
        fields_of(rest[1]) | {"f": {"visit": rest[0].id, "marks": ["eaten_by_bear"]}},  # a word not known
    ]
    taken = phone.incoming.take(page(strange))
    assert (taken.new, phone.incoming.cursor(), phone.sharing().shared) == (5, 5, 5)
    assert phone.all(Garden) == [] and phone.all(Tree) == [] and phone.tallies(rest[0].id) == []
    phones.close()
    # An update of the app would read the garden now; here the entry's version is made one that is known.
    with sqlite3.connect(phones.folder / "phone.db") as connection:
        connection.execute("UPDATE entry SET body = replace(body, '\"v\":2', '\"v\":1')")
    connection.close()
    assert [one.name for one in phones.open().all(Garden)] == ["Hill"]


def test_an_answer_that_cannot_be_read_at_all_is_refused(phone: PhoneStore) -> None:
    with pytest.raises(NotReachableError, match="update the app"):
        phone.incoming.take(page([{"message": "hello"}]))
    assert phone.incoming.cursor() == 0


def test_a_server_that_was_put_back_is_noticed_and_everything_waits_again(
    phone: PhoneStore, neighbour: PhoneStore
) -> None:
    entries = oldest_first(neighbour)
    phone.incoming.take(page(entries))
    shorter = page([], since=0).model_copy(update={"max": 2})
    with pytest.raises(NumbersChangedError):
        phone.incoming.take(shorter)
    phone.incoming.start_over()
    state = phone.sharing()
    assert (state.shared, state.waiting, phone.incoming.cursor()) == (0, len(entries) + 1, 0)
    before = phone.season("2026")
    phone.incoming.take(page(reversed(entries)))
    assert phone.season("2026") == before and phone.sharing().shared == len(entries)


def test_a_number_given_to_another_entry_is_noticed(phone: PhoneStore, neighbour: PhoneStore) -> None:
    entries = oldest_first(neighbour)
    phone.incoming.take(page(entries[:2]))
    with pytest.raises(NumbersChangedError):
        phone.incoming.take(page([entries[0]], since=2))
    assert phone.incoming.cursor() == 2
