"""One contrast judged: from sides to numbers, caps and a grade. The permutation is worked out only where it decides."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from shared_models.calculations.contrasts import efficacy, permutation_p_within, welch_p
from shared_models.calculations.spread import MethodRate
from shared_models.calculations.strata import Stratified, pooled
from shared_models.calculations.verdict import Evidence, Grade, Graded, graded, lopsided
from shared_models.season.named_parts import Warned
from shared_models.verdicts.compared import ComparedTree
from shared_models.verdicts.doubts import CAPS
from shared_models.verdicts.sides import Sides, Stratum


class Apart(Protocol):
    """How far two sides lie apart, as any of the models says it."""

    @property
    def difference(self) -> float: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def p(self) -> float | None: ...


@dataclass(frozen=True, slots=True)
class Numbers:
    """What the model says of a contrast; None where it says nothing. `lock` works out the second lock when asked."""

    trees_a: int
    trees_b: int
    paired: bool
    separated: bool
    difference: float | None
    low: float | None
    high: float | None
    p: float | None
    welch: float | None
    lock: Callable[[], float | None]

    @classmethod
    def of(
        cls,
        found: Apart | None,
        trees: tuple[int, int],
        lock: Callable[[], float | None],
        *,
        paired: bool = False,
        welch: float | None = None,
    ) -> "Numbers":
        """What a model found; without it the sides are not separated, and there is no lock to try."""
        return cls(
            trees_a=trees[0],
            trees_b=trees[1],
            paired=paired,
            separated=found is not None,
            difference=found.difference if found else None,
            low=found.low if found else None,
            high=found.high if found else None,
            p=found.p if found else None,
            welch=welch,
            lock=lock if found else lambda: None,
        )


@dataclass(frozen=True, slots=True)
class Judged:
    """A contrast with its grade, and the second lock where it was asked for."""

    numbers: Numbers
    graded: Graded
    lock_p: float | None
    caps: list[str]

    @property
    def grade(self) -> Grade:
        """How firmly it may be worded."""
        return self.graded.grade


def numbers_of(sides: Sides, found: Stratified | None) -> Numbers:
    """The numbers of a contrast between trees."""
    trees = len(sides.trees("a")), len(sides.trees("b"))
    return Numbers.of(found, trees, lambda: permutation_p_within(_counts(sides)), welch=_welch(sides))


def judged(numbers: Numbers, holm_p: float | None, doubts: Sequence[Warned]) -> Judged:
    """The grade: first as if the second lock were open; only where it would then be firm the lock is tried."""
    caps = sorted({one.code for one in doubts} & CAPS - {"FOUND_AFTERWARDS"})
    evidence = Evidence(
        trees_a=numbers.trees_a,
        trees_b=numbers.trees_b,
        paired=numbers.paired,
        separated=numbers.separated,
        p=numbers.p,
        holm=holm_p,
        lock=0.0,
        welch=numbers.welch,
        low=numbers.low,
        high=numbers.high,
        capped=bool(caps),
    )
    first = graded(evidence)
    if first.grade is not Grade.FIRM:
        return Judged(numbers, first, None, caps)
    lock = numbers.lock()
    return Judged(numbers, graded(replace(evidence, lock=lock)), lock, caps)


def side_rates(rates: Sequence[tuple[MethodRate, MethodRate]]) -> tuple[float | None, float | None]:
    """Damage of both sides, strata weighted alike on both, so that their difference is that of the strata."""
    weights = [
        a.effective_fruit * b.effective_fruit / (a.effective_fruit + b.effective_fruit) for a, b in rates
    ]
    whole = sum(weights)
    if not whole:
        return None, None
    return (
        sum(w * a.rate for w, (a, _) in zip(weights, rates, strict=True)) / whole,
        sum(w * b.rate for w, (_, b) in zip(weights, rates, strict=True)) / whole,
    )


def prevented(
    rates: Sequence[tuple[MethodRate, MethodRate]], found: Stratified | None
) -> tuple[float, float | None, float] | None:
    """Efficacy of side a against b [per cent] with its limits; None where it cannot be told."""
    if found is None or found.ratio is None:
        return None
    if len(rates) == 1:
        alone = efficacy(*rates[0])
        if alone.percent is None or alone.high is None:
            return None
        return alone.percent, alone.low, alone.high
    if found.ratio_low is None or found.ratio_high is None:
        return None
    return 100 * (1 - found.ratio), 100 * (1 - found.ratio_high), 100 * (1 - found.ratio_low)


def compared_in_strata(sides: Sides) -> Stratified | None:
    """Both sides within their strata, put together."""
    return pooled(sides.stratum_rates)


def _counts(sides: Sides) -> list[tuple[list[tuple[float, float]], list[tuple[float, float]]]]:
    def side(trees: Sequence[ComparedTree]) -> list[tuple[float, float]]:
        return [tree.weighed(sides.headline) for tree in trees]

    return [(side(stratum.a), side(stratum.b)) for stratum in sides.used]


def _welch(sides: Sides) -> float | None:
    """Only where sides are lopsided: rates of trees, each less what is usual in its stratum."""
    if not sides.used or not lopsided(len(sides.trees("a")), len(sides.trees("b"))):
        return None
    left_a: list[float] = []
    left_b: list[float] = []
    for stratum in sides.used:
        usual = _usual(stratum, sides.headline)
        left_a += [tree.rate(sides.headline).rate - usual for tree in stratum.a]
        left_b += [tree.rate(sides.headline).rate - usual for tree in stratum.b]
    return welch_p(left_a, left_b)


def _usual(stratum: Stratum, headline: str) -> float:
    counts = [tree.weighed(headline) for tree in (*stratum.a, *stratum.b)]
    return sum(x for x, _ in counts) / sum(n for _, n in counts)
