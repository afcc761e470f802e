"""How rare a difference between two groups of trees is if the trees were dealt out anew. Knows counts, no methods.

"The tree is dealt, never the fruit": the test asks nothing of how alike fruit of one tree are.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, product
from random import Random

from shared_models.calculations.proportions import refuse_impossible_counts
from shared_models.calculations.quantiles import normal_cdf

Trees = Sequence[tuple[float, float]]
"""(damaged, scored) of each tree [fruit, fractions allowed]."""

MOST_DEALS = 20_000  # all deals are gone through up to here, about 30 ms on a desktop
RANDOM_DEALS = 4_999  # with the deal seen 5 000: p is then a multiple of 0.0002
ENOUGH_FOR_MOMENTS = 20  # trees on each side; in 120 trials the normal tail changed no decision at 0.05
_AS_FAR = 1e-12  # deals that differ by rounding only count as equally far


def permutation_p(a_trees: Trees, b_trees: Trees) -> float:
    """Share of all deals of these trees into two groups that differ at least as much as the groups seen.

    Args:
        a_trees, b_trees: the trees of each side as (damaged, scored) [fruit, fractions allowed].
    Returns:
        Two-sided p [0..1] of |Σx/Σn - Σx/Σn|; 1 where a side has no trees. All deals up to 20 000; with 20 trees
        or more on both sides the normal tail of the exact mean and variance; else 4 999 random deals, always the
        same for the same trees.
    Raises:
        ValueError: a tree has nothing scored or impossible counts.
    Misleads:
        when one side's trees differ more among themselves than the other's and the sides are unequal in number:
        such trees are not exchangeable, and p is then too small. With three trees a side it never goes below 0.1.

    >>> round(permutation_p([(2, 40), (5, 60), (1, 30), (4, 50)], [(12, 45), (9, 40), (20, 70), (8, 30)]), 4)
    0.0286

    Source: Fisher 1935, The Design of Experiments (from memory); check values by enumeration in R.
    """
    return permutation_p_within([(a_trees, b_trees)])


def permutation_p_within(strata: Iterable[tuple[Trees, Trees]]) -> float:
    """As `permutation_p`, but each tree is dealt within its stratum only (one cultivar in one garden, say).

    Args:
        strata: the two sides of each stratum, trees as (damaged, scored) [fruit, fractions allowed].
    Returns:
        Two-sided p [0..1] of the Mantel-Haenszel difference; strata with trees on one side only play no part,
        and it is 1 where none is left.
    Raises:
        ValueError: a tree has nothing scored or impossible counts.
    Misleads:
        where strata are small: two strata of 2 + 2 trees cannot go below 0.056, whatever was found.

    >>> round(permutation_p_within([([(0, 30), (1, 30)], [(9, 30), (8, 30)])] * 2), 4)
    0.0556

    Source: as `permutation_p`; dealing within strata keeps what differs between them out of the comparison.
    """
    dealt = [_Stratum.of(a, b) for a, b in _in_one_order(strata)]
    if not dealt:
        return 1.0
    if math.prod(one.deals for one in dealt) <= MOST_DEALS:
        return _share_as_far(_observed(dealt), product(*(one.all_deals() for one in dealt)))
    if min(sum(one.a for one in dealt), sum(one.b for one in dealt)) >= ENOUGH_FOR_MOMENTS:
        return _p_by_moments(dealt)
    return _p_by_chance(dealt)


def _in_one_order(strata: Iterable[tuple[Trees, Trees]]) -> list[tuple[Trees, Trees]]:
    """Strata with both sides, so ordered that neither relabelling trees nor swapping the sides changes a digit."""
    sides = sorted((sorted(a), sorted(b)) for a, b in strata if a and b)
    return list(min(sides, sorted((b, a) for a, b in sides)))


@dataclass(frozen=True, slots=True)
class _Deal:
    """What a deal of one stratum adds: the excess of damage on its smaller side, and the weight of the stratum."""

    excess: float
    weight: float


@dataclass(frozen=True)
class _Stratum:
    """Trees of a stratum in an order of their own, so that relabelling and swapping sides change no digit."""

    trees: list[tuple[float, float]]
    a: int
    b: int
    seen: _Deal

    @classmethod
    def of(cls, a: Trees, b: Trees) -> "_Stratum":
        for damaged, scored in (*a, *b):
            refuse_impossible_counts(damaged, scored, whose=" on a tree")
        trees = sorted((*a, *b))
        fruit = math.fsum(n for _, n in trees)
        rate = math.fsum(x for x, _ in trees) / fruit
        smaller, sign = (a, 1) if len(a) <= len(b) else (b, -1)
        seen = _deal(smaller, rate, fruit)
        return cls(trees, len(a), len(b), _Deal(sign * seen.excess, seen.weight))

    @cached_property
    def fruit(self) -> float:
        return math.fsum(n for _, n in self.trees)

    @cached_property
    def rate(self) -> float:
        return math.fsum(x for x, _ in self.trees) / self.fruit

    @property
    def smaller(self) -> int:
        return min(self.a, self.b)

    @property
    def sign(self) -> int:
        return 1 if self.a <= self.b else -1

    @property
    def deals(self) -> int:
        return math.comb(len(self.trees), self.smaller)

    def all_deals(self) -> Iterator[_Deal]:
        for chosen in combinations(self.trees, self.smaller):
            yield self._deal(chosen)

    def random_deal(self, chance: Random) -> _Deal:
        return self._deal(chance.sample(self.trees, self.smaller))

    @property
    def variance(self) -> float:
        """Of the excess over all deals; its mean is 0."""
        k = len(self.trees)
        square = math.fsum((x - n * self.rate) ** 2 for x, n in self.trees)
        return self.a * self.b / (k * (k - 1)) * square

    def _deal(self, chosen: Trees) -> _Deal:
        dealt = _deal(chosen, self.rate, self.fruit)
        return _Deal(self.sign * dealt.excess, dealt.weight)


def _deal(chosen: Trees, rate: float, fruit: float) -> _Deal:
    scored = math.fsum(n for _, n in chosen)
    return _Deal(math.fsum(x for x, _ in chosen) - scored * rate, scored * (fruit - scored) / fruit)


def _distance(deals: Sequence[_Deal]) -> float:
    return abs(math.fsum(one.excess for one in deals)) / math.fsum(one.weight for one in deals)


def _observed(strata: Sequence[_Stratum]) -> float:
    return _distance([one.seen for one in strata])


def _share_as_far(observed: float, deals: Iterable[Sequence[_Deal]]) -> float:
    as_far = every = 0
    for deal in deals:
        every += 1
        as_far += _distance(deal) >= observed - _AS_FAR
    return as_far / every


def _p_by_moments(strata: Sequence[_Stratum]) -> float:
    spread = math.sqrt(math.fsum(one.variance for one in strata))
    excess = abs(math.fsum(one.seen.excess for one in strata))
    return 2 * normal_cdf(-excess / spread) if spread > 0 else 1.0


def _p_by_chance(strata: Sequence[_Stratum]) -> float:
    """The seed is the data, so that every phone draws the same deals."""
    chance = Random(repr([(one.trees, one.a) for one in strata]))
    observed = _observed(strata)
    as_far = sum(
        _distance([one.random_deal(chance) for one in strata]) >= observed - _AS_FAR
        for _ in range(RANDOM_DEALS)
    )
    return (as_far + 1) / (RANDOM_DEALS + 1)
