"""How sure a damaged share of some fruit is, if every fruit stands for itself. Knows no trees: see `spread` for those."""

import math
from dataclasses import dataclass

from shared_models.calculations.quantiles import normal_quantile


@dataclass(frozen=True, slots=True)
class Range:
    """Lower and upper limit of a share [0..1]."""

    low: float
    high: float


def wilson(damaged: float, scored: float, level: float = 0.95) -> Range:
    """Range in which the damaged share of ONE tree lies, from the fruit of it that were scored.

    Args:
        damaged: damaged fruit among the scored [fruit, fractions allowed].
        scored: fruit scored [fruit, fractions allowed].
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        The Wilson score range [share of fruit], never outside 0..1 and never of width 0.
    Raises:
        ValueError: nothing was scored, damaged is below 0 or above scored, a count is not a number,
            or the level is not between 0 and 1.
    Misleads:
        when fruit of several trees are thrown together. Fruit of one tree are alike, so 100 fruit of two trees
        tell far less than 100 separate fruit; such a range then holds the truth half of the time instead of
        95 %. For a method use `spread.method_rates`. It also takes the scored fruit for a fair sample.

    >>> limits = wilson(3, 50)
    >>> round(limits.low, 4), round(limits.high, 4)
    (0.0206, 0.1622)

    Source: Wilson 1927, J Am Stat Assoc 22:209-212; method 3 of Newcombe 1998, Stat Med 17:857-872.
    """
    refuse_impossible_counts(damaged, scored)
    return wilson_with(damaged / scored, scored, two_sided_z(level))


def wilson_with(rate: float, effective_scored: float, quantile: float) -> Range:
    """The Wilson range of a rate that stands on a given number of independent fruit, with a quantile of choice.

    Args:
        rate: damaged share [0..1].
        effective_scored: independent fruit that the rate is worth [fruit, fractions allowed].
        quantile: 1.96 of the normal for 95 %, or a wider one of the t distribution [standard errors].
    Returns:
        The range [share of fruit]; it always holds the rate.
    Raises:
        ValueError: the rate is outside 0..1, or one of the others is not a positive finite number.
    Misleads:
        exactly as far as `effective_scored` does: fruit of one tree are not independent.

    >>> limits = wilson_with(0.25, 20, 2.086)
    >>> round(limits.low, 3), round(limits.high, 3)
    (0.106, 0.483)

    Source: Wilson 1927, as in `wilson`.
    """
    _refuse_impossible_rate(rate, effective_scored, quantile)
    square = quantile * quantile / effective_scored
    centre = (rate + square / 2) / (1 + square)
    half = math.sqrt(rate * (1 - rate) * square + square * square / 4) / (1 + square)
    # The range always holds the rate; rounding would miss that by a hair, most visibly at 0 and 1.
    return Range(low=min(rate, max(0.0, centre - half)), high=max(rate, min(1.0, centre + half)))


def upper_bound_when_none(scored: float, level: float = 0.95) -> float:
    """The damaged share that is still possible when none of the scored fruit was damaged (one-sided).

    Args:
        scored: fruit scored, none of them damaged [fruit].
        level: how sure [0..1, ends excluded].
    Returns:
        1 - (1 - level)^(1/scored) [share of fruit], near 3/scored at 95 %.
    Raises:
        ValueError: nothing was scored, or the level is not between 0 and 1.
    Misleads:
        as `wilson` does when the fruit came from several trees; and "none found" never means "none there".

    None of 30 damaged: up to 9.5 % may still be.

    >>> round(upper_bound_when_none(30), 3)
    0.095

    Source: Hanley & Lippman-Hand 1983, JAMA 249:1743-1745 (rule of three; citation from memory).
    """
    refuse_impossible_counts(0, scored)
    refuse_impossible_level(level)
    return -math.expm1(math.log1p(-level) / scored)


def two_sided_z(level: float) -> float:
    """The quantile of the normal distribution that a two-sided range of this level uses [standard errors].

    >>> round(two_sided_z(0.95), 6)
    1.959964
    """
    refuse_impossible_level(level)
    return normal_quantile((1 + level) / 2)


def refuse_impossible_counts(damaged: float, scored: float, whose: str = "") -> None:
    """ValueError with a sentence unless 0 <= damaged <= scored and something was scored; `whose` ends the sentence."""
    if not 0 < scored < math.inf:
        raise ValueError(f"At least some fruit must have been scored, not {scored}{whose}.")
    if not damaged >= 0:
        raise ValueError(f"The number of damaged fruit must be 0 or more, not {damaged}{whose}.")
    if damaged > scored:
        raise ValueError(
            f"There cannot be more damaged fruit ({damaged}) than scored fruit ({scored}){whose}."
        )


def refuse_impossible_level(level: float) -> None:
    """ValueError with a sentence unless the level of a range lies between 0 and 1."""
    if not 0 < level < 1:
        raise ValueError(f"The level of a range must lie between 0 and 1, such as 0.95, not {level}.")


def _refuse_impossible_rate(rate: float, effective_scored: float, quantile: float) -> None:
    if not 0 <= rate <= 1:
        raise ValueError(f"A damaged share must lie between 0 and 1, not {rate}.")
    if not 0 < effective_scored < math.inf:
        raise ValueError(f"A range needs a positive number of effective fruit, not {effective_scored}.")
    if not 0 < quantile < math.inf:
        raise ValueError(f"The quantile of a range must be a positive number, not {quantile}.")
