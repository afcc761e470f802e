"""What two phones did without knowing of each other: the same list on both and on the server, and decided by anybody."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.workflows.apart import Apart, apart
from mobile.workflows.deciding import (
    decide,
    decide_both_count,
    decide_one_counts,
    take_back,
    take_back_count,
)
from mobile.workflows.first_start import name_garden
from mobile.workflows.sharing_line import sharing_line
from mobile.workflows.trap_round import TrapRound
from mobile.workflows.traps import hang_trap, put_traps_in_order, rename_trap
from mobile.workflows.trees import add_row, bring_back, rename_tree, retire_tree
from shared_models.errors import BadInputError
from shared_models.records.gardens import Garden, Tree
from shared_models.records.traps import Trap
from shared_models.seasons import Hemisphere
from tests.mobile.phones import Phones, SetClock

if TYPE_CHECKING:
    from tests.contracts.stores import ServerStore

pytestmark = pytest.mark.needs_server
BOTH = ["SQLite", pytest.param("PostgreSQL", marks=pytest.mark.needs_postgres)]


@pytest.fixture(params=BOTH)
def server(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[ServerStore]:
    """A group's server, once on each database."""
    from tests.contracts.stores import server_store

    sqlite = request.param == "SQLite"
    url = (
        f"sqlite:///{tmp_path / 'group.sqlite'}"
        if sqlite
        else request.getfixturevalue("postgres").new_database()
    )
    with server_store(url) as opened:
        yield opened


class Neighbours:
    """Two phones of one group with a garden, trees and traps, and the server that they share through."""

    def __init__(
        self, phone: PhoneStore, neighbour: PhoneStore, server: ServerStore, clock: SetClock
    ) -> None:
        self.phones, self.server, self.clock = (phone, neighbour), server, clock
        self.doors = []
        for store in self.phones:
            assert store.identity
            reply = server.connect(store.identity.device, store.identity.person)
            store.membership.join("https://orchard.example", reply)
            self.doors.append(server.door(reply))
        self.garden = name_garden(phone, "Lower garden", Hemisphere.NORTH).garden
        self.trees = add_row(phone, self.garden, 3).trees
        self.traps = [hang_trap(phone, str(n), self.garden, since=date(2026, 5, 1)).trap for n in (1, 2, 3)]
        self.share()

    def share(self) -> None:
        """Everybody gets everything."""
        for _ in range(2):
            for store, door in zip(self.phones, self.doors, strict=True):
                exchange(store, door)

    def apart(self, one: Callable[[PhoneStore], object], other: Callable[[PhoneStore], object]) -> None:
        """The first phone does something, and the second something else an hour later, without an exchange."""
        one(self.phones[0])
        self.clock.move(hours=1)
        other(self.phones[1])

    def agreed(self) -> Apart:
        """What is to be decided, the same for all."""
        self.share()
        edits, counts = self.server.looks()
        for store in self.phones:
            assert store.looks.blind_edits() == edits and store.looks.double_counts() == counts
            assert (store.looks.count() == 0) is (not edits and not counts)
        return apart(self.phones[0])


@pytest.fixture
def both(phone: PhoneStore, neighbour: PhoneStore, server: ServerStore, clock: SetClock) -> Neighbours:
    """Two phones that have shared all."""
    return Neighbours(phone, neighbour, server, clock)


def relabelled(both: Neighbours, more: str = "") -> None:
    """Both give the first tree another label."""
    both.apart(
        lambda store: rename_tree(store, both.trees[0], f"1a{more}"),
        lambda store: rename_tree(store, both.trees[0], f"1b{more}"),
    )


def labels(both: Neighbours, kind: type[Tree] | type[Trap], rec: str) -> set[str]:
    """The label on each phone."""
    found = {getattr(store.get(kind, rec), "label", "") for store in both.phones}
    return found


def test_two_labels_are_told_with_both_people_and_one_is_kept(both: Neighbours) -> None:
    phone, _ = both.phones
    relabelled(both)
    (one,) = both.agreed().edits
    assert one.told.what == "Tree 1b: label" and [value.words for value in one.told.values] == ["1b", "1a"]
    assert [value.who for value in one.told.values] == ["Keeper of neighbour.db", "Keeper of phone.db"]
    assert one.told.values[0].when == "Saturday 12 September, 11:00"
    assert sharing_line(phone) == "1 needs a look"
    done = decide(phone, one.edits, 0)
    assert not both.agreed() and labels(both, Tree, both.trees[0]) == {"1b"}
    both.clock.move(hours=1)
    rename_tree(both.phones[1], both.trees[0], "1c")
    assert not both.agreed(), "whoever goes on from a decision goes on from all who agreed"
    rename_tree(phone, both.trees[0], "1b")
    relabelled(both)
    done = decide(phone, both.agreed().edits[0].edits, 0)
    assert not both.agreed()
    take_back(phone, done)
    (again,) = both.agreed().edits
    assert [value.words for value in again.told.values] == ["1b", "1a"]


