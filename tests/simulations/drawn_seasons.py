"""Draws a season as entries of a phone: two methods on trees whose true rates are known. Knows no report.

Trees draw their own rate from a beta distribution around that of their side and cultivar (the intracluster correlation
is exactly `icc`), fruit draw theirs. All is invented.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from random import Random

from shared_models.entries import Entry
from tests.builders import FieldPhone

METHOD = "granulovirus"
FALLEN_DAMAGED, FALLEN_CLEAN = 0.4, 0.1  # shares that fall before picking; invented


@dataclass(frozen=True, slots=True)
class Truth:
    """What is true of a cell of seasons. Side a had the method, side b was left untreated.

    `cultivars` are factors on the odds-free rate by cultivar; `confounded` is the share of a's trees that stand on the
    first cultivar while b's stand on the last. `dominating` is how many times as much fruit one tree of a has.
    `several_days`: some fruit falls, damaged fruit more of it, and is counted; the rest is picked on up to three days,
    of each of which some is scored.
    """

    name: str
    trees_a: int = 5
    trees_b: int = 5
    rate_a: float = 0.15
    rate_b: float = 0.15
    icc_a: float = 0.10
    icc_b: float = 0.10
    fruit: tuple[int, int] = (20, 60)
    cultivars: tuple[float, ...] = (1.0,)
    confounded: float = 0.0
    cultivar_noted: bool = True
    dominating: int = 1
    picked_up_on_a: float = 0.0
    said_so: bool = True
    declared_late: bool = False
    several_days: bool = False

    @property
    def equal(self) -> bool:
        """Whether the two sides truly have the same damage."""
        return self.rate_a == self.rate_b


def drawn(truth: Truth, chance: Random) -> list[Entry]:
    """The entries of one season."""
    return list(_Season(truth, chance).entries())


class _Season:
    def __init__(self, truth: Truth, chance: Random) -> None:
        self.truth, self.chance = truth, chance
        self.phone = FieldPhone()
        self.garden = self.phone.garden("Hill (invented)")

    def entries(self) -> Iterator[Entry]:
        named = {"season": "2026", "with_method": METHOD, "when": "2026-08-01"}
        yield self.garden
        yield self.phone.makes("planned_contrast", named)
        for side, many in (("a", self.truth.trees_a), ("b", self.truth.trees_b)):
            for number in range(many):
                yield from self._tree(side, number)

    def _tree(self, side: str, number: int) -> Iterator[Entry]:
        tree = self.phone.tree(self.garden, f"{side}{number}")
        cultivar = self._cultivar(side, number)
        yield tree
        if self.truth.cultivar_noted:
            yield self.phone.graft(tree, f"C{cultivar}")
        if side == "a":
            yield self.phone.job(METHOD, tree, when="2026-06-01")
        else:
            late = self.truth.declared_late and number == 0
            yield self.phone.untreated(tree, when="2026-09-20" if late else "2026-05-01")
        yield from self._picking(tree, side, number, cultivar)

    def _cultivar(self, side: str, number: int) -> int:
        last = len(self.truth.cultivars) - 1
        if self.chance.random() < self.truth.confounded:
            return 0 if side == "a" else last
        return number % (last + 1)

    def _picking(self, tree: Entry, side: str, number: int, cultivar: int) -> Iterator[Entry]:
        if self.truth.several_days:
            yield from self._several_days(tree, side, cultivar)
            return
        clean, damaged = self._fruit(side, number, cultivar)
        if side == "a" and self.truth.picked_up_on_a:
            taken = sum(self.chance.random() < self.truth.picked_up_on_a for _ in range(damaged))
            damaged -= taken
            if self.truth.said_so:
                yield self.phone.job("drops_round", tree, when="2026-08-01", removed_damaged=True)
        pick = self.phone.pick(tree, when="2026-09-10", all_scored="yes")
        visit = self.phone.visit(tree, when="2026-09-10", pick=pick.rec)
        yield from (pick, visit)
        for n, mark in ((damaged, "deep_entry"), (clean, "clean")):
            if n:
                yield self.phone.number(visit, n, mark)

    def _several_days(self, tree: Entry, side: str, cultivar: int) -> Iterator[Entry]:
        own = self._own_rate(side, cultivar)
        crop = [self.chance.random() < own for _ in range(self.chance.randint(60, 300))]
        fell = [self.chance.random() < (FALLEN_DAMAGED if damaged else FALLEN_CLEAN) for damaged in crop]
        dropped = [damaged for damaged, down in zip(crop, fell, strict=True) if down]
        yield from self._scored(tree, dropped, None, "2026-08-20", "drop")
        left = [damaged for damaged, down in zip(crop, fell, strict=True) if not down]
        cuts = sorted(self.chance.sample(range(1, len(left)), self.chance.randint(0, 2)))
        for number, (first, last) in enumerate(pairwise([0, *cuts, len(left)])):
            picked, day = left[first:last], f"2026-09-{10 + 5 * number}"
            pick = self.phone.pick(tree, when=day, total=len(picked), all_scored="no")
            yield pick
            yield from self._scored(tree, picked[: self.chance.randint(10, 40)], pick, day, "picked")

    def _scored(
        self, tree: Entry, fruit: list[bool], pick: Entry | None, day: str, source: str
    ) -> Iterator[Entry]:
        named = {"pick": pick.rec} if pick else {"nothing_found": not fruit}
        visit = self.phone.visit(tree, "picking" if pick else "drops", when=day, **named)
        yield visit
        for n, mark in ((sum(fruit), "deep_entry"), (len(fruit) - sum(fruit), "clean")):
            if n:
                yield self.phone.number(visit, n, mark, source=source)

    def _fruit(self, side: str, number: int, cultivar: int) -> tuple[int, int]:
        truth, own = self.truth, self._own_rate(side, cultivar)
        scored = self.chance.randint(*truth.fruit)
        if side == "a" and number == 0:
            scored *= truth.dominating
        damaged = sum(self.chance.random() < own for _ in range(scored))
        return scored - damaged, damaged

    def _own_rate(self, side: str, cultivar: int) -> float:
        truth = self.truth
        rate = (truth.rate_a if side == "a" else truth.rate_b) * truth.cultivars[cultivar]
        return self._rate_of_tree(rate, truth.icc_a if side == "a" else truth.icc_b)

    def _rate_of_tree(self, rate: float, icc: float) -> float:
        if not 0 < rate < 1:
            return rate
        size = 1 / icc - 1
        return self.chance.betavariate(rate * size, (1 - rate) * size)
