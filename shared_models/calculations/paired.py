"""Two kinds of fruit on the same trees (bagged beside bare): the difference with the tree as the unit. Knows counts only."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from random import Random

from shared_models.calculations import contrasts
from shared_models.calculations.proportions import refuse_impossible_counts, refuse_impossible_level
from shared_models.calculations.quantiles import normal_cdf, t_quantile

ALL_SIGNS_UP_TO = 14  # trees: 2^14 = 16 384 ways
RANDOM_SIGNS = 4_999
ENOUGH_FOR_MOMENTS = 40  # trees, from which on the sum of so many signs is as good as normal
_AS_FAR = 1e-12
Pair = tuple[float, float, float, float]
"""(damaged, scored) of the first kind and of the second on one tree [fruit, fractions allowed]."""


@dataclass(frozen=True, slots=True)
class PairedDifference:
    """First kind less second [-1..1], limits, p of "equal on every tree", and p of the sign flips as a second lock.

    `low`, `high` and `p` are None where trees show no spread to take them from; `lock_p` is None for one tree.
    """

    difference: float
    low: float | None
    high: float | None
    p: float | None
    lock_p: float | None
    trees: int
    standard_error: float | None


def paired_difference(
    trees: Sequence[Pair], level: float = 0.95, at_least_chance: bool = False
) -> PairedDifference:
    """How far the damaged shares of two kinds of fruit lie apart, tree by tree.

    Trees are weighted by n1·n2/(n1 + n2); the error is that between trees, with k/(k - 1), against t with k - 1
    degrees of freedom. One tree alone gives Newcombe's range and Fisher's p, which speak of this tree only.

    Args:
        trees: (damaged, scored) of the first and of the second kind on each tree [fruit, fractions allowed].
        level: share of such ranges that hold the truth [0..1, ends excluded].
        at_least_chance: whether the error is at least that of trees that are alike, with these shares of fruit.
    Returns:
        A `PairedDifference` [share of fruit]. No range where all trees differ by exactly the same, since no spread
        is seen then (all clean, for one); with `at_least_chance` only where no fruit or every fruit is damaged.
    Raises:
        ValueError: no tree, a kind with nothing scored on a tree, impossible counts, or an impossible level.
    Misleads:
        when the two kinds differ in more than their cover: bags go on sound fruit, so damage from before bagging
        counts against the bare. With fewer than six trees the sign flips cannot go below 0.05. Without
        `at_least_chance` also where a few trees happen to differ by nearly the same: no spread is no certainty.

    >>> result = paired_difference([(1, 40, 9, 38), (0, 25, 6, 30), (2, 50, 14, 45), (0, 18, 3, 22)])
    >>> round(result.difference, 3), round(result.low, 3), round(result.high, 3)
    (-0.219, -0.302, -0.136)

    Source: Mantel-Haenszel weights (Greenland & Robins 1985, from memory) with a variance between clusters.
    """
    refuse_impossible_level(level)
    pairs = sorted(trees)
    if not pairs:
        raise ValueError("There is no tree with both kinds of fruit to compare.")
    for x1, n1, x2, n2 in pairs:
        refuse_impossible_counts(x1, n1, whose=" of the first kind on a tree")
        refuse_impossible_counts(x2, n2, whose=" of the second kind on a tree")
    return _on_one_tree(pairs[0]) if len(pairs) == 1 else _on_several(pairs, level, at_least_chance)


def sign_flip_p(trees: Sequence[Pair]) -> float:
    """Share of all ways to swap the two kinds tree by tree that differ at least as much as what was seen.

    Args:
        trees: as in `paired_difference`.
    Returns:
        Two-sided p [0..1]: all 2^k ways up to 14 trees, 4 999 random ones (the same for the same trees) up to 39,
        the normal tail of the exact variance from 40 on.
    Raises:
        ValueError: a kind with nothing scored on a tree.
    Misleads:
        with few trees it cannot be small: 5 trees never go below 0.0625.

    >>> sign_flip_p([(0, 20, 5, 20), (1, 20, 6, 20), (0, 30, 9, 30)])
    0.25

    Source: Fisher 1935 (from memory); check value by enumeration in R.
    """
    excess = _excess(trees)
    seen = abs(math.fsum(excess))
    if len(excess) >= ENOUGH_FOR_MOMENTS:
        spread = math.sqrt(math.fsum(one * one for one in excess))
        return 2 * normal_cdf(-seen / spread) if spread > 0 else 1.0
    if len(excess) <= ALL_SIGNS_UP_TO:
        ways = product((1, -1), repeat=len(excess))
        return sum(_as_far(signs, excess, seen) for signs in ways) / float(1 << len(excess))
    chance = Random(repr(excess))
    drawn = (chance.choices((1, -1), k=len(excess)) for _ in range(RANDOM_SIGNS))
    return (1 + sum(_as_far(signs, excess, seen) for signs in drawn)) / (RANDOM_SIGNS + 1)


def _excess(trees: Sequence[Pair]) -> list[float]:
    """Damage of the first kind beyond its share, tree by tree; in an order and direction that swapping keeps."""
    excess = sorted((x1 * n2 - x2 * n1) / (n1 + n2) for x1, n1, x2, n2 in trees)
    return min(excess, sorted(-one for one in excess))


def _as_far(signs: Sequence[int], excess: Sequence[float], seen: float) -> bool:
    return abs(math.fsum(sign * one for sign, one in zip(signs, excess, strict=True))) >= seen - _AS_FAR


def _on_one_tree(pair: Pair) -> PairedDifference:
    x1, n1, x2, n2 = pair
    found = contrasts.difference((x1, n1), (x2, n2))
    whole = all(one == int(one) for one in pair)
    p = contrasts.fisher_p(int(x1), int(n1), int(x2), int(n2)) if whole else found.p
    return PairedDifference(found.difference, found.low, found.high, p, None, 1, None)


def _chance_alone(pairs: Sequence[Pair], weights: Sequence[float]) -> float:
    """The error of the weighted sum if all trees were alike: few trees that happen to agree are no surer than that."""
    first, second = (
        math.fsum(pair[at] for pair in pairs) / math.fsum(pair[at + 1] for pair in pairs) for at in (0, 2)
    )
    return math.sqrt(
        math.fsum(
            w * w * (first * (1 - first) / n1 + second * (1 - second) / n2)
            for w, (_, n1, _, n2) in zip(weights, pairs, strict=True)
        )
    )


def _on_several(pairs: Sequence[Pair], level: float, at_least_chance: bool) -> PairedDifference:
    k = len(pairs)
    weights = [n1 * n2 / (n1 + n2) for _, n1, _, n2 in pairs]
    apart = [x1 / n1 - x2 / n2 for x1, n1, x2, n2 in pairs]
    total = math.fsum(weights)
    mean = math.fsum(w * d for w, d in zip(weights, apart, strict=True)) / total
    square = math.fsum((w * (d - mean)) ** 2 for w, d in zip(weights, apart, strict=True))
    seen, least = math.sqrt(k / (k - 1) * square), _chance_alone(pairs, weights) if at_least_chance else 0.0
    error = max(seen, least) / total
    lock = sign_flip_p(pairs)
    if error < _AS_FAR:
        return PairedDifference(mean, None, None, None, lock, k, None)
    half = t_quantile((1 + level) / 2, k - 1) * error
    p = contrasts.two_sided(-abs(mean) / error, k - 1)
    return PairedDifference(mean, max(-1.0, mean - half), min(1.0, mean + half), p, lock, k, error)
