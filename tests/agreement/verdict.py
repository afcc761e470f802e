"""What must hold when all troubles are over. Each complaint is an AssertionError in words."""

from __future__ import annotations

from mobile.storage.outbox import Waits
from shared_models.entries import Entry
from shared_models.records.gardens import Tree
from shared_models.season_records import from_entries
from tests.agreement.neighbours import SEASON, Neighbours
from tests.mobile.pages import oldest_first


def judge(group: Neighbours) -> None:
    """Compare phones, server and the account of what happened."""
    numbers = group.server.entries()
    assert sorted(numbers.values()) == list(range(1, len(numbers) + 1)), "the numbers have a hole"
    _nothing_is_lost_or_invented(group, set(numbers))
    _everybody_has_the_same(group, numbers)
    _what_was_a_mistake_is_counted_nowhere(group, set(numbers))
    _the_count_is_that_of_the_account(group, set(numbers))
    _whoever_saw_a_name_and_replaced_it_did_not_lose_to_it(group, set(numbers))


def _nothing_is_lost_or_invented(group: Neighbours, there: set[str]) -> None:
    told = group.account
    assert told.recorded - told.may_be_gone <= there, "something that was recorded is lost"
    assert there <= told.recorded, "something is there that nobody recorded"


def _everybody_has_the_same(group: Neighbours, numbers: dict[str, int]) -> None:
    truth = group.server.season(SEASON)
    for phone in group.phones:
        store = phone.store
        entries = oldest_first(store)
        assert {entry.id for entry in _folded(group, entries)} == set(numbers), "a phone has other entries"
        assert store.season(SEASON) == truth, "a phone folds another season than the server"
        assert from_entries(_folded(group, entries), SEASON) == truth, "state is not the fold of the log"
        assert store.incoming.agrees_with(group.server.door(store).pull(0, 1)), "the digests differ"
        assert store.looking.look_through() == 0, "a text was damaged"
        assert store.incoming.agrees_with(group.server.door(store).pull(0, 1)), "the digest was counted wrong"
        assert not store.looking.difference()


def _folded(group: Neighbours, entries: list[Entry]) -> list[Entry]:
    return [entry for entry in entries if entry.id not in group.account.bad]


def _what_was_a_mistake_is_counted_nowhere(group: Neighbours, there: set[str]) -> None:
    assert not there & group.account.bad.keys(), "the server took a mistake"
    for one, phone in enumerate(group.phones):
        sharing = phone.store.sharing()
        assert sharing.waiting == 0, "the outbox does not empty"
        aside = {look.id for look in sharing.needs_a_look if look.state is Waits.HELD_BACK}
        assert aside == {look.id for look in sharing.needs_a_look}, (
            "something stands aside for another reason"
        )
        assert aside <= {entry for entry, by in group.account.bad.items() if by == one}


def _the_count_is_that_of_the_account(group: Neighbours, there: set[str]) -> None:
    told = group.account
    undone = {mark for undoing, mark in told.undone.items() if undoing in there}
    live = len((told.marks & there) - undone)
    for phone in group.phones:
        assert sum(count.n for count in phone.store.tallies(group.visit)) == live, "a phone counts wrong"


def _whoever_saw_a_name_and_replaced_it_did_not_lose_to_it(group: Neighbours, there: set[str]) -> None:
    told = group.account
    names = {name: before for name, before in told.names.items() if told.named_by[name] & there}
    shown = {tree.label for phone in group.phones for tree in phone.store.all(Tree)}
    assert len(shown) == 1, "the phones show different names"
    (winner,) = shown
    assert winner not in set(names.values()), "a name won over one that replaced it"
    assert winner in names or not names, "the name is none that was given"
