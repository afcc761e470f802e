"""Drops rounds and picking of the invented seasons: what lay there, what was picked, and what was scored of it.

Records nothing. Only thirty fruit of a part and day are scored where more were picked; the rest is a total.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from random import Random

from demo.diary import from_hour
from demo.doings import Doing, Drops, LookForDrops, Number, PickedInAll, Score, exactly
from demo.place import HELPER
from demo.truth import Part, Tree

SCORED_AT_MOST = 30
FRUIT_PER_KG = 6.5  # invented
ROUNDS = {
    "larkhollow": tuple(
        date(2026, month, day) for month, day in ((7, 8), (7, 22), (8, 5), (8, 19), (9, 2), (9, 16))
    ),
    "tarnfold": tuple(
        date(2026, month, day) for month, day in ((1, 9), (1, 23), (2, 6), (2, 20), (3, 6), (3, 20))
    ),
}
PICKS = {
    "larkhollow": (date(2026, 8, 29), date(2026, 9, 12), date(2026, 9, 26)),
    "millward": (date(2026, 9, 5), date(2026, 9, 19), date(2026, 10, 3)),
    "tarnfold": (date(2026, 2, 21), date(2026, 3, 14), date(2026, 3, 28)),
}
PICKERS = {"larkhollow": ("ansa", "brun"), "millward": ("coro", "dile"), "tarnfold": ("emmo", "emmo")}
TAPPERS = ("ansa", "dile")  # one touch a fruit; the others type numbers


@dataclass(frozen=True, slots=True)
class PickOfPart:
    """One part of a tree on one picking day: everything that was picked (True: damaged)."""

    tree: Tree
    part: Part
    day: date
    picked: tuple[bool, ...]


def picking_plan(trees: Sequence[Tree], chance: Random) -> list[PickOfPart]:
    """Which tree is picked when: on one day, or on two that share the crop."""
    plan = []
    for tree in trees:
        days = PICKS[tree.garden]
        first = chance.randrange(len(days) - 1)
        share = chance.uniform(0.35, 0.65) if chance.random() < 0.4 else 0.0
        for part in tree.parts:
            cut = round(share * len(part.fruit.picked))
            parcels = ((days[first], part.fruit.picked[:cut]), (days[first + 1], part.fruit.picked[cut:]))
            plan += [PickOfPart(tree, part, day, picked) for day, picked in parcels if picked]
    return plan


def picking(plan: Sequence[PickOfPart], chance: Random) -> Iterator[Score]:
    """The scores of every picking day; trees with odd and even numbers have a picker each."""
    clocks: dict[tuple[str, date], Iterator[datetime]] = {}
    for one in plan:
        phone = picker(one.tree)
        clock = clocks.setdefault((phone, one.day), from_hour(phone, one.day, 8, minutes=15))
        scored = chance.sample(one.picked, min(len(one.picked), SCORED_AT_MOST))
        yield Score(
            moment=next(clock),
            phone=phone,
            tree=one.tree.name,
            cover=one.part.cover,
            scores=tuple(_scored(damaged, chance) for damaged in scored),
            picked=_told_total(one, len(scored), chance),
            tapped=phone in TAPPERS,
        )


def picker(tree: Tree) -> str:
    """Whose phone scores this tree."""
    number = int("".join(letter for letter in tree.label if letter.isdigit()))
    return PICKERS[tree.garden][number % 2]


def drops_rounds(trees: Sequence[Tree], plan: Sequence[PickOfPart], chance: Random) -> Iterator[Doing]:
    """Every tree of the gardens with drops rounds is looked at until its last pick; nothing found is noted too."""
    last_pick = {one.tree.name: one.day for one in sorted(plan, key=lambda one: one.day)}
    for garden, rounds in ROUNDS.items():
        phone = PICKERS[garden][1]
        clocks = {day: from_hour(phone, day, 7, minutes=4) for day in rounds}
        for tree in trees:
            if tree.garden == garden:
                days = [day for day in rounds if day < last_pick[tree.name]]
                yield from _looked_at(tree, days, phone, clocks, chance)


def _looked_at(
    tree: Tree, days: list[date], phone: str, clocks: dict[date, Iterator[datetime]], chance: Random
) -> Iterator[LookForDrops]:
    fallen = [
        (part.cover, damaged, chance.choice(days))
        for part in tree.parts
        for damaged, count in ((True, part.fruit.fallen_damaged), (False, part.fruit.fallen_clean))
        for _ in range(count)
    ]
    for day in days:
        found = [(cover, damaged) for cover, damaged, fell in fallen if fell == day]
        yield LookForDrops(
            moment=next(clocks[day]),
            phone=phone,
            helper=HELPER if phone == "brun" and chance.random() < 0.3 else None,
            tree=tree.name,
            found=tuple(
                Drops(cover=cover, damaged=damaged, number=_number(found.count((cover, damaged)), chance))
                for cover, damaged in sorted(set(found))
            ),
        )


def _number(count: int, chance: Random) -> Number:
    """Mostly counted; now and then a bucketful is given as from–to, or about so many."""
    if count >= 6 and chance.random() < 0.1:
        return Number(count - 3, count + 3, estimated=True)
    if count >= 6 and chance.random() < 0.1:
        return Number(5 * round(count / 5), 5 * round(count / 5), estimated=True)
    return exactly(count)


def _scored(damaged: bool, chance: Random) -> str:
    draw = chance.random()
    if draw < 0.01:
        return "not_sure"
    if damaged:
        return "deep_entry" if draw < 0.65 else "sting"
    return "other_insect" if draw < 0.04 else "other" if draw < 0.09 else "clean"


def _told_total(one: PickOfPart, scored: int, chance: Random) -> PickedInAll:
    total = len(one.picked)
    if scored == total:
        return PickedInAll(all_scored=True)
    draw = chance.random()
    if one.tree.garden == "millward" and draw < 0.06:
        return PickedInAll()  # nobody noted how many there were
    if draw < 0.3 and total > scored + 5:
        return PickedInAll(weight_kg=round(total / FRUIT_PER_KG, 1), fruit_per_kg=FRUIT_PER_KG)
    return PickedInAll(total=total)
