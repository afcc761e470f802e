"""What people do to trees in the invented seasons: declarations, bags, sprays, nets. Records nothing.

Nothing here is advice: products are invented, and what a label says is typed by whoever holds it in hand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from random import Random

from demo.diary import at, from_hour
from demo.doings import DeclareUntreated, Doing, LeaveOut, NameContrast, PutBagsOn, TakeBack, Treat
from demo.place import HELPER, PRODUCT
from demo.truth import Tree

WRONG_JOB = "sprayed in the wrong row"
SPRAY_DAYS = {
    ("granulovirus", "north"): (date(2026, 6, 12), date(2026, 6, 22), date(2026, 7, 4)),
    ("kaolin_film", "north"): (date(2026, 6, 6), date(2026, 6, 20)),
    ("netting", "north"): (date(2026, 6, 1),),
    ("granulovirus", "south"): (date(2025, 12, 12), date(2025, 12, 22), date(2026, 1, 4)),
}
KEEPER = {"larkhollow": "ansa", "millward": "coro", "tarnfold": "emmo"}


def treatments(trees: Sequence[Tree], chance: Random) -> Iterator[Doing]:
    """Everything done to trees of all gardens."""
    for garden, keeper in KEEPER.items():
        of_garden = [tree for tree in trees if tree.garden == garden and tree.recorded]
        yield from _declarations(garden, keeper, of_garden)
        yield from _jobs(garden, keeper, of_garden)
        yield from _bags(garden, keeper, of_garden, chance)
    yield from _wrong_job([tree for tree in trees if tree.garden == "larkhollow"])
    yield NameContrast(
        moment=at("ansa", date(2026, 5, 30), 20), phone="ansa", season="2026", with_method="granulovirus"
    )


def untreated(trees: Sequence[Tree]) -> list[Tree]:
    """Trees that were truly left untreated."""
    return [tree for tree in trees if tree.parts[0].mix.untreated]


def _declarations(garden: str, keeper: str, trees: Sequence[Tree]) -> Iterator[Doing]:
    """At bagging time; in Larkhollow one tree is declared only when everything was scored, and one is left out."""
    names = [tree.name for tree in untreated(trees)]
    in_time = at(keeper, date(2025, 11, 30) if garden == "tarnfold" else date(2026, 5, 30), 17)
    if garden != "larkhollow":
        yield DeclareUntreated(moment=in_time, phone=keeper, trees=tuple(names))
        return
    late = next(tree.name for tree in untreated(trees) if tree.compared)
    yield DeclareUntreated(moment=in_time, phone=keeper, trees=tuple(name for name in names if name != late))
    yield DeclareUntreated(moment=at(keeper, date(2026, 9, 28), 19), phone=keeper, trees=(late,))
    yield LeaveOut(
        moment=at(keeper, date(2026, 9, 1), 19),
        phone=keeper,
        tree=next(tree.name for tree in trees if not tree.compared),
        reason="a storm broke half of its crown in July",
    )


def _jobs(garden: str, keeper: str, trees: Sequence[Tree]) -> Iterator[Doing]:
    half = "south" if garden == "tarnfold" else "north"
    for (method, where), days in SPRAY_DAYS.items():
        names = tuple(tree.name for tree in trees if method in tree.parts[0].mix.methods)
        if where != half or not names:
            continue
        for day in days:
            # The last kaolin of Millward is written down twelve days late.
            late = method == "kaolin_film" and garden == "millward" and day == days[-1]
            yield Treat(
                moment=at(keeper, date(2026, 7, 2) if late else day, 21 if late else 7),
                phone=keeper,
                told_day=day if late else None,
                method=method,
                trees=names,
                minutes=6 * len(names),
                product=None if method == "netting" else PRODUCT,
            )


def _bags(garden: str, keeper: str, trees: Sequence[Tree], chance: Random) -> Iterator[Doing]:
    """As many bags stay on as bagged fruit are there later; some of a box always come back."""
    day = date(2025, 12, 6) if garden == "tarnfold" else date(2026, 6, 5)
    moments = from_hour(keeper, day, 9, minutes=40)
    for tree in trees:
        for part in tree.parts:
            if part.cover != "bagged":
                continue
            left = chance.randint(0, 25)
            fruit = part.fruit
            on = fruit.fallen_damaged + fruit.fallen_clean + len(fruit.picked)
            yield PutBagsOn(
                moment=next(moments),
                phone=keeper,
                helper=HELPER if garden == "larkhollow" and left % 2 else None,
                tree=tree.name,
                took=on + left,
                left=left,
            )


def _wrong_job(trees: Sequence[Tree]) -> Iterator[Doing]:
    """A job recorded on the wrong trees, and undone by two phones before they hear of each other."""
    wrong = tuple(tree.name for tree in untreated(trees))[:3]
    yield Treat(
        moment=at("brun", date(2026, 7, 4), 20),
        phone="brun",
        method="granulovirus",
        trees=wrong,
        minutes=20,
        product=PRODUCT,
        name=WRONG_JOB,
    )
    yield TakeBack(moment=at("ansa", date(2026, 7, 12), 20), phone="ansa", name=WRONG_JOB)
    yield TakeBack(moment=at("brun", date(2026, 7, 13), 20), phone="brun", name=WRONG_JOB)
