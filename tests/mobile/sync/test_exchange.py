"""Phones and the real exchange of a server: everything arrives once, whatever the link does."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pytest

from mobile.storage.drafts import Draft
from mobile.storage.outbox import Waits
from mobile.storage.outgoing import Attempt, Waiting
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.sync.push import MOST_FAILURES, answers_to
from mobile.sync.replies import ServerFailedError
from shared_models.errors import NotReachableError
from shared_models.protocol import MAX_PUSH_BYTES, PushReply, PushState, SyncServer
from shared_models.season_records import from_entries
from shared_models.vocabulary import Role
from tests.mobile.pages import oldest_first
from tests.mobile.phones import Phones, mark, picking_visit, total

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server


def says_what_happened_what_was_kept_and_what_to_do(sentence: str, happened: str, to_do: str) -> None:
    """Whole sentences, each part once."""
    assert happened in sentence and to_do in sentence and sentence.endswith(".")
    assert sentence.count("It is kept on this phone, counts here, and is sent again by itself") == 1


@pytest.mark.parametrize("state", [PushState.LATER, PushState.REFUSED, PushState.HELD_BACK])
def test_an_answer_without_a_word_is_told_in_whole_sentences_too(
    group: "Group", phone: PhoneStore, state: PushState
) -> None:
    from tests.mobile.sync.group import Changes

    def silent(reply: PushReply) -> PushReply:
        changed = {"state": state, "detail": None, "seq": None}
        return reply.model_copy(update={"results": [one.model_copy(update=changed) for one in reply.results]})

    door = Changes(group.connect(phone), silent)
    phone.outgoing.settle(answers_to(*pushed(phone, door)), Attempt("1", "token"))
    (look,) = phone.sharing().needs_a_look
    assert look.sentence.startswith("The server ") and " It is kept on this phone" in look.sentence
    assert look.sentence.endswith(".")


def pushed(phone: PhoneStore, door: SyncServer) -> tuple[list[Waiting], PushReply]:
    """What waits, and what the server says to it."""
    batch = phone.outgoing.oldest(500, MAX_PUSH_BYTES)
    return batch, door.push([one.body for one in batch], phone.incoming.epoch())


def test_an_entry_with_fields_of_other_kinds_sinks_nothing_in_the_group(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore
) -> None:
    here, there = group.connect(phone), group.connect(neighbour)
    visit = picking_visit(phone)
    strange = {"when": "last spring", "season": {"of": "love"}, "visit": [{"a": visit}]}
    garden = phone.record("garden", {"name": "Odd", "hemisphere": "north", **strange})
    phone.record("garden", {"when": {"year": 2026}}, garden)
    mark(phone, visit)
    exchange(phone, here)
    mark(neighbour, visit)
    assert exchange(neighbour, there).pulled == 7
    exchange(phone, here)
    assert total(phone, visit) == total(neighbour, visit) == 2
    assert phone.season("2026") == neighbour.season("2026") == from_entries(oldest_first(phone), "2026")
    told = neighbour.folded(garden).fields  # type: ignore[union-attr]
    assert (told["when"], told["season"], told["visit"]) == ({"year": 2026}, *list(strange.values())[1:])
    from server.database.season import season_records

    with group.database.writing() as connection:
        assert season_records(connection, group.group.id, "2026") == phone.season("2026")
    assert phone.sharing().needs_a_look == neighbour.sharing().needs_a_look == []


def test_two_phones_of_a_group_come_to_the_same_records(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore
) -> None:
    here, there = group.connect(phone), group.connect(neighbour)
    visit = picking_visit(phone)
    exchange(phone, here)
    exchange(neighbour, there)
    for store in (phone, neighbour, neighbour):
        mark(store, visit)
    phone.undo(mark(phone, visit))
    outcome = exchange(neighbour, there)
    assert (outcome.pushed, outcome.pulled) == (2, 0)
    assert exchange(phone, here).pulled == 3, "two marks, and who the neighbour is"
    exchange(neighbour, there)
    assert phone.season("2026") == neighbour.season("2026")
    assert phone.season("2026") == from_entries(oldest_first(phone), "2026")
    assert total(phone, visit) == total(neighbour, visit) == 3
    assert phone.sharing().waiting == 0 and phone.sharing().shared == 10
    assert phone.sharing().exchanged_at == phone.now().isoformat(timespec="seconds")


def test_a_second_exchange_moves_nothing(group: "Group", phone: PhoneStore) -> None:
    door = group.connect(phone)
    picking_visit(phone)
    first, second = exchange(phone, door), exchange(phone, door)
    assert (first.pushed, first.pulled, second.pushed, second.pulled) == (4, 0, 0, 0)


def test_what_was_recorded_before_joining_is_shared_too(group: "Group", phone: PhoneStore) -> None:
    visit = picking_visit(phone)
    phone.record_all([Draft("mark", {"visit": visit}) for _ in range(1100)])
    from tests.mobile.sync.group import Link

    link = Link(group.connect(phone))
    assert exchange(phone, link).pushed == 1104
    assert link.pushed == [500, 500, 104]


def test_an_answer_that_is_lost_doubles_nothing(group: "Group", phone: PhoneStore) -> None:
    from tests.mobile.sync.group import LosesAnswers

    door = group.connect(phone)
    visit = picking_visit(phone)
    mark(phone, visit)
    for _ in range(3):
        with pytest.raises(NotReachableError):
            exchange(phone, LosesAnswers(door))
    assert phone.sharing().shared == 0, "shared is claimed only after an answer"
    assert exchange(phone, door).pushed == 5
    assert total(phone, visit) == 1 and door.pull(0, 100).max == 5


def test_fetching_goes_on_where_it_broke_off(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore
) -> None:
    from tests.mobile.sync.group import ShortPages

    there = group.connect(neighbour)
    visit = picking_visit(neighbour)
    neighbour.record_all([Draft("mark", {"visit": visit}) for _ in range(30)])
    exchange(neighbour, there)
    door = group.connect(phone)
    with pytest.raises(NotReachableError):
        exchange(phone, ShortPages(door, entries=7, pages=3))
    # Three pages of seven, the second and third beginning with the last entry of the one before.
    assert phone.incoming.cursor() == 19 and total(phone, visit) == 15
    outcome = exchange(phone, ShortPages(door, entries=7))
    assert outcome.pulled == 15 and total(phone, visit) == 30


def test_a_server_whose_pages_bring_nothing_new_is_not_asked_for_ever(
    group: "Group", phone: PhoneStore
) -> None:
    from tests.mobile.sync.group import ShortPages

    picking_visit(phone)
    with pytest.raises(NotReachableError, match="incomplete"):
        exchange(phone, ShortPages(group.connect(phone), entries=1))


def test_a_batch_that_is_too_large_is_halved_until_it_passes(group: "Group", phone: PhoneStore) -> None:
    from tests.mobile.sync.group import Narrow

    visit = picking_visit(phone)
    phone.record_all([Draft("mark", {"visit": visit}) for _ in range(1200)])
    link = Narrow(group.connect(phone), most=100_000)
    assert exchange(phone, link).pushed == 1204
    assert link.pushed == [500, 250, 250, 250, 250, 204], "what was too large is not tried twice"


def test_an_entry_too_large_alone_stands_aside_and_the_others_go_on(
    group: "Group", phone: PhoneStore
) -> None:
    from tests.mobile.sync.group import Narrow

    visit = picking_visit(phone)
    note = phone.record("note", {"when": "2026-09-12", "text": "x" * 1900, "about": visit})
    mark(phone, visit)
    door = group.connect(phone)
    outcome = exchange(phone, Narrow(door, most=1500))
    assert (outcome.pushed, outcome.refused) == (5, 1)
    (look,) = phone.sharing().needs_a_look
    assert (look.id, look.state) == (note, Waits.REFUSED) and "larger than the server takes" in look.sentence
    assert phone.folded(note) is not None
    assert exchange(phone, door).pushed == 0, "not tried again with the same server and token"
    phone.membership.join("https://orchard.example", group.welcome(phone))
    assert exchange(phone, group.door(phone)).pushed == 1


def test_no_push_is_larger_than_the_limit(group: "Group", phone: PhoneStore) -> None:
    from tests.mobile.sync.group import Link

    class Weighs(Link):
        """Notes the size of each push [bytes]."""

        def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
            self.pushed.append(len(f'{{"entries":[{",".join(bodies)}]}}'.encode()))
            return self.server.push(bodies, epoch)

    phone.record_all([Draft("note", {"when": "2026-09-12", "text": "ü" * 2000}) for _ in range(300)])
    link = Weighs(group.connect(phone))
    assert exchange(phone, link).pushed == 301
    assert len(link.pushed) == 3 and all(size <= MAX_PUSH_BYTES for size in link.pushed)
    assert max(link.pushed) > 0.99 * MAX_PUSH_BYTES


def test_an_entry_on_which_the_server_fails_holds_nothing_up_and_is_tried_again(
    group: "Group", phone: PhoneStore
) -> None:
    from tests.mobile.sync.group import Link

    class FailsOn(Link):
        """A server with a defect that one entry meets."""

        poison = ""

        def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
            if any(self.poison in body for body in bodies):
                raise ServerFailedError("The server failed.")
            return super().push(bodies, epoch)

    visit = picking_visit(phone)
    phone.record_all([Draft("mark", {"visit": visit}) for _ in range(40)])
    link = FailsOn(group.connect(phone))
    link.poison = f'"id":"{visit}"'
    assert exchange(phone, link).pushed == 43
    assert [look.state for look in phone.sharing().needs_a_look] == [Waits.STUCK]
    link.poison = "nothing"
    assert exchange(phone, link).pushed == 1
    assert phone.sharing().needs_a_look == []


def test_a_server_that_fails_on_everything_counts_as_down(group: "Group", phone: PhoneStore) -> None:
    from tests.mobile.sync.group import Link

    class Broken(Link):
        """A server that fails on every push."""

        def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
            self.pushed.append(len(bodies))
            raise ServerFailedError("The server failed.")

    visit = picking_visit(phone)
    phone.record_all([Draft("mark", {"visit": visit}) for _ in range(60)])
    door = group.connect(phone)
    link = Broken(door)
    with pytest.raises(ServerFailedError):
        exchange(phone, link)
    assert link.pushed.count(1) == MOST_FAILURES and len(link.pushed) < 25
    assert exchange(phone, door).pushed == 64 and phone.sharing().needs_a_look == []


def test_an_entry_that_the_server_holds_back_is_told_in_a_sentence(
    group: "Group", phones: Phones, phone: PhoneStore
) -> None:
    visit = picking_visit(phone)
    number = phone.record("number", {"visit": visit, "marks": ["clean"], "n": 12})
    mark(phone, visit)
    phones.in_the_file(
        "phone.db",
        "UPDATE entry SET body = replace(body, '\"n\":12', '\"n\":-12') WHERE id = ?",
        number,
    )
    outcome = exchange(phone, group.connect(phone))
    assert (outcome.pushed, outcome.held_back) == (5, 1)
    (look,) = phone.sharing().needs_a_look
    assert (look.id, look.state, look.field) == (number, Waits.HELD_BACK, "n")
    assert look.sentence.endswith(".") and "-12" in look.sentence
    assert total(phone, visit) == 1, "counted here as little as in the group"


def test_what_a_server_is_too_old_for_waits_for_its_update(
    group: "Group", phones: Phones, phone: PhoneStore
) -> None:
    visit = picking_visit(phone)
    note = phone.record("note", {"when": "2026-09-12", "text": "hedge", "about": visit})
    phones.in_the_file(
        "phone.db",
        "UPDATE entry SET body = replace(body, '\"note\"', '\"hedge\"') WHERE id = ?",
        note,
    )
    outcome = exchange(phone, group.connect(phone))
    assert (outcome.pushed, outcome.later) == (4, 1)
    (look,) = phone.sharing().needs_a_look
    assert (look.id, look.state) == (note, Waits.LATER)
    says_what_happened_what_was_kept_and_what_to_do(look.sentence, "does not know", "ask the coordinator")


def test_a_viewers_records_stay_on_the_phone_until_it_is_connected_as_a_keeper(
    group: "Group", phone: PhoneStore
) -> None:
    door = group.connect(phone, Role.VIEWER)
    visit = picking_visit(phone)
    mark(phone, visit)
    assert exchange(phone, door).refused == 5
    assert total(phone, visit) == 1 and len(phone.sharing().needs_a_look) == 5
    for look in phone.sharing().needs_a_look:
        says_what_happened_what_was_kept_and_what_to_do(look.sentence, "may look", "connected anew")
    assert exchange(phone, door).refused == 0, "not sent again while nothing changed"
    assert exchange(phone, group.connect(phone, Role.KEEPER)).pushed == 5
    assert phone.sharing().needs_a_look == []


@pytest.mark.parametrize("change", ["missing", "of another entry", "without a number"])
def test_an_answer_that_does_not_fit_counts_as_none(group: "Group", phone: PhoneStore, change: str) -> None:
    from tests.mobile.sync.group import Changes

    def changed(reply: PushReply) -> PushReply:
        first, *rest = reply.results
        others = {
            "missing": rest,
            "of another entry": [first.model_copy(update={"id": rest[0].id}), *rest],
            "without a number": [first.model_copy(update={"seq": None}), *rest],
        }
        return reply.model_copy(update={"results": others[change]})

    door = group.connect(phone)
    picking_visit(phone)
    with pytest.raises(NotReachableError, match="does not fit"):
        exchange(phone, Changes(door, changed))
    assert (phone.sharing().shared, phone.sharing().waiting) == (0, 4)
    assert exchange(phone, door).pushed == 4
