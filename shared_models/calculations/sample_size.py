"""How many trees a comparison needs, and what another visit or tree would tell. Knows numbers, no seasons."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shared_models.calculations.proportions import wilson_with
from shared_models.calculations.quantiles import normal_quantile, t_quantile

ALPHA = 0.05
LEAST_ICC = 0.05  # a season that shows less likeness than this is not believed when the next is planned
# For t instead of normal, and so that the permutation can reach 0.05 with room.
SPARE_TREES, LEAST_TREES = 2, 5


@dataclass(frozen=True, slots=True)
class Narrowed:
    """How wide a method's 95 % range is now, and how wide one may expect it afterwards [share of fruit]."""

    now: float
    then: float


def fruit_needed(p1: float, p2: float, comparisons: int = 1, power: float = 0.8) -> float:
    """Independent fruit per method to tell two damaged shares apart (two-sided 5 %, all comparisons together).

    Args:
        p1, p2: the two damaged shares [0..1], not equal.
        comparisons: comparisons made together; each is judged at 5 %/comparisons.
        power: chance to find the difference [0..1, ends excluded].
    Returns:
        Fruit of each method, as if every fruit stood for itself [fruit].
    Raises:
        ValueError: shares outside 0..1 or equal, fewer than one comparison, an impossible power.
    Misleads:
        as a number of fruit to score: fruit of one tree are alike. Use `trees_needed`.

    >>> round(fruit_needed(0.25, 0.08), 2)
    73.65

    Source: normal formula with pooled variance; within 2 % of power.prop.test of R.
    """
    _refuse_impossible(p1, p2, comparisons, power)
    mean = (p1 + p2) / 2
    by_chance = normal_quantile(1 - ALPHA / 2 / comparisons) * math.sqrt(2 * mean * (1 - mean))
    by_truth = normal_quantile(power) * math.sqrt(p1 * (1 - p1) + p2 * (1 - p2))
    return ((by_chance + by_truth) / (p1 - p2)) ** 2


def clusters_needed(
    p1: float, p2: float, fruit_per_tree: float, icc: float, comparisons: int = 1, power: float = 0.8
) -> int:
    """As `trees_needed`, by the bare formula: without spare trees and without a least number.

    Args, errors: as in `trees_needed`; the likeness is taken as given.
    Returns:
        fruit_needed·(1 + (m - 1)·icc)/m, rounded up [trees per method].
    Misleads:
        with few trees, where t is wider than the normal distribution of the formula.

    >>> clusters_needed(0.25, 0.08, 40, 0.10)
    10

    Source: design effect of Donner & Klar 2000 (from memory); check values computed in R.
    """
    if not fruit_per_tree > 0 or not 0 <= icc <= 1:
        raise ValueError(f"Trees need fruit and a likeness from 0 to 1, not {fruit_per_tree} and {icc}.")
    fruit = fruit_needed(p1, p2, comparisons, power) * (1 + max(0.0, fruit_per_tree - 1) * icc)
    return math.ceil(fruit / fruit_per_tree - 1e-9)


def trees_needed(
    p1: float, p2: float, fruit_per_tree: float, icc: float, comparisons: int = 1, power: float = 0.8
) -> int:
    """Trees per method to tell two damaged shares apart, when so many fruit are scored on each.

    Args:
        p1, p2: the two damaged shares [0..1], not equal.
        fruit_per_tree: fruit scored on each tree [fruit].
        icc: how alike fruit of one tree are [0..1]; at least 0.05 is used.
        comparisons: comparisons made together (Holm's first step).
        power: chance to find the difference [0..1, ends excluded].
    Returns:
        The bare formula plus 2 spare trees, at least 5 [trees per method].
    Raises:
        ValueError: shares outside 0..1 or equal, no fruit, an impossible likeness, power or number of comparisons.
    Misleads:
        when one hopes to make up for trees by fruit: beyond 10 to 30 fruit a tree buys little, and below
        fruit_needed·icc trees no number of fruit is enough. Trees that differ in cultivar need more.

    >>> trees_needed(0.25, 0.08, fruit_per_tree=40, icc=0.10)
    12

    Source: as `clusters_needed`; spare trees and least number are a convention of this project.
    """
    bare = clusters_needed(p1, p2, fruit_per_tree, max(icc, LEAST_ICC), comparisons, power)
    return max(LEAST_TREES, bare + SPARE_TREES)


