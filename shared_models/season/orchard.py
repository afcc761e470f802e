"""The trees of a season as they are: one tree for all records that are said to be the same, and what clashes.

Records fold unmerged. Every id of a connected set of trees stands for the smallest of them; taking the link away
gives both back.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache

from shared_models.records.gardens import Garden, Graft, SameTree, Tree
from shared_models.season_records import SeasonRecords

_NUMBERS = re.compile(r"([0-9]{1,18})")


@dataclass(frozen=True, slots=True)
class LabelClash:
    """Several trees of one garden that carry one label; shown, never refused."""

    garden: str
    label: str
    trees: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class MergedTree:
    """Tree records that were said to be one, and the labels that disagree (the smallest id's label holds)."""

    tree: str
    others: tuple[str, ...]
    labels: tuple[str, ...]


class Orchard:
    """Gardens and trees of the season's hemisphere, with one id for each real tree."""

    def __init__(self, records: SeasonRecords) -> None:
        self.gardens = {
            garden.rec: garden
            for garden in records.all(Garden)
            if garden.hemisphere is records.season.hemisphere
        }
        self._records = {tree.rec: tree for tree in records.all(Tree)}
        self._smallest = smallest_of_connected((link.a, link.b) for link in records.all(SameTree))
        self._grafts = records.all(Graft)

    def one(self, tree: str) -> str:
        """The id that stands for this tree."""
        return self._smallest.get(tree, tree)

    @cached_property
    def trees(self) -> dict[str, Tree]:
        """Trees of this hemisphere by the id that stands for them; retired ones too, since they may have records."""
        chosen: dict[str, Tree] = {}
        for rec in sorted(self._records):
            tree = self._records[rec]
            if tree.garden in self.gardens:
                chosen.setdefault(self.one(rec), tree)
        return chosen

    @cached_property
    def cultivars(self) -> dict[str, str]:
        """The cultivar of each tree that has exactly one; several are joined, since the tree stays one unit."""
        found: dict[str, set[str]] = {}
        for graft in self._grafts:
            found.setdefault(self.one(graft.tree), set()).add(graft.cultivar)
        return {tree: ", ".join(sorted(names)) for tree, names in found.items()}

    def of_garden(self, garden: str, day: date | None = None) -> list[str]:
        """The trees of a garden that stood there on a day (today's, where none is given)."""
        return [rec for rec in self._by_garden.get(garden, []) if _stood(self.trees[rec], day)]

    @cached_property
    def _by_garden(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for rec, tree in self.trees.items():
            found.setdefault(tree.garden, []).append(rec)
        return found

    def garden_of(self, tree: str) -> Garden | None:
        """The garden of a tree, where both are here."""
        found = self.trees.get(self.one(tree))
        return self.gardens.get(found.garden) if found else None

    def names(self) -> dict[str, str]:
        """How to call each tree in a list: its label, with the garden where several gardens have that label."""
        gardens: dict[str, set[str]] = {}
        for tree in self.trees.values():
            gardens.setdefault(tree.label, set()).add(tree.garden)
        return {
            rec: tree.label
            if len(gardens[tree.label]) == 1
            else f"{self.gardens[tree.garden].name} {tree.label}"
            for rec, tree in self.trees.items()
        }

    def in_walking_order(self, trees: Iterable[str]) -> list[str]:
        """Trees by garden name, walking order and label."""
        return sorted(trees, key=self._place)

    def clashes(self) -> list[LabelClash]:
        """Labels that stand on several standing trees of one garden."""
        by_label: dict[tuple[str, str], list[str]] = {}
        for rec, tree in self.trees.items():
            if not tree.retired and not tree.removed_on:
                by_label.setdefault((self.gardens[tree.garden].name, tree.label), []).append(rec)
        return [
            LabelClash(*key, tuple(sorted(recs))) for key, recs in sorted(by_label.items()) if len(recs) > 1
        ]

    def merged(self) -> list[MergedTree]:
        """The sets of records that stand for one tree."""
        sets: dict[str, list[str]] = {}
        for rec in sorted(self._records):
            if self.one(rec) in self.trees:
                sets.setdefault(self.one(rec), []).append(rec)
        return [self._merged(one, recs) for one, recs in sorted(sets.items()) if len(recs) > 1]

    def _merged(self, one: str, recs: Sequence[str]) -> MergedTree:
        labels = tuple(sorted({self._records[rec].label for rec in recs}))
        return MergedTree(one, tuple(rec for rec in recs if rec != one), labels)

    def _place(self, rec: str) -> tuple[str, str, float, tuple[int, str], str]:
        tree = self.trees[rec]
        digits = "".join(letter for letter in tree.label if letter.isdigit())
        numbered = (int(digits[:9] or 0), tree.label)
        order = tree.order if tree.order is not None else 1e9
        return (self.gardens[tree.garden].name, tree.garden, order, numbered, rec)


def in_order_of_labels(labels: Iterable[str]) -> list[str]:
    """Each label once, numbers in them by their size.

    >>> in_order_of_labels(["O10", "O2", "O2", "Hill O1"])
    ['Hill O1', 'O2', 'O10']
    """
    return sorted(set(labels), key=_by_number)


@lru_cache(maxsize=32_768)  # the labels of a season are asked for by every warning
def _by_number(label: str) -> tuple[list[str | int], str]:
    """Words and numbers in turn: places of words are words in every label, so that any two can be compared."""
    parts = _NUMBERS.split(label)
    return [int(part) if place % 2 else part for place, part in enumerate(parts)], label


def _stood(tree: Tree, day: date | None) -> bool:
    if tree.removed_on is None:
        return not tree.retired
    return day is not None and day.isoformat() <= tree.removed_on


def smallest_of_connected(links: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The smallest id of each set of ids that links connect.

    >>> smallest_of_connected([("b", "c"), ("a", "c"), ("x", "y")])
    {'b': 'a', 'c': 'a', 'a': 'a', 'x': 'x', 'y': 'x'}
    """
    parent: dict[str, str] = {}

    def root(one: str) -> str:
        while parent.setdefault(one, one) != one:
            one = parent[one]
        return one

    for a, b in links:
        first, second = sorted((root(a), root(b)))
        parent[second] = first
    return {one: root(one) for one in parent}
