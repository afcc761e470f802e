"""Two methods on different trees: how far their damage lies apart, and how sure that is. Knows rates, no verdicts."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from shared_models.calculations.proportions import refuse_impossible_counts, wilson
from shared_models.calculations.quantiles import normal_cdf, t_cdf
from shared_models.calculations.tree_permutations import permutation_p, permutation_p_within

__all__ = [
    "Difference",
    "Efficacy",
    "Rated",
    "difference",
    "efficacy",
    "fisher_p",
    "permutation_p",
    "permutation_p_within",
    "score_p",
    "welch_p",
]

# R's fisher.test: tables whose chances differ by rounding only count as equally rare.
_JUST_AS_RARE = 1 + 1e-7


class Rated(Protocol):
    """A damaged share [0..1] with its limits and what it rests on, such as `spread.MethodRate`."""

    @property
    def rate(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def fruit(self) -> float: ...
    @property
    def damaged(self) -> float: ...
    @property
    def effective_fruit(self) -> float: ...
    @property
    def df(self) -> float: ...


Side = Rated | tuple[float, float]
"""A method's rate as `spread.method_rates` gives it; or (damaged, scored) of one tree, whose fruit stand for themselves."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Damaged share of the first less that of the second [-1..1], its limits, and the two-sided p of "equal"."""

    difference: float
    low: float
    high: float
    p: float


@dataclass(frozen=True, slots=True)
class Efficacy:
    """Damage prevented, in per cent of the damage without treatment.

    All three are None where the untreated had no damage. `low` is minus infinity where the data leave it open.
    """

    percent: float | None
    low: float | None
    high: float | None


def difference(a: Side, b: Side) -> Difference:
    """How far the damaged shares of two methods on different trees lie apart, with the range of that.

    Args:
        a, b: rates of the two methods out of ONE call of `spread.method_rates`, so that they share their spread
            [share of fruit]; or (damaged, scored) of two single trees [fruit].
    Returns:
        a - b with limits of the level of the two ranges [share of fruit], and p [0..1] of the score test on
        effective fruit (see `score_p`).
    Raises:
        ValueError: impossible counts.
    Misleads:
        when the trees of the two differ in more than the method (cultivar, garden, year): use `strata.stratified`.
        A range that holds 0 does not say that there is no difference; it says how large one may still be. With
        counts of single trees it speaks of these two trees only.

    Of 34 in 100 and 10 in 100 fruit:

    >>> result = difference((34, 100), (10, 100))
    >>> round(result.difference, 2), round(result.low, 5), round(result.high, 5)
    (0.24, 0.12677, 0.34704)

    Source: Newcombe 1998, Stat Med 17:873-890, method 10 (square-and-add, MOVER of Zou & Donner 2008, from memory).
    """
    first, second = _rated(a), _rated(b)
    apart = first.rate - second.rate
    below = math.hypot(first.rate - first.low, second.high - second.rate)
    above = math.hypot(first.high - first.rate, second.rate - second.low)
    return Difference(apart, apart - below, apart + above, score_p(first, second))


def efficacy(treated: Side, untreated: Side) -> Efficacy:
    """Share of the damage that a method prevented, by Abbott's formula 100·(1 - treated/untreated).

    Args:
        treated, untreated: rates out of one call of `spread.method_rates` [share of fruit], or (damaged, scored).
    Returns:
        The efficacy and its limits [per cent]. Negative where the treated had more damage; never clipped. All None
        where the untreated had none.
    Raises:
        ValueError: impossible counts.
    Misleads:
        against untreated trees of another season, garden or cultivar; and with little damage on the untreated,
        where it swings widely: 1 against 2 damaged fruit reads as 50 %.

    Of 10 in 100 bagged and 34 in 100 bare fruit:

    >>> result = efficacy((10, 100), (34, 100))
    >>> round(result.percent, 1), round(result.low, 1), round(result.high, 1)
    (70.6, 44.7, 84.5)
    >>> efficacy((0, 50), (0, 50)).percent is None
    True

    Source: Abbott 1925, J Econ Entomol 18:265-267; limits by MOVER-R (Donner & Zou 2012, from memory).
    """
    first, second = _rated(treated), _rated(untreated)
    if second.rate == 0:
        return Efficacy(None, None, None)
    low, high = _ratio_limits(first, second)
    return Efficacy(100 * (1 - first.rate / second.rate), 100 * (1 - high), 100 * (1 - low))


def score_p(a: Side, b: Side) -> float:
    """Two-sided p of "both methods have the same damaged share", from effective fruit.

    Args:
        a, b: as in `difference`.
    Returns:
        p [0..1] of the pooled score test against t with the degrees of freedom of the shared spread; 1 where all
        fruit of both are alike. Of single trees' counts the normal distribution.
    Raises:
        ValueError: impossible counts.
    Misleads:
        when methods were not dealt out by chance, and when the trees of one side differ much more among
        themselves than those of the other: hence the permutation as a second lock.

    >>> round(score_p((34, 100), (10, 100)), 6)
    4.2e-05

    Source: pooled score test of two proportions, on effective counts (Rao & Scott 1992, from memory).
    """
    first, second = _rated(a), _rated(b)
    pooled = (first.damaged + second.damaged) / (first.fruit + second.fruit)
    variance = pooled * (1 - pooled) * (1 / first.effective_fruit + 1 / second.effective_fruit)
    if variance <= 0:
        return 1.0
    statistic = -abs(first.rate - second.rate) / math.sqrt(variance)
    return two_sided(statistic, min(first.df, second.df))


