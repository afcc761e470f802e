"""Many trees in few words, and what is offered to choose many at once from. Writes nothing.

Offers `TreesChosen`, `chosen`, `chosen_by_text`, `offers_for`; the choosing itself is `tree_choice`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.tree_choice import choose_trees, prefix_of, trees_as_last_time
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.language import say, say_many

_FEWEST_FROM_TO = 3  # two trees beside each other are named both


@dataclass(frozen=True, slots=True)
class TreesChosen:
    """Trees, or none for a whole garden, and how they are called."""

    garden: str
    trees: tuple[str, ...]
    in_words: str


@dataclass(frozen=True, slots=True)
class TreeOffers:
    """What can be chosen by one touch in a garden: as last time, each row of a letter, all trees."""

    garden: str
    garden_name: str
    last_time: TreesChosen | None
    rows: tuple[TreesChosen, ...]
    all_trees: TreesChosen | None


def chosen(store: PhoneStore, garden: str, trees: Sequence[str]) -> TreesChosen:
    """These trees of a garden in words; the whole garden where none are named."""
    return _chosen(TreeList(store), garden, trees)


def chosen_by_text(store: PhoneStore, garden: str, text: str) -> TreesChosen:
    """The trees that a text such as "1-12, 15" names; BadInputError where it names none or several."""
    return chosen(store, garden, choose_trees(store, garden, text))


def offers_for(store: PhoneStore, method: str) -> list[TreeOffers]:
    """What each garden with trees offers for a job of a method, the garden of the last such job first."""
    listed = TreeList(store)
    last = trees_as_last_time(store, method)
    gardens = dict.fromkeys([*(listed.line(tree).garden for tree in last), *_gardens(listed)])
    return [_offers(listed, garden, last) for garden in gardens]


def in_words(row: Sequence[TreeLine], trees: Sequence[str]) -> str:
    """The labels of trees in their walking order, neighbours as from–to: "1–12, 15"."""
    wanted, runs = set(trees), list[list[TreeLine]]()
    for before, line in zip([None, *row], row, strict=False):
        if line.tree not in wanted:
            continue
        if runs and before is not None and runs[-1][-1].tree == before.tree:
            runs[-1].append(line)
        else:
            runs.append([line])
    return ", ".join(_run_in_words(run) for run in runs)


def _run_in_words(run: Sequence[TreeLine]) -> str:
    if len(run) < _FEWEST_FROM_TO:
        return ", ".join(line.label for line in run)
    return say("{first}–{last}", first=run[0].label, last=run[-1].label)


def _chosen(listed: TreeList, garden: str, trees: Sequence[str]) -> TreesChosen:
    row = listed.standing(garden)
    if not trees:
        return TreesChosen(garden, (), say("the whole of {garden}", garden=listed.garden_name(garden)))
    if {line.tree for line in row} == set(trees):
        words = say_many(
            "the {count} tree of {garden}",
            "all {count} trees of {garden}",
            len(row),
            garden=listed.garden_name(garden),
        )
        return TreesChosen(garden, tuple(trees), words)
    words = say_many(
        "{count} tree: {labels}", "{count} trees: {labels}", len(trees), labels=in_words(row, trees)
    )
    return TreesChosen(garden, tuple(trees), words)


def _offers(listed: TreeList, garden: str, last: Sequence[str]) -> TreeOffers:
    row = listed.standing(garden)
    last_here = [tree for tree in last if listed.line(tree).garden == garden]
    prefixes = dict.fromkeys(prefix for line in row if (prefix := prefix_of(line.label)))
    rows = [[line.tree for line in row if prefix_of(line.label) == prefix] for prefix in prefixes]
    return TreeOffers(
        garden,
        listed.garden_name(garden),
        _chosen(listed, garden, last_here) if last_here else None,
        tuple(_chosen(listed, garden, trees) for trees in rows if 1 < len(trees) < len(row)),
        _chosen(listed, garden, [line.tree for line in row]) if row else None,
    )


def _gardens(listed: TreeList) -> list[str]:
    return list(dict.fromkeys(line.garden for line in listed.standing()))