def detectable(
    p1: float, trees: int, fruit_per_tree: float, icc: float, comparisons: int = 1, power: float = 0.8
) -> float | None:
    """The largest lower damaged share that so many trees per method would still tell from p1.

    Args:
        p1: the higher damaged share, untreated for example [0..1].
        trees, fruit_per_tree, icc, comparisons, power: as in `trees_needed`.
    Returns:
        The lower share [0..1]; None where not even no damage at all could be told from p1.
    Raises:
        ValueError: as `trees_needed`.
    Misleads:
        as a promise: in 1 - power of such seasons the difference is missed.

    With 8 trees each and 30 fruit on each, 30 % damage is told from 8 % or less:

    >>> round(detectable(0.30, trees=8, fruit_per_tree=30, icc=0.10), 2)
    0.08

    Source: `trees_needed`, searched by halving.
    """
    if not 0 < p1 <= 1 or trees_needed(p1, 0.0, fruit_per_tree, icc, comparisons, power) > trees:
        return None
    low, high = 0.0, p1
    for _ in range(40):
        middle = (low + high) / 2
        near = p1 - middle < 1e-6 or trees_needed(p1, middle, fruit_per_tree, icc, comparisons, power) > trees
        low, high = (low, middle) if near else (middle, high)
    return low


def narrowed(
    rate: float,
    scored: Sequence[float | tuple[float, float]],
    icc: float,
    df: float,
    more_fruit: float = 0,
    more_trees: int = 0,
) -> Narrowed:
    """How much a method's range would narrow with more fruit on every tree scored, or with more trees.

    Args:
        rate: the method's damaged share so far [0..1].
        scored: fruit scored on each of its trees so far; or (scored, weight) where a tree counts as another number
            of fruit than was scored of it [fruit].
        icc, df: likeness used and degrees of freedom of its range, as `spread.method_rates` gives them.
        more_fruit: further fruit on each of these trees [fruit].
        more_trees: further trees, each with the mean number of fruit (and the further ones) [trees].
    Returns:
        Width of the 95 % range now and then [share of fruit], if the rate stays as it is.
    Raises:
        ValueError: no tree, nothing scored on a tree, or impossible rate, likeness or df.
    Misleads:
        as a promise: the rate will not stay exactly as it is.

    Twenty more fruit on each of four trees narrow less than four more trees:

    >>> fruit = narrowed(0.2, [30, 30, 30, 30], 0.10, 10, more_fruit=20)
    >>> trees = narrowed(0.2, [30, 30, 30, 30], 0.10, 10, more_trees=4)
    >>> round(fruit.now, 2), round(fruit.then, 2), round(trees.then, 2)
    (0.31, 0.3, 0.22)

    Source: the range of `spread.method_rates` with its design effect, at a likeness that is held.
    """
    trees = [one if isinstance(one, tuple) else (one, one) for one in scored]
    if not trees or min(n for n, _ in trees) <= 0:
        raise ValueError("A range narrows from where it is: each tree must have some fruit scored.")
    each, weight = (math.fsum(one[at] for one in trees) / len(trees) for at in (0, 1))
    after = [(n + more_fruit, w) for n, w in [*trees, *[(each, weight)] * more_trees]]
    # A tree counts as no less than what was scored of it.
    weighed = [(n, max(w, n)) for n, w in after]
    return Narrowed(_width(rate, trees, icc, df), _width(rate, weighed, icc, df + more_trees))


def _width(rate: float, trees: Sequence[tuple[float, float]], icc: float, df: float) -> float:
    weight = math.fsum(w for _, w in trees)
    alone = math.fsum(w * (w / n) for n, w in trees) / weight
    alike = max(1.0, math.fsum(w * w for _, w in trees) / weight)
    effective = weight / max(1.0, alone + icc * (alike - alone))
    limits = wilson_with(rate, effective, t_quantile(1 - ALPHA / 2, df))
    return limits.high - limits.low


def _refuse_impossible(p1: float, p2: float, comparisons: int, power: float) -> None:
    if not (0 <= p1 <= 1 and 0 <= p2 <= 1) or p1 == p2:
        raise ValueError(f"Two different damaged shares between 0 and 1 are needed, not {p1} and {p2}.")
    if comparisons < 1 or not 0 < power < 1:
        raise ValueError(
            f"At least one comparison and a power below 1 are needed, not {comparisons} and {power}."
        )
