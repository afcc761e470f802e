"""Moths per trap and day, with ranges, and two traps or seasons compared. Knows counts and days; no lures, no dates.

Catch times the flight of the moths; it does not measure damage.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shared_models.calculations.proportions import refuse_impossible_level, two_sided_z
from shared_models.calculations.quantiles import beta_quantile, chi_squared_quantile, t_quantile

_JUST_AS_RARE = (
    1 + 1e-7
)  # R's binom.test: outcomes whose chances differ by rounding only count as equally rare


@dataclass(frozen=True, slots=True)
class CatchRate:
    """Moths per trap-day with lower and upper limit."""

    rate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CatchRatio:
    """First catch rate over the second, with limits, and the two-sided p of "equal rates".

    `ratio` is None where neither trap caught anything; `ratio` and `high` are infinite where only the second
    caught nothing.
    """

    ratio: float | None
    low: float
    high: float
    p: float


def per_week(catch: float, trap_days: float) -> float:
    """Moths per trap and week.

    Args:
        catch: moths [moths].
        trap_days: days that traps hung, added over traps; days without a readable count left out [trap-days].
    Returns:
        catch·7/trap_days [moths per trap-week].
    Raises:
        ValueError: no trap hung, or the catch is negative.
    Misleads:
        when a trap was lost or unreadable and its days were left in: that is no exposure, not a catch of zero.

    4 moths in 10 days in one trap:

    >>> per_week(4, 10)
    2.8

    Source: definition.
    """
    _refuse_impossible_catch(catch, trap_days)
    return catch * 7 / trap_days


def rate(catch: float, trap_days: float, level: float = 0.95) -> CatchRate:
    """Moths per trap-day of ONE trap, with its exact range.

    Args:
        catch: moths [moths, fractions allowed].
        trap_days: days the trap hung between readable counts [trap-days].
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        Rate and limits [moths per trap-day].
    Raises:
        ValueError: no trap-days, a negative catch, or the level is not between 0 and 1.
    Misleads:
        when read as the moths of the garden: it speaks of this trap at this place. Where traps differ as they
        usually do, such a range holds the rate of the site in 40 to 67 of 100 cases only; hang several and use
        `rate_over_traps`.

    >>> result = rate(3, 14)
    >>> round(result.rate, 3), round(result.low, 3), round(result.high, 3)
    (0.214, 0.044, 0.626)

    Source: Garwood 1936, Biometrika 28:437-442 (citation from memory); agrees with poisson.test of R.
    """
    _refuse_impossible_catch(catch, trap_days)
    refuse_impossible_level(level)
    low, high = _garwood(catch, level)
    return CatchRate(catch / trap_days, low / trap_days, high / trap_days)


def rate_over_traps(traps: Sequence[tuple[float, float]], level: float = 0.95) -> CatchRate:
    """Moths per trap-day of a place with several traps, allowing for traps that differ more than by chance.

    With φ = max(1, Pearson's chi-squared/(k-1)): if φ is above 1, catch and days are divided by φ·t²/z² (t with
    k-1 degrees of freedom) before the exact range is taken.

    Args:
        traps: (catch, trap-days) of each trap [moths, trap-days].
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        Rate Σcatch/Σdays and limits [moths per trap-day]; one trap alone as in `rate`.
    Raises:
        ValueError: no trap, no trap-days of one of them, a negative catch, or the level is not between 0 and 1.
    Misleads:
        with two traps, where the range is often very wide and still holds the truth in 88 of 100 cases only when
        traps differ; and over a whole season, where the traps' rates differ by week: that is the flight.

    >>> result = rate_over_traps([(12, 28), (30, 28), (9, 28)])
    >>> round(result.rate, 3), round(result.low, 3), round(result.high, 3)
    (0.607, 0.037, 2.717)

    Source: quasi-Poisson variance (McCullagh & Nelder 1989, from memory) in an exact range; coverage by simulation.
    """
    refuse_impossible_level(level)
    if not traps:
        raise ValueError("There is no trap to take a catch rate from.")
    for catch, trap_days in traps:
        _refuse_impossible_catch(catch, trap_days)
    catch, trap_days = math.fsum(c for c, _ in traps), math.fsum(d for _, d in traps)
    divisor = _divisor(traps, catch / trap_days, level)
    worth = rate(catch / divisor, trap_days / divisor, level)
    return CatchRate(catch / trap_days, worth.low, worth.high)


def ratio(catch1: float, days1: float, catch2: float, days2: float, level: float = 0.95) -> CatchRatio:
    """How many times the first catch rate is the second, for one trap in two seasons or two single traps.

    Args:
        catch1, catch2: moths, whole numbers [moths].
        days1, days2: days each trap hung [trap-days].
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        Ratio and limits [no unit], and p [0..1] as `poisson.test` of R gives it: the chance, at equal rates, of a
        split of the moths at least as rare as this one.
    Raises:
        ValueError: no trap-days, a negative or fractional catch, or the level is not between 0 and 1.
    Misleads:
        when lure, trap form, place or the window of dates changed between the two; and it speaks of these traps
        only, never of the damage.

    >>> result = ratio(34, 90, 61, 95)
    >>> round(result.ratio, 3), round(result.low, 3), round(result.high, 3), round(result.p, 4)
    (0.588, 0.375, 0.909, 0.0135)

    Source: Przyborowski & Wilenski 1940 (from memory): given their sum, the first count is binomial.
    """
    _refuse_impossible_catch(catch1, days1)
    _refuse_impossible_catch(catch2, days2)
    first, second = _whole(catch1), _whole(catch2)
    refuse_impossible_level(level)
    low, high = _clopper_pearson_odds(first, second, level)
    return CatchRatio(
        ratio=_ratio(first * days2, second * days1),
        low=low * days2 / days1,
        high=high * days2 / days1,
        p=_two_sided_binomial_p(first, second, days1, days2),
    )


def _garwood(catch: float, level: float) -> tuple[float, float]:
    """Exact limits of a Poisson mean; fractional counts are taken as effective counts."""
    tail = (1 - level) / 2
    low = chi_squared_quantile(tail, 2 * catch) / 2 if catch > 0 else 0.0
    return low, chi_squared_quantile(1 - tail, 2 * catch + 2) / 2


def _divisor(traps: Sequence[tuple[float, float]], common_rate: float, level: float) -> float:
    """By how much catch and days are worth less than they look."""
    df = len(traps) - 1
    if df == 0 or common_rate == 0:
        return 1.0
    overdispersion = math.fsum((c - d * common_rate) ** 2 / (d * common_rate) for c, d in traps) / df
    if overdispersion <= 1:
        return 1.0
    widening = t_quantile((1 + level) / 2, df) / two_sided_z(level)
    return overdispersion * widening**2


def _clopper_pearson_odds(first: int, second: int, level: float) -> tuple[float, float]:
    """Exact limits of the odds that a moth is one of the first rather than of the second."""
    tail = (1 - level) / 2
    low = _odds(beta_quantile(tail, first, second + 1)) if first > 0 else 0.0
    high = 1 / _odds(beta_quantile(tail, second, first + 1)) if second > 0 else math.inf
    return low, high


def _two_sided_binomial_p(first: int, second: int, days1: float, days2: float) -> float:
    """Chance, at equal rates, of all splits of the moths that are at most as likely as the one seen."""
    both, log_share, log_rest = first + second, -math.log1p(days2 / days1), -math.log1p(days1 / days2)
    chances = [
        math.exp(_log_ways(k, both - k) + k * log_share + (both - k) * log_rest) for k in range(both + 1)
    ]
    return min(1.0, math.fsum(c for c in chances if c <= chances[first] * _JUST_AS_RARE))


def _log_ways(first: int, second: int) -> float:
    """log of the number of ways to split the moths so."""
    return math.lgamma(first + second + 1) - math.lgamma(first + 1) - math.lgamma(second + 1)


def _odds(share: float) -> float:
    return share / (1 - share)


def _ratio(numerator: float, denominator: float) -> float | None:
    if denominator > 0:
        return numerator / denominator
    return math.inf if numerator > 0 else None


def _whole(catch: float) -> int:
    if catch != int(catch):
        raise ValueError(
            f"Two catches are compared exactly, so they must be whole numbers of moths, not {catch}."
        )
    return int(catch)


def _refuse_impossible_catch(catch: float, trap_days: float) -> None:
    if not 0 < trap_days < math.inf:
        raise ValueError(f"A catch rate needs days on which a trap hung, not {trap_days} trap-days.")
    if not 0 <= catch < math.inf:
        raise ValueError(f"A catch must be 0 moths or more, not {catch}.")
