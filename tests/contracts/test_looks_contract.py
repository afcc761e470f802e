"""What people have to decide is the same in every store, however the entries arrived, and what the entries come to."""

import random
from collections.abc import Callable
from itertools import groupby
from typing import TYPE_CHECKING

import pytest

from shared_models.blind_edits import BlindEdit, blind_edits
from shared_models.entries import Entry
from shared_models.fold import fold, fold_all, in_order
from shared_models.records.kinds import THAT_CHANGE, record_of
from shared_models.records.traps import TrapVisit
from shared_models.season.double_counts import DoubleCount, double_counts
from tests.builders import FieldPhone
from tests.contracts.histories import grouped, history

if TYPE_CHECKING:
    from tests.contracts.stores import StoreOfEntries

pytestmark = pytest.mark.needs_server


def edited_apart(chance: random.Random) -> list[Entry]:
    """Three phones that see some of what the others did, edit things that stand, and count one trap over each other."""
    entries = history(chance, 40)
    phones = [FieldPhone() for _ in range(3)]
    garden = entries[0]
    trap = phones[0].trap(garden)
    line = phones[1].untreated(entries[1])
    entries += [trap, line]
    counted: list[Entry] = []
    for _ in range(40):
        phone = chance.choice(phones)
        made = chance.choice([garden, *entries[1:4], trap, line])
        seen = fold([e for e in entries if e.rec == made.rec and (e.creates or chance.random() < 0.8)])
        phone.receives(*entries)
        field = {"garden": "name", "tree": "label", "trap": "label", "plan_line": "block"}[made.kind]
        entries.append(phone.edits(made, seen, **{field: chance.choice("abcdefgh")}))
        before = {"previous": chance.choice(counted).rec} if counted and chance.random() < 0.9 else {}
        counted.append(phone.trap_visit(trap, chance.randrange(5), **before))
    entries += counted
    for visit in chance.sample(counted, 12):
        entries.append(phones[0].edits(visit, _del=True, instead=chance.choice(counted).rec))
    return entries


def expected(entries: list[Entry]) -> tuple[list[BlindEdit], list[DoubleCount]]:
    """The same from the entries alone."""
    of_changing = sorted((e for e in entries if e.kind in THAT_CHANGE), key=lambda entry: entry.rec)
    blind = [
        one
        for _, of_record in groupby(of_changing, lambda entry: entry.rec)
        for one in blind_edits(in_order(of_record))
    ]
    folded = [one for one in fold_all(entries).values() if one.kind == TrapVisit.kind]
    visits = [(one.deleted, record_of(one)) for one in folded]
    live = [visit for deleted, visit in visits if isinstance(visit, TrapVisit) and not deleted]
    undone = [visit for deleted, visit in visits if isinstance(visit, TrapVisit) and deleted]
    return blind, double_counts(live, undone)


def test_an_empty_store_has_nothing_to_decide(fresh_store: "StoreOfEntries") -> None:
    assert fresh_store.looks() == ([], [])


@pytest.mark.parametrize("seed", range(3))
def test_what_is_to_be_decided_is_what_the_entries_come_to(
    new_store: Callable[[], "StoreOfEntries"], seed: int
) -> None:
    chance = random.Random(seed)
    entries = edited_apart(chance)
    wanted = expected(entries)
    assert wanted[0] and len(wanted[1]) > 2
    store = new_store()
    for batch in grouped(chance, entries):
        store.give(batch)
    assert store.looks() == wanted


def test_an_edit_that_arrives_later_settles_it(fresh_store: "StoreOfEntries") -> None:
    one, other = FieldPhone(), FieldPhone()
    garden = one.garden()
    tree = one.tree(garden, "7")
    first, second = one.edits(tree, fold([tree]), label="7a"), other.edits(tree, fold([tree]), label="7b")
    fresh_store.give([garden, tree, first, second])
    ((edit,), counts) = fresh_store.looks()
    assert (edit.rec, edit.field, counts) == (tree.rec, "label", [])
    other.receives(first, second)
    kept = other.edits(tree, None, label=edit.stands.value)
    fresh_store.give([kept.model_copy(update={"prev": {"label": edit.others[0].entry}})])
    assert fresh_store.looks() == ([], [])