def test_the_other_value_is_switched_to_and_back(both: Neighbours) -> None:
    neighbour = both.phones[1]
    both.apart(
        lambda store: rename_trap(store, both.traps[0], "north"),
        lambda store: rename_trap(store, both.traps[0], "gate"),
    )
    (one,) = both.agreed().edits
    assert one.told.what == "Trap gate: label"
    done = decide(neighbour, one.edits, 1)
    assert not both.agreed() and labels(both, Trap, both.traps[0]) == {"north"}
    take_back(neighbour, done)
    (again,) = both.agreed().edits
    assert [value.words for value in again.told.values] == ["gate", "north"]
    assert labels(both, Trap, both.traps[0]) == {"gate"}


def test_two_who_decide_alike_are_done_and_two_who_do_not_are_asked_again(both: Neighbours) -> None:
    phone, neighbour = both.phones
    for alike in (True, False):
        relabelled(both, str(alike))
        both.share()
        decide(phone, apart(phone).edits[0].edits, 0)
        decide(neighbour, apart(neighbour).edits[0].edits, 0 if alike else 1)
        found = both.agreed()
        assert bool(found) is not alike
        if found:
            assert {value.words for value in found.edits[0].told.values} == {"1aFalse", "1bFalse"}
            decide(neighbour, found.edits[0].edits, 0)
            assert not both.agreed()


def test_who_holds_both_and_says_something_else_has_settled_it(both: Neighbours) -> None:
    phone = both.phones[0]
    relabelled(both)
    assert len(both.agreed().edits) == 1
    phone.record(Tree.kind, {"label": "8", "note_of_a_newer_app": 1}, both.trees[0])
    assert not both.agreed() and labels(both, Tree, both.trees[0]) == {"8"}
    rename_tree(phone, both.trees[0], "1b")
    assert not both.agreed(), "and may change it back"
    relabelled(both, "again")
    both.share()
    before = phone.entries_held()
    phone.record(Tree.kind, {"form": "fan"}, both.trees[0])
    assert phone.entries_held() == before + 1 and len(both.agreed().edits) == 1, (
        "another field settles nothing"
    )


def test_what_was_decided_meanwhile_is_not_decided_over(both: Neighbours) -> None:
    phone, neighbour = both.phones
    relabelled(both)
    (one,) = both.agreed().edits
    decide(neighbour, one.edits, 1)
    both.share()
    before = phone.entries_held()
    with pytest.raises(BadInputError, match="decided meanwhile"):
        decide(phone, one.edits, 0)
    assert phone.entries_held() == before


def test_a_tree_gone_for_one_and_standing_for_the_other(both: Neighbours) -> None:
    retire_tree(both.phones[0], both.trees[0], date(2026, 9, 1))
    both.share()
    both.apart(
        lambda store: bring_back(store, both.trees[0]),
        lambda store: retire_tree(store, both.trees[0], date(2026, 9, 2)),
    )
    told = {one.told.field: [value.words for value in one.told.values] for one in both.agreed().edits}
    assert told == {"removed_on": ["Wednesday 2 September", "nothing said"], "retired": ["yes", "no"]}


@pytest.mark.parametrize("place", [0, 1])
def test_a_tree_taken_back_by_one_and_renamed_by_another(both: Neighbours, place: int) -> None:
    phone = both.phones[0]
    both.apart(lambda store: store.undo(both.trees[0]), lambda store: rename_tree(store, both.trees[0], "1b"))
    (one,) = both.agreed().edits
    assert [value.words for value in one.told.values] == ["taken back", "not taken back"]
    done = decide(phone, one.edits, place)
    assert not both.agreed() and labels(both, Tree, both.trees[0]) == ({"1b"} if place else {""})
    take_back(phone, done)
    (again,) = both.agreed().edits
    assert [value.words for value in again.told.values] == ["taken back", "not taken back"]


def test_a_walking_order_set_apart_is_one_thing_to_decide(both: Neighbours) -> None:
    phone, neighbour = both.phones
    one, two, three = both.traps
    put_traps_in_order(phone, [three, two, one])
    put_traps_in_order(neighbour, [three, one, two])
    found = both.agreed()
    (order,) = found.edits
    assert order.told.what == "Walking order of 1 trap" and phone.looks.count() == 1
    put_traps_in_order(phone, [two, one, three])
    put_traps_in_order(neighbour, [one, two, three])
    (order,) = both.agreed().edits
    assert order.told.what.startswith("Walking order of") and phone.looks.count() == 1
    done = decide(neighbour, order.edits, 1)
    assert not both.agreed()
    take_back(neighbour, done)
    assert len(both.agreed().edits) == 1


