"""Trees as things: add one or a row, change, rename, retire, put in order, and say that two records are one tree.

Offers `add_tree`, `add_row`, `edit_tree`, `rename_tree`, `retire_tree`, `add_graft`, `place_after`,
`put_in_order`, `say_same`, `take_back_same`. Reading the list is `tree_list.TreeList`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from mobile.storage.drafts import Draft
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import fresh_id, said
from mobile.workflows.moments import on_day
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.fields import Doubt
from shared_models.records.gardens import Garden, Graft, SameTree, Tree

MOST_IN_A_ROW = 500  # a longer row is a typing error


@dataclass(frozen=True, slots=True)
class TreesAdded:
    """Trees in the order they were made, and sentences to show; none of them blocks."""

    trees: tuple[str, ...]
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class TreeChanged:
    """A tree after a change."""

    line: TreeLine
    notes: tuple[str, ...]
    doubts: tuple[Doubt, ...]


def add_tree(
    store: PhoneStore, label: str, garden: str, *, cultivar: str | None = None, **details: Any
) -> TreesAdded:
    """Add one tree, last in walking order. `details` are fields of a tree: species, size, year_planted …"""
    return _add(store, [label.strip()], garden, cultivar, details)


def add_row(
    store: PhoneStore,
    garden: str,
    count: int,
    *,
    prefix: str = "",
    first: int = 1,
    cultivar: str | None = None,
    **details: Any,
) -> TreesAdded:
    """Add `count` trees in a row, labelled prefix + number from `first` on, in walking order; all of them or none."""
    if not 1 <= count <= MOST_IN_A_ROW:
        raise BadInputError(
            say("A row has from 1 to {most} trees, not {count}.", most=MOST_IN_A_ROW, count=count), "count"
        )
    if first < 0:
        raise BadInputError(say("The first number of a row is 0 or more, not {first}.", first=first), "first")
    labels = [row_label(prefix, number) for number in range(first, first + count)]
    return _add(store, labels, garden, cultivar, details)


def row_label(prefix: str, number: int) -> str:
    """The label of one tree of a row."""
    return f"{prefix.strip()}{number}"


def edit_tree(store: PhoneStore, tree: str, **changes: Any) -> TreeChanged:
    """Change fields of a tree; None empties one. Every change keeps its date and author."""
    unknown = sorted(set(changes) - set(Tree.model_fields))
    if unknown or not changes:
        raise BadInputError(
            say("A tree has no field “{field}”.", field=unknown[0] if unknown else ""), "field"
        )
    TreeList(store).line(tree)
    store.record(Tree.kind, dict(changes), tree)
    return _changed(store, tree)


def rename_tree(store: PhoneStore, tree: str, label: str) -> TreeChanged:
    """Give a tree another label; the old one is still found by searching."""
    return edit_tree(store, tree, label=label.strip())


def retire_tree(store: PhoneStore, tree: str, removed_on: date | None = None) -> TreeChanged:
    """Offer a tree no longer; `removed_on` where it was taken out. A replanted place is a new tree."""
    day = on_day(store, removed_on) if removed_on else None
    return edit_tree(store, tree, **said(retired=True, removed_on=day))


def bring_back(store: PhoneStore, tree: str) -> TreeChanged:
    """Offer a retired tree again."""
    return edit_tree(store, tree, retired=False, removed_on=None)


def add_graft(store: PhoneStore, tree: str, cultivar: str, grafted_on: date | None = None) -> str:
    """Note a further cultivar on a tree; returns the graft's id, which is a place on the tree."""
    TreeList(store).line(tree)
    day = on_day(store, grafted_on) if grafted_on else None
    return store.record(Graft.kind, said(tree=tree, cultivar=cultivar.strip(), grafted_on=day))


def rename_graft(store: PhoneStore, graft: str, cultivar: str) -> None:
    """Give a graft another cultivar's name, where it was named wrongly."""
    store.record(Graft.kind, {"cultivar": cultivar.strip()}, graft)