def welch_p(a_rates: Sequence[float], b_rates: Sequence[float]) -> float | None:
    """Two-sided p of "the mean rate of the trees is the same", each tree counting once, spreads unequal.

    Args:
        a_rates, b_rates: the damaged share of each tree [0..1], or what is left of it when the mean of its stratum
            is taken away.
    Returns:
        p [0..1] of Welch's t test; None where a side has fewer than two trees, since spread is not seen there.
    Raises:
        nothing.
    Misleads:
        with few trees and little damage, where rates of trees are far from normal; it is only used beside others.

    >>> round(welch_p([0.10, 0.20, 0.15, 0.12], [0.30, 0.42, 0.25]), 4)
    0.0522

    Source: Welch 1947, Biometrika 34:28-35 (from memory); agrees with scipy.
    """
    if min(len(a_rates), len(b_rates)) < 2:
        return None
    mean_a, share_a = _mean_and_error(a_rates)
    mean_b, share_b = _mean_and_error(b_rates)
    error = share_a + share_b
    if error <= 0:
        return 1.0 if mean_a == mean_b else 0.0
    df = error**2 / (share_a**2 / (len(a_rates) - 1) + share_b**2 / (len(b_rates) - 1))
    return two_sided(-abs(mean_a - mean_b) / math.sqrt(error), df)


def fisher_p(damaged1: int, scored1: int, damaged2: int, scored2: int) -> float:
    """Two-sided p of "the same damaged share" on ONE tree with two kinds of fruit, given how many were damaged in all.

    Args:
        damaged1, scored1, damaged2, scored2: whole numbers of fruit [fruit].
    Returns:
        p [0..1] of Fisher's exact test: the chance of all tables at most as likely as the one seen.
    Raises:
        ValueError: impossible counts.
    Misleads:
        whenever fruit come from several trees: 31 to 57 of 100 simulated seasons without any difference then
        looked different.

    >>> round(fisher_p(10, 100, 34, 100), 6)
    6.3e-05

    Source: Fisher 1935 (from memory); agrees with fisher.test of R.
    """
    refuse_impossible_counts(damaged1, scored1)
    refuse_impossible_counts(damaged2, scored2)
    both = damaged1 + damaged2
    fewest, most = max(0, both - scored2), min(scored1, both)
    chances = [_log_ways(scored1, k) + _log_ways(scored2, both - k) for k in range(fewest, most + 1)]
    largest = max(chances)
    weights = [math.exp(one - largest) for one in chances]
    rare = weights[damaged1 - fewest] * _JUST_AS_RARE
    return min(1.0, math.fsum(one for one in weights if one <= rare) / math.fsum(weights))


def two_sided(statistic: float, df: float) -> float:
    """Two-sided p of a statistic at or below 0: t with df degrees of freedom, the normal where df is infinite.

    >>> round(two_sided(-1.959964, math.inf), 6), round(two_sided(-2.228139, 10), 6)
    (0.05, 0.05)
    """
    return 2 * (normal_cdf(statistic) if math.isinf(df) else t_cdf(statistic, df))


@dataclass(frozen=True, slots=True)
class _SingleTree:
    """Counts of one tree, whose fruit stand for themselves."""

    rate: float
    low: float
    high: float
    fruit: float
    damaged: float
    effective_fruit: float
    df: float = math.inf


def _rated(side: Side) -> Rated:
    if not isinstance(side, tuple):
        return side
    damaged, scored = side
    limits = wilson(damaged, scored)
    return _SingleTree(damaged / scored, limits.low, limits.high, scored, damaged, scored)


def _ratio_limits(a: Rated, b: Rated) -> tuple[float, float]:
    """Limits of a's rate over b's by MOVER-R; the upper one infinite where b may be 0."""
    least, most = a.low * (2 * a.rate - a.low), a.high * (2 * a.rate - a.high)
    widest, narrowest = b.high * (2 * b.rate - b.high), b.low * (2 * b.rate - b.low)
    centre = a.rate * b.rate
    under = centre + math.sqrt(max(0.0, centre**2 - least * widest))
    over = centre + math.sqrt(max(0.0, centre**2 - most * narrowest))
    return (least / under if under > 0 else 0.0, over / narrowest if narrowest > 0 else math.inf)


def _mean_and_error(rates: Sequence[float]) -> tuple[float, float]:
    """The mean, and the square of its standard error."""
    mean = math.fsum(rates) / len(rates)
    return mean, math.fsum((one - mean) ** 2 for one in rates) / (len(rates) - 1) / len(rates)


def _log_ways(of: float, chosen: float) -> float:
    return math.lgamma(of + 1) - math.lgamma(chosen + 1) - math.lgamma(of - chosen + 1)
