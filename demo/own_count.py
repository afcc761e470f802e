"""The generator's own count of what people wrote down, added up from the doings. Knows no records and no report.

It is a second way to the totals: "what was said, each fruit and each moth once, whoever recorded it".
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from demo import doings
from demo.place import GARDENS
from demo.season import InventedSeasons
from demo.truth import Mix, Tree


@dataclass(slots=True)
class OwnCount:
    """Totals of one season: fruit by what they were scored, bags put on, moths by trap, and each mix's scored fruit."""

    fruit: dict[str, float] = field(default_factory=lambda: defaultdict(float))
    bags: int = 0
    moths: Counter[str] = field(default_factory=Counter)
    scored_of_mix: Counter[str] = field(default_factory=Counter)
    damaged_of_mix: Counter[str] = field(default_factory=Counter)
    trees_of_mix: Counter[str] = field(default_factory=Counter)


DAMAGED = ("sting", "deep_entry", "damaged")


def own_count(seasons: InventedSeasons, key: str) -> OwnCount:
    """Add up one season."""
    found = OwnCount()
    trees = {tree.name: tree for tree in seasons.trees if GARDENS[tree.garden].season == key}
    corrections = [one for one in seasons.doings if isinstance(one, doings.CorrectLater)]
    for doing in seasons.doings:
        if isinstance(doing, doings.CountTrap):
            _count_moths(found, doing, key)
        elif isinstance(doing, doings.PutBagsOn) and doing.tree in trees:
            found.bags += doing.took - doing.left
        elif isinstance(doing, doings.LookForDrops) and doing.tree in trees:
            _count_drops(found, doing)
        elif isinstance(doing, doings.Score) and doing.tree in trees:
            _count_scores(found, trees[doing.tree], doing, corrections)
    for tree in trees.values():
        found.trees_of_mix.update(mix.key for mix in compared_mixes(tree))
    return found


def compared_mixes(tree: Tree) -> list[Mix]:
    """The mixes that this tree stands for in the comparison; none where it was not recorded or left out."""
    return [part.mix for part in tree.parts] if tree.recorded and tree.compared else []


def _count_moths(found: OwnCount, doing: doings.CountTrap, key: str) -> None:
    garden, label = doing.trap.split("/")
    if GARDENS[garden].season == key:
        found.moths[f"{GARDENS[garden].name} · {label}"] += doing.caught


def _count_drops(found: OwnCount, doing: doings.LookForDrops) -> None:
    for one in doing.found:
        found.fruit["damaged" if one.damaged else "clean"] += one.number.counts_as


def _count_scores(
    found: OwnCount, tree: Tree, doing: doings.Score, corrections: Iterable[doings.CorrectLater]
) -> None:
    said = Counter(doing.scores)
    for one in corrections:
        if one.score == doing.name:
            said[one.what] += one.difference
    for what, count in said.items():
        found.fruit[what] += count
    for mix in compared_mixes(tree):
        if mix.cover == doing.cover:
            found.scored_of_mix[mix.key] += said.total() - said["not_sure"]
            found.damaged_of_mix[mix.key] += sum(said[one] for one in DAMAGED)