def retire_graft(store: PhoneStore, graft: str, retired: bool = True) -> None:
    """Offer a cultivar of a tree no longer, such as after it was cut off; or again."""
    store.record(Graft.kind, {"retired": retired}, graft)


def put_in_order(store: PhoneStore, trees: Sequence[str]) -> None:
    """Walk past these trees in this order from now on; one transaction, only what changes is written."""
    orders = {tree.rec: tree.order for tree in store.all(Tree)}
    store.record_all(
        [
            Draft(Tree.kind, {"order": place}, tree)
            for place, tree in enumerate(trees, start=1)
            if tree in orders and orders[tree] != place
        ]
    )


def place_after(store: PhoneStore, tree: str, after: str | None) -> None:
    """Move one tree behind another in walking order, or to the front of its garden where `after` is None."""
    trees = TreeList(store)
    moved = trees.line(tree)
    row = [line.tree for line in trees.standing(moved.garden) if line.tree != moved.tree]
    behind = trees.line(after).tree if after else None
    if behind is not None and behind not in row:
        raise BadInputError(say("A tree is moved behind another standing tree of its garden."), "after")
    place = row.index(behind) + 1 if behind else 0
    put_in_order(store, [*row[:place], moved.tree, *row[place:]])


def say_same(store: PhoneStore, a: str, b: str) -> str:
    """Say that two tree records are one tree; returns the record of it, which undoes it when taken back."""
    trees = TreeList(store)
    trees.line(a), trees.line(b)
    if a == b:
        raise BadInputError(say("Choose two trees; a tree is always the same as itself."), "b")
    known = next((link.rec for link in store.all(SameTree) if {link.a, link.b} == {a, b}), None)
    return known or store.record(SameTree.kind, {"a": a, "b": b})


def take_back_same(store: PhoneStore, tree: str) -> int:
    """Make the records that were said to be this tree separate trees again; returns how many links were undone."""
    records = TreeList(store).records_of(tree)
    links = [link.rec for link in store.all(SameTree) if {link.a, link.b} & records]
    for link in links:
        store.undo(link)
    return len(links)


def _add(
    store: PhoneStore, labels: Sequence[str], garden: str, cultivar: str | None, details: dict[str, Any]
) -> TreesAdded:
    if store.get(Garden, garden) is None:
        raise BadInputError(say("This garden is not on this phone; name it first."), "garden")
    orders = [line.order or 0 for line in TreeList(store).standing(garden)]
    last = max(orders, default=0)
    trees = [fresh_id(store) for _ in labels]
    drafts = []
    for place, (tree, label) in enumerate(zip(trees, labels, strict=True), start=1):
        fields = said(label=label, garden=garden, **{"order": last + place, **details})
        drafts.append(Draft(Tree.kind, fields, tree))
        if cultivar and cultivar.strip():
            drafts.append(Draft(Graft.kind, {"tree": tree, "cultivar": cultivar.strip()}))
    store.record_all(drafts)
    listed = TreeList(store)
    notes = tuple(_double_note(listed.line(tree)) for tree in trees if listed.line(tree).double)
    return TreesAdded(tuple(trees), notes, _doubts(store, trees[:1]))


def _changed(store: PhoneStore, tree: str) -> TreeChanged:
    line = TreeList(store).line(tree)
    notes = (_double_note(line),) if line.double else ()
    return TreeChanged(line, notes, _doubts(store, [tree]))


def _double_note(line: TreeLine) -> str:
    return say(
        "Another tree of {garden} is labelled {label} too. Both are kept; "
        "give one another label, or say that these two are one tree.",
        garden=line.garden_name,
        label=line.label,
    )


def _doubts(store: PhoneStore, trees: Sequence[str]) -> tuple[Doubt, ...]:
    found = [store.get(Tree, tree) for tree in trees]
    return tuple(doubt for tree in found if tree for doubt in tree.doubts())
