"""One entry that nobody foresaw never sinks the others, in any store: it is kept, and the rest goes on."""

import random
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from shared_models.entries import Entry, canonical_text
from shared_models.fold import FoldedRecord, fold_all
from shared_models.identifiers import new_id
from shared_models.records.fields import Record
from shared_models.records.kinds import KINDS, check_fields
from shared_models.season_records import from_entries
from shared_models.store import state
from tests.builders import FieldPhone
from tests.contracts.histories import history

if TYPE_CHECKING:
    from tests.contracts.stores import StoreOfEntries

pytestmark = pytest.mark.needs_server

STRANGE: tuple[Any, ...] = ("last spring", {"in": "May"}, [1, ["x"]], True, 2.5, None, "", "a\x00b")


def strange_fields(kind: str, chance: random.Random) -> dict[str, Any]:
    """Whatever other kinds declare, holding what no kind would take there."""
    declared = {name for other in KINDS.values() for name in other.model_fields}
    own = set(KINDS[kind].model_fields) - set(
        Record.model_fields
    )  # where a record came from is no field of it
    names = chance.sample(sorted(declared - own), 70)
    always = {"when", "season", "visit"} - own
    return {name: chance.choice(STRANGE) for name in sorted(always.union(names))}


def strange_entries(phone: FieldPhone, chance: random.Random) -> list[Entry]:
    """Complete records and bare edits of every kind, with fields that it does not declare."""
    garden = phone.garden(**strange_fields("garden", chance))
    tree = phone.tree(garden, **strange_fields("tree", chance))
    visit = phone.visit(tree, **strange_fields("visit", chance))
    mark = phone.mark(visit, "clean", **strange_fields("mark", chance))
    number = phone.number(visit, 4, "clean", **strange_fields("number", chance))
    bare = [garden.model_copy(update={"kind": kind, "rec": new_id()}) for kind in KINDS]
    edits = [phone.edits(one, **strange_fields(one.kind, chance)) for one in bare]
    return [garden, tree, visit, mark, number, *edits]


@pytest.mark.parametrize("seed", range(3))
def test_fields_that_a_kind_does_not_declare_are_kept_and_sink_nothing(
    fresh_store: "StoreOfEntries", seed: int
) -> None:
    chance = random.Random(seed)
    strange, plain = strange_entries(FieldPhone(), chance), history(chance, 30)
    assert not any(check_fields(entry.kind, entry.f, entry.creates) for entry in strange), "all are taken"
    entries = [*plain, *strange]
    chance.shuffle(entries)
    fresh_store.give(entries)
    assert fresh_store.season("2026") == from_entries(entries, "2026")
    assert fresh_store.season_keys() == ["2026"] and fresh_store.unfolded() == []
    assert {one.body for one in fresh_store.page(0, 1000)} == set(map(canonical_text, entries))
    for rec, folded in fold_all(entries).items():
        assert fresh_store.folded(rec) == folded


Row = Callable[[str, FoldedRecord], dict[str, Any]]


def raising(right: Row) -> Row:
    """A row of a poisonous record cannot be made."""

    def row(group: str, record: FoldedRecord) -> dict[str, Any]:
        if "poison" in record.fields:
            raise KeyError("nobody foresaw this")
        return right(group, record)

    return row


def unwritable(right: Row) -> Row:
    """A row of a poisonous record holds what no database takes."""

    def row(group: str, record: FoldedRecord) -> dict[str, Any]:
        made = right(group, record)
        return made | {"device": {"no": "text"}} if "poison" in record.fields else made

    return row


@pytest.mark.parametrize("defect", [raising, unwritable])
@pytest.mark.parametrize("arrives", ["alone first", "among the others", "later, on a record that was fine"])
def test_a_record_that_cannot_be_folded_stays_unfolded_and_all_others_go_on(
    fresh_store: "StoreOfEntries",
    monkeypatch: pytest.MonkeyPatch,
    defect: Callable[[Row], Row],
    arrives: str,
) -> None:
    chance, phone = random.Random(5), FieldPhone()
    others = history(chance, 60)
    note, mark = phone.makes("note", {"when": "2026-08-20", "text": "hm"}), phone.mark(others[4], "clean")
    poison = [phone.edits(note, poison=1), phone.edits(mark, poison=1)]
    batches = {
        "alone first": [[note, mark, *poison], others],
        "among the others": [chance.sample([*others, note, mark, *poison], len(others) + 4)],
        "later, on a record that was fine": [[*others, note, mark], poison],
    }
    with monkeypatch.context() as broken:
        broken.setattr(state, "record_row", defect(state.record_row))
        broken.setattr(state, "mark_row", defect(state.mark_row))
        for batch in batches[arrives]:
            fresh_store.give(batch)
        assert fresh_store.season("2026") == from_entries(others, "2026")
        assert fresh_store.unfolded() == sorted([note.rec, mark.rec])
        assert fresh_store.known([entry.id for entry in poison]) == {entry.id for entry in poison}
    fresh_store.give([phone.person()])  # the next reading, with the defect mended
    entries = [*others, note, mark, *poison]
    assert fresh_store.season("2026").tallies == from_entries(entries, "2026").tallies
    assert fresh_store.unfolded() == []