# ---------------------------------------------------------------- traps counted twice
@pytest.fixture
def twice(both: Neighbours, clock: SetClock) -> Neighbours:
    """Trap 1 counted by both, 4 and then 6 moths, after a visit that both knew."""
    for moths, store, share in ((2, 0, True), (4, 0, False), (6, 1, True)):
        clock.move(hours=3)
        hand = TrapRound(both.phones[store]).open(both.traps[0])
        hand.number(moths)
        hand.done()
        clock.move(days=3)
        if share:
            both.share()
    return both


def caught(both: Neighbours) -> set[int]:
    """Moths in all of trap 1, as each side reckons them."""
    from shared_models.season.catches import trap_catches

    seasons = [*(store.season("2026") for store in both.phones), both.server.season("2026")]
    return {sum(one.caught_in_all for one in trap_catches(season)) for season in seasons}


def test_a_trap_counted_twice_is_told_and_both_hold(twice: Neighbours) -> None:
    (one,) = twice.agreed().counts
    assert one.told.what == "Trap 1 was counted twice"
    assert (one.told.first.words, one.told.second.words) == ("4 new moths", "6 new moths")
    assert one.told.second.who == "Keeper of neighbour.db"
    assert caught(twice) == {6} and sharing_line(twice.phones[0]) == "1 needs a look"
    assert apart(twice.phones[0], [twice.traps[0]]) and not apart(twice.phones[0], [twice.traps[1]])
    done = decide_both_count(twice.phones[0], one.double)
    assert not twice.agreed() and caught(twice) == {12}
    take_back_count(twice.phones[0], done)
    assert len(twice.agreed().counts) == 1 and caught(twice) == {6}


@pytest.mark.parametrize(("kept", "moths"), [("first", 6), ("second", 8)])
def test_only_one_of_the_two_holds(twice: Neighbours, kept: str, moths: int) -> None:
    (one,) = twice.agreed().counts
    done = decide_one_counts(twice.phones[1], one.double, getattr(one.double, kept).rec)
    assert not twice.agreed() and caught(twice) == {moths}
    take_back_count(twice.phones[1], done)
    assert len(twice.agreed().counts) == 1 and caught(twice) == {6}


@pytest.mark.parametrize("answer", ["first", "second", "both"])
def test_where_each_took_back_the_others_count_it_is_asked_again(twice: Neighbours, answer: str) -> None:
    (one,) = twice.agreed().counts
    decide_one_counts(twice.phones[0], one.double, one.double.first.rec)
    decide_one_counts(twice.phones[1], one.double, one.double.second.rec)
    (again,) = twice.agreed().counts
    assert again.double.none_counts and caught(twice) == {2}
    assert "neither counts now" in again.told.until_then
    if answer == "both":
        done = decide_both_count(twice.phones[0], again.double)
    else:
        done = decide_one_counts(twice.phones[0], again.double, getattr(again.double, answer).rec)
    assert not twice.agreed() and caught(twice) == {{"first": 6, "second": 8, "both": 12}[answer]}
    take_back_count(twice.phones[0], done)
    assert twice.agreed().counts[0].double.none_counts


def test_a_visit_that_is_none_of_the_two_is_refused(twice: Neighbours) -> None:
    (one,) = twice.agreed().counts
    with pytest.raises(BadInputError, match="none of the two"):
        decide_one_counts(twice.phones[0], one.double, twice.trees[0])


# ---------------------------------------------------------------- whatever two phones do
@pytest.mark.parametrize("seed", range(3))
def test_whatever_two_phones_do_all_agree_on_what_is_to_be_decided(both: Neighbours, seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(30):
        store = chance.choice(both.phones)
        what = chance.random()
        if what < 0.5:
            kind, things = chance.choice([(Tree.kind, [*both.trees]), (Trap.kind, both.traps)])
            store.record(kind, {"label": chance.choice("abcd")}, chance.choice(things))
        elif what < 0.6:
            store.record(Garden.kind, {"note": chance.choice("ab")}, both.garden)
        elif what < 0.7:
            (store.undo if chance.random() < 0.5 else store.redo)(chance.choice(both.trees))
        elif what < 0.85 and (open_ones := apart(store).edits):
            with suppress(BadInputError):
                done = decide(store, chance.choice(open_ones).edits, chance.randrange(2))
                if chance.random() < 0.3:
                    take_back(store, done)
        else:
            exchange(store, both.doors[both.phones.index(store)])
    for _ in range(12):
        found = both.agreed()
        for edit in found.edits:
            decide(chance.choice(both.phones), edit.edits, chance.randrange(2))
        if not found:
            break
    assert not both.agreed()


def test_a_new_phone_that_fetches_everything_tells_the_same(both: Neighbours, phones: Phones) -> None:
    relabelled(both)
    both.share()
    third = phones.begun("third.db")
    assert third.identity
    reply = both.server.connect(third.identity.device, third.identity.person)
    third.membership.join("https://orchard.example", reply)
    exchange(third, both.server.door(reply))
    assert third.looks.blind_edits() == both.phones[0].looks.blind_edits() != []
