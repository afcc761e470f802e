"""How far two people who scored the same fruit agree. Knows the two lists of marks, no people and no fruit."""

import math
from collections import Counter
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from shared_models.calculations.proportions import wilson
from shared_models.calculations.quantiles import normal_quantile

ENOUGH = 0.80  # below this share equal a report says so (a convention of this project)


@dataclass(frozen=True, slots=True)
class Agreement:
    """Share of fruit scored alike with its range, and Cohen's kappa with its own; kappa None where one mark was all."""

    fruit: int
    equal: float
    low: float
    high: float
    kappa: float | None
    kappa_low: float | None
    kappa_high: float | None


def agreement(first: Sequence[Hashable], second: Sequence[Hashable], level: float = 0.95) -> Agreement:
    """How far two scorers agree on the same fruit, one by one.

    Args:
        first, second: the mark that each gave to each fruit, in the same order.
        level: share of such ranges that hold the truth [0..1, ends excluded].
    Returns:
        The share scored alike with its Wilson range [0..1], and Cohen's kappa, which takes away what chance alone
        would make alike [-1..1], with its large-sample range.
    Raises:
        ValueError: no fruit, or lists of unequal length.
    Misleads:
        with nearly all fruit clean: two people who never look agree then too, which is what kappa shows; and its
        range is rough below about 50 fruit.

    >>> found = agreement(["clean"] * 15 + ["sting"] * 5, ["clean"] * 13 + ["sting"] * 7)
    >>> found.equal, round(found.kappa, 3)
    (0.9, 0.765)

    Source: Cohen 1960, Educ Psychol Meas 20:37-46; error of kappa by Fleiss, Cohen & Everitt 1969 (from memory).
    """
    if not first or len(first) != len(second):
        raise ValueError("Two scorers are compared on the same fruit, at least one.")
    fruit = len(first)
    alike = sum(1 for one, other in zip(first, second, strict=True) if one == other)
    limits = wilson(alike, fruit, level)
    kappa, error = _kappa(first, second)
    half = normal_quantile((1 + level) / 2) * error if error is not None else None
    return Agreement(
        fruit=fruit,
        equal=alike / fruit,
        low=limits.low,
        high=limits.high,
        kappa=kappa,
        kappa_low=max(-1.0, kappa - half) if kappa is not None and half is not None else None,
        kappa_high=min(1.0, kappa + half) if kappa is not None and half is not None else None,
    )


def _kappa(first: Sequence[Hashable], second: Sequence[Hashable]) -> tuple[float | None, float | None]:
    n = len(first)
    rows, columns = Counter(first), Counter(second)
    both = Counter(zip(first, second, strict=True))
    seen = math.fsum(both[mark, mark] for mark in rows) / n
    by_chance = math.fsum(rows[mark] * columns[mark] for mark in rows) / n**2
    if by_chance >= 1:
        return None, None
    kappa = (seen - by_chance) / (1 - by_chance)
    on = math.fsum(
        both[mark, mark] / n * (1 - (rows[mark] + columns[mark]) / n * (1 - kappa)) ** 2 for mark in rows
    )
    off = math.fsum(
        count / n * ((columns[one] + rows[other]) / n) ** 2
        for (one, other), count in both.items()
        if one != other
    )
    variance = on + (1 - kappa) ** 2 * off - (kappa - by_chance * (1 - kappa)) ** 2
    return kappa, math.sqrt(max(0.0, variance / n)) / (1 - by_chance)
