"""Records that the server holds back: readable on their phone, what waits for them is told, and mended they count."""

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import pytest

from mobile.storage.outbox import NeedsALook, Waits
from mobile.storage.phone_store import PhoneStore
from mobile.sync.engine import exchange
from mobile.workflows.corrections import correct
from shared_models.identifiers import new_id
from shared_models.protocol import PushReply, PushResult, PushState, SyncServer
from shared_models.records.gardens import Garden
from shared_models.records.kinds import KINDS
from shared_models.records.tallies import Visit
from shared_models.season_records import from_entries
from shared_models.store.tables import OWN_GROUP
from tests.mobile.pages import oldest_first
from tests.mobile.phones import mark, picking_visit

if TYPE_CHECKING:
    from tests.mobile.sync.group import Group

pytestmark = pytest.mark.needs_server


class Stricter:
    """A server that holds some entries back, as one with narrower bounds than this app's would."""

    def __init__(self, server: SyncServer, *held: str) -> None:
        self.hello, self.pull, self._server, self.held = server.hello, server.pull, server, set(held)

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Answer for those itself, pass the others on."""
        ids = [json.loads(body)["id"] for body in bodies]
        passed = [place for place, one in enumerate(ids) if one not in self.held]
        reply = self._server.push([bodies[place] for place in passed], epoch)
        results = [
            one.model_copy(update={"index": place}) for place, one in zip(passed, reply.results, strict=True)
        ]
        results += [
            PushResult(
                index=place, id=one, state=PushState.HELD_BACK, field="f", code="bad", detail="It is bad."
            )
            for place, one in enumerate(ids)
            if one in self.held
        ]
        return reply.model_copy(update={"results": results})


def look(store: PhoneStore) -> NeedsALook:
    """The one thing that needs a look."""
    (one,) = store.sharing().needs_a_look
    return one


def share(group: "Group", *stores: PhoneStore) -> None:
    """Everybody exchanges until nobody has news."""
    for store in (*stores, *stores):
        exchange(store, group.door(store))


def test_a_visit_that_is_held_back_says_what_waits_for_it_and_corrected_brings_all_back(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore
) -> None:
    group.connect(neighbour)
    group.connect(phone)
    visit = picking_visit(phone)
    for _ in range(5):
        mark(phone, visit)
    phone.record("number", {"visit": visit, "marks": ["clean"], "n": 12})
    phone.record("visit", {"picked_all": True}, visit)
    server = Stricter(group.door(phone), visit)
    assert exchange(phone, server).held_back == 1
    held = look(phone)
    assert (held.rec, held.kind, held.state, held.waiting_for_it) == (visit, "visit", Waits.HELD_BACK, 7)
    assert held.sentence.startswith("It is bad. It is kept on this phone")
    assert held.sentence.endswith("until this record is corrected: 5 marks, 1 other record, 1 later change.")
    assert phone.get(Visit, visit) is not None, "it stays readable on its phone"
    exchange(neighbour, group.door(neighbour))
    assert phone.season("2026").tallies == neighbour.season("2026").tallies == []
    correct(phone, visit, "as the server wants it", when="2026-09-11")
    assert look(phone).waiting_for_it == 0, "on this phone it is whole again, and is to be shared"
    share(group, phone, neighbour)
    assert phone.sharing().needs_a_look == []
    assert phone.season("2026") == neighbour.season("2026")
    assert phone.season("2026") == from_entries(oldest_first(neighbour), "2026")
    assert sum(count.n for count in neighbour.season("2026").tallies) == 17
    assert neighbour.get(Visit, visit).when == "2026-09-11"  # type: ignore[union-attr]


def plain_records(visit: str) -> dict[str, dict[str, Any]]:
    """Fields of some kinds that others refer to or that stand alone."""
    when = {"when": "2026-09-12"}
    return {
        "person": {"name": "Ada"},
        "garden": {"name": "Dale", "hemisphere": "north"},
        "tree": {"label": "9", "garden": visit},
        "trap": {"label": "T", "garden": visit},
        "note": {"text": "hm", **when},
        "visit": {"tree": visit, "round": "picking", **when},
        "mark": {"visit": visit, "marks": ["clean"], "source": "picked"},
        "number": {"visit": visit, "marks": ["clean"], "n": 3},
        "pick": {"tree": visit, **when},
        "job": {"method": "netting", "trees": [visit], **when},
        "trap_visit": {"trap": visit, "state": "counted", "moths": 2, **when},
    }


@pytest.mark.parametrize("kind", sorted(plain_records("")))
def test_any_record_that_is_held_back_stays_readable_and_can_be_corrected(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore, kind: str
) -> None:
    group.connect(neighbour)
    group.connect(phone)
    visit = picking_visit(phone)
    fields = plain_records(visit)[kind]
    rec = phone.record(kind, fields)
    exchange(phone, Stricter(group.door(phone), rec))
    assert phone.folded(rec).fields == fields and phone.get(KINDS[kind], rec) is not None  # type: ignore[union-attr]
    assert rec not in {one.rec for one in phone.all(KINDS[kind])}, "and is folded nowhere"
    name, value = next(iter(fields.items()))
    correct(phone, rec, "said anew", **{name: value})
    share(group, phone, neighbour)
    assert phone.sharing().needs_a_look == []
    assert phone.folded(rec) == neighbour.folded(rec)
    assert neighbour.get(KINDS[kind], rec) is not None


def test_what_no_app_can_read_is_corrected_in_the_field_that_is_wrong(
    group: "Group", phone: PhoneStore, neighbour: PhoneStore
) -> None:
    """As an app of another version may have written it: here and on the server the field cannot be."""
    group.connect(neighbour)
    group.connect(phone)
    visit = picking_visit(phone)
    mark(phone, visit)
    with phone._database.writing() as line:
        line.driver.execute(
            "UPDATE entry SET body = replace(body, '\"picking\"', '\"plucking\"') WHERE group_id = ? AND id = ?",
            (OWN_GROUP, visit),
        )
    exchange(phone, group.door(phone))
    assert look(phone).field == "round" and "1 mark." in look(phone).sentence
    assert phone.folded(visit).fields["round"] == "plucking"  # type: ignore[union-attr]
    correct(phone, visit, "a word of another app", round="picking")
    share(group, phone, neighbour)
    assert phone.sharing().needs_a_look == []
    assert sum(count.n for count in neighbour.season("2026").tallies) == 1
    assert phone.season("2026") == neighbour.season("2026")


def test_a_held_back_record_that_is_undone_needs_no_look_any_more(group: "Group", phone: PhoneStore) -> None:
    group.connect(phone)
    visit = picking_visit(phone)
    exchange(phone, Stricter(group.door(phone), visit))
    phone.undo(visit)
    share(group, phone)
    assert phone.sharing().needs_a_look == [] and phone.get(Visit, visit) is None
    phone.redo(visit)
    share(group, phone)
    assert phone.all(Visit) == [], "the group never had it"


def test_a_held_back_edit_needs_a_look_until_all_that_it_said_is_said_anew(
    group: "Group", phone: PhoneStore
) -> None:
    group.connect(phone)
    picking_visit(phone)
    garden = phone.all(Garden)[0].rec
    exchange(phone, group.door(phone))
    phone.record("garden", {"name": "Dale", "elevation_m": 300}, garden)
    edit = phone.history(1)[0].id
    exchange(phone, Stricter(group.door(phone), edit))
    assert (look(phone).id, look(phone).waiting_for_it) == (edit, 0)
    assert phone.get(Garden, garden).name == "Hill"  # type: ignore[union-attr]
    phone.record("garden", {"name": "Dell"}, garden)
    share(group, phone)
    assert look(phone).id == edit, "of the elevation nothing was said since"
    phone.record("garden", {"elevation_m": 310}, garden)
    assert look(phone).id == edit, "not shared yet"
    share(group, phone)
    assert phone.sharing().needs_a_look == []


def test_what_was_mended_stays_so_when_everything_is_sent_again(group: "Group", phone: PhoneStore) -> None:
    group.connect(phone)
    visit = picking_visit(phone)
    server = Stricter(group.door(phone), visit)
    exchange(phone, server)
    correct(phone, visit, "said anew", when="2026-09-11")
    exchange(phone, server)
    assert phone.sharing().needs_a_look == []
    phone.incoming.start_over()
    exchange(phone, server)
    assert phone.sharing().needs_a_look == [] and phone.sharing().waiting == 0
    assert [one.when for one in phone.all(Visit)] == ["2026-09-11"]


@pytest.mark.parametrize(
    ("own", "others"),
    [
        ({"when": "2026-09-12", "text": "mine"}, {"when": "2026-09-12", "text": "theirs"}),
        ({"visit": "", "marks": ["sting"]}, {"when": "2026-09-12", "text": "theirs"}),
        ({"when": "2026-09-12", "text": "mine"}, {"visit": "", "marks": ["clean"]}),
        ({"visit": "", "marks": ["sting"]}, {"visit": "", "marks": ["clean"]}),
    ],
)
@pytest.mark.parametrize("pulled", ["after the push", "before the push"])
def test_of_two_records_of_one_id_the_groups_counts_everywhere_and_the_other_is_kept(
    group: "Group",
    phone: PhoneStore,
    neighbour: PhoneStore,
    own: dict[str, Any],
    others: dict[str, Any],
    pulled: str,
) -> None:
    group.connect(neighbour)
    group.connect(phone)
    visit = picking_visit(neighbour)
    share(group, neighbour, phone)
    one_id = new_id()
    for store, fields in ((neighbour, others), (phone, own)):
        said = {**fields, "visit": visit} if "visit" in fields else fields
        store.record("mark" if "visit" in fields else "note", said, one_id)
    exchange(neighbour, group.door(neighbour))
    if pulled == "before the push":
        phone.incoming.take(
            group.door(phone).pull(max(phone.incoming.cursor() - 1, 0), 1000, phone.incoming.epoch())
        )
    for again in range(2):
        share(group, phone, neighbour)
        kept = look(phone)
        assert (kept.rec, kept.state) == (one_id, Waits.HELD_BACK)
        assert neighbour.sharing().needs_a_look == []
        assert "Yours was kept on this phone" in kept.sentence
        assert ("sting" if "visit" in own else "mine") in kept.sentence
        assert phone.folded(one_id) == neighbour.folded(one_id)
        assert phone.season("2026") == neighbour.season("2026")
        assert phone.season("2026") == from_entries(oldest_first(neighbour), "2026")
        assert phone.tallies(visit) == neighbour.tallies(visit)
        assert len(phone.entries_of(one_id)) == 2, "both texts are on this phone"
        if not again:
            phone.incoming.start_over()
