"""Several years put together: one tree's shares, one direction, one ratio of paired traps. Knows numbers, no dates."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shared_models.calculations.proportions import refuse_impossible_counts, refuse_impossible_level
from shared_models.calculations.quantiles import t_quantile

_FAR = 700.0  # beyond it a ratio is no number of a computer any more
HALF_A_MOTH = 0.5  # added to every catch, so that a year without any can stand in a ratio


@dataclass(frozen=True, slots=True)
class TrapsRatio:
    """How many times the second season's catch rate is the first's, over traps that hung in both; None: one trap only."""

    ratio: float
    low: float | None
    high: float | None
    traps: int


def tree_over_years(years: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """One tree's damage over several years as one count, so that it stands once, each year weighing alike.

    Args:
        years: (damaged, scored) of the tree in each year [fruit, fractions allowed].
    Returns:
        (damaged, scored) as effective fruit: the mean of the yearly shares, worth k²/Σ(1/n) fruit.
    Raises:
        ValueError: no year, a year with nothing scored, or impossible counts.
    Misleads:
        where compared with a tree of other years: years differ more than methods do. Compare trees of the same years.

    3 of 30 damaged in one year and 18 of 60 in another are 20 % of 80 effective fruit:

    >>> tree_over_years([(3, 30), (18, 60)])
    (16.0, 80.0)

    Source: mean of strata of equal weight with its effective sample size (Kish 1965, Survey Sampling; from memory).
    """
    if not years:
        raise ValueError("A tree needs at least one year with scored fruit.")
    for damaged, scored in years:
        refuse_impossible_counts(damaged, scored, whose=" of a tree in one year")
    share = math.fsum(x / n for x, n in years) / len(years)
    effective = len(years) ** 2 / math.fsum(1 / n for _, n in years)
    return share * effective, effective


def one_direction(differences: Sequence[float]) -> bool:
    """Whether yearly differences never change their sign; no difference at all goes with either.

    >>> one_direction([-0.1, -0.02, 0.0]), one_direction([-0.1, 0.05])
    (True, False)
    """
    return min(differences, default=0.0) >= 0 or max(differences, default=0.0) <= 0


def ratio_over_traps(traps: Sequence[tuple[float, float, float, float]], level: float = 0.95) -> TrapsRatio:
    """How the catch rate changed between two seasons, over traps that hung in both, each trap its own comparison.

    Args:
        traps: for each trap catch and trap-days of the first season, then of the second [moths, trap-days].
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        A `TrapsRatio` [no unit]: second season over first, from the mean of log((catch + ½)/days), with t limits of
        k - 1 degrees of freedom; the error is that between traps, and at least that of moths that come singly.
    Raises:
        ValueError: no trap, no trap-days, a negative catch, or an impossible level.
    Misleads:
        when lure, trap form, place or the window of dates changed; with two traps, where the range is hardly ever of
        use; and as a verdict on what was done: catch times the flight, and years differ by weather.

    Two traps that caught half as many in the second season, and one a third:

    >>> found = ratio_over_traps([(40, 90, 20, 90), (21, 90, 10, 90), (30, 80, 10, 80)])
    >>> round(found.ratio, 3), round(found.low, 3), round(found.high, 3)
    (0.44, 0.19, 1.019)

    Source: paired t of log rates with half a moth added; agrees with scipy.stats.ttest_rel on the logs where traps
    differ by more than chance. The least error is that of a Poisson log ratio, 1/C1 + 1/C2 (from memory).
    """
    refuse_impossible_level(level)
    if not traps:
        raise ValueError("There is no trap that hung in both seasons.")
    logs = [_log_rate(*trap[2:]) - _log_rate(*trap[:2]) for trap in traps]
    mean, k = math.fsum(logs) / len(logs), len(logs)
    if k == 1:
        return TrapsRatio(math.exp(mean), None, None, 1)
    seen = math.fsum((one - mean) ** 2 for one in logs) / (k - 1) / k
    error = math.sqrt(max(seen, math.fsum(map(_of_chance, traps)) / k**2))
    half = t_quantile((1 + level) / 2, k - 1) * error
    return TrapsRatio(math.exp(mean), _ratio_of(mean - half), _ratio_of(mean + half), k)


def _ratio_of(log: float) -> float:
    return math.exp(max(-_FAR, min(_FAR, log)))


def _of_chance(trap: tuple[float, float, float, float]) -> float:
    """The variance of a trap's log ratio if moths came singly: traps that happen to agree are no surer than that."""
    return 1 / (trap[0] + HALF_A_MOTH) + 1 / (trap[2] + HALF_A_MOTH)


def _log_rate(catch: float, days: float) -> float:
    if not (catch >= 0 and 0 < days < math.inf):
        raise ValueError(
            f"A catch of 0 or more and days that the trap hung are needed, not {catch} and {days}."
        )
    return math.log((catch + HALF_A_MOTH) / days)
