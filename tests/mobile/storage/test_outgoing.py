"""What waits to be shared, and what the answers make of it."""

import pytest

from mobile.storage.numbering import NumbersChangedError
from mobile.storage.outbox import Waits
from mobile.storage.outgoing import Answer, Attempt
from mobile.storage.phone_store import PhoneStore
from shared_models.records.gardens import Garden
from tests.mobile.pages import oldest_first, page
from tests.mobile.phones import Phones, mark, picking_visit

NOW = Attempt("1", "token-a")
PLENTY = 10**6


def refuse(phone: PhoneStore, which: int, state: Waits, attempt: Attempt = NOW) -> str:
    """Let the server turn down one of the waiting entries; returns its id."""
    entry = phone.outgoing.oldest(500, PLENTY)[which]
    answer = Answer(entry, None, state, "n", "greater_than", "“n” is too large.")
    phone.outgoing.settle([answer], attempt)
    return entry.id


def test_the_oldest_go_first_and_no_more_than_fit(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    for _ in range(5):
        mark(phone, visit)
    waiting = phone.outgoing.oldest(500, PLENTY)
    assert [entry.id for entry in waiting] == [entry.id for entry in oldest_first(phone)]
    assert phone.outgoing.oldest(3, PLENTY) == waiting[:3]
    two = waiting[0].size + waiting[1].size + 2
    assert phone.outgoing.oldest(500, two) == waiting[:2]
    assert phone.outgoing.oldest(500, two - 1) == waiting[:1]
    assert phone.outgoing.oldest(500, 10) == waiting[:1], "one entry always goes, the server may judge it"


def test_shared_entries_leave_the_outbox_with_their_numbers(phone: PhoneStore) -> None:
    picking_visit(phone)
    waiting = phone.outgoing.oldest(2, PLENTY)
    phone.outgoing.settle([Answer(entry, seq) for seq, entry in enumerate(waiting, 1)], NOW)
    state = phone.sharing()
    assert (state.waiting, state.shared, state.needs_a_look) == (2, 2, [])
    assert phone.incoming.cursor() == 0, "only a page moves the cursor"


def test_what_is_held_back_is_kept_visible_and_counted_nowhere(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    one = mark(phone, visit)
    assert refuse(phone, -1, Waits.HELD_BACK) == one
    assert phone.tallies(visit) == [] and phone.history(1)[0].id == one
    (look,) = phone.sharing().needs_a_look
    assert (look.id, look.rec, look.kind, look.state) == (one, one, "mark", Waits.HELD_BACK)
    assert (look.field, look.sentence) == ("n", "“n” is too large.")


def test_an_edit_that_is_held_back_gives_way_to_the_value_before(phone: PhoneStore) -> None:
    garden = phone.record("garden", {"name": "Hill", "hemisphere": "north"})
    phone.record("garden", {"name": "Wrong"}, garden)
    refuse(phone, -1, Waits.HELD_BACK)
    assert [one.name for one in phone.all(Garden)] == ["Hill"]
    phone.record("garden", {"name": "Mended"}, garden)
    assert [one.name for one in phone.all(Garden)] == ["Mended"]


def test_a_held_back_entry_that_the_group_took_after_all_counts_again(phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    entries = oldest_first(phone)
    refuse(phone, -1, Waits.HELD_BACK)
    phone.incoming.take(page(entries))
    assert [count.n for count in phone.tallies(visit)] == [1]
    assert phone.sharing().needs_a_look == []


@pytest.mark.parametrize("state", [Waits.LATER, Waits.REFUSED])
@pytest.mark.parametrize(
    ("attempt", "waits_again"),
    [(NOW, False), (Attempt("2", "token-a"), True), (Attempt("1", "token-b"), True)],
)
def test_what_was_put_off_is_tried_again_when_version_or_token_changes(
    phone: PhoneStore, state: Waits, attempt: Attempt, waits_again: bool
) -> None:
    visit = picking_visit(phone)
    mark(phone, visit)
    put_off = refuse(phone, 0, state)
    assert [count.n for count in phone.tallies(visit)] == [1], "it still counts on this phone"
    assert put_off not in [entry.id for entry in phone.outgoing.oldest(500, PLENTY)], "and holds nothing up"
    phone.outgoing.try_again(attempt)
    assert (put_off in [entry.id for entry in phone.outgoing.oldest(500, PLENTY)]) is waits_again
    assert (phone.sharing().needs_a_look == []) is waits_again


def test_held_back_entries_are_not_sent_again_by_themselves(phone: PhoneStore) -> None:
    picking_visit(phone)
    refuse(phone, 0, Waits.HELD_BACK)
    phone.outgoing.try_again(Attempt("9", "token-z"))
    assert len(phone.outgoing.oldest(500, PLENTY)) == 3


def test_a_number_that_contradicts_an_earlier_one_changes_nothing(phone: PhoneStore, phones: Phones) -> None:
    picking_visit(phone)
    first, second, *_ = phone.outgoing.oldest(500, PLENTY)
    phone.outgoing.settle([Answer(first, 1)], NOW)
    with pytest.raises(NumbersChangedError):
        phone.outgoing.settle([Answer(second, 1)], NOW)
    assert phone.sharing().waiting == 3
