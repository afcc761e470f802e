"""One tree's damage from several days of which only some fruit were scored. Knows counts and totals, no records.

Scoring 30 of 300 picked fruit (8 damaged) and all 40 drops (30 damaged) is not 38 of 70: each scored fruit stands
for as many as were picked or lay there. So every day weighs as much as its total.

Adding clean fruit to a sample never raises the damage of its tree, nor of its mix. Therefore such a tree counts among
other trees as the fruit it stands for (at most 60), however few were scored. Were it counted as what its samples are
worth, n*, clean fruit would make a damaged tree heavier: 0 of 1 scored on a day of 2 fruit and 1 of 1 on a day of 1
are worth 0.6 of 1.8, with 0 of 2 on the first day 1 of 3; beside a clean tree of 1 that is 21 and then 25 of 100.

Where that cannot be had: a tree scored on one day, which counts as the n scored, gets a second, clean day. By the
above (turn it round, the other day clean) a weight that does not look at damage must not hang on either n; so 1 of 2
damaged turns into 60 fruit, and with clean trees beside it the mix rises. A weight of hardly a fruit would be the
only way out. Nor does it hold for a day without a total: with it nobody knows what the other days stand for.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from shared_models.calculations.proportions import refuse_impossible_counts

# Trees with many damaged drops have more fully counted fruit, and in a method's rate (which weighs trees by fruit)
# they would pull it up: 0.318 for a true 0.30, with this cap 0.301. From a simulation of 600 seasons with 30 fruit
# scored a date, all drops counted, and an intracluster correlation of 0.10.
MOST_EFFECTIVE_FRUIT = 60.0


@dataclass(frozen=True, slots=True)
class Sample:
    """One day of one source: fruit in all (None: not known), scored of them, and damaged of the scored [fruit]."""

    total: float | None
    scored: float
    damaged: float


@dataclass(frozen=True, slots=True)
class WeightedRate:
    """A damaged share [0..1] and the independent fruit that it is worth; total [fruit] is None where not known.

    `weight` is the fruit as which it counts among other trees: what was scored on the only day, or on days of which
    nobody knows the totals, else what the scored days stand for; of more than one day no more than the cap.
    """

    rate: float
    effective_scored: float
    effective_damaged: float
    total: float | None
    total_unknown: bool
    weight: float

    @property
    def weighed(self) -> tuple[float, float]:
        """(damaged, fruit) as which it counts; as counted, to the last digit, where it counts as what was scored."""
        as_scored = self.weight == self.effective_scored
        return self.effective_damaged if as_scored else self.rate * self.weight, self.weight

    @property
    def among_others(self) -> tuple[float, float, float]:
        """(damaged, scored, weight) as `spread.method_rates` takes a tree."""
        return self.effective_damaged, self.effective_scored, self.weight


def combine(samples: Iterable[Sample], cap: float = MOST_EFFECTIVE_FRUIT) -> WeightedRate:
    """The damaged share of a tree's fruit of one source, from all the days it was sampled on.

    Each scored day weighs its total T: rate = Σ T·x/n / ΣT, effective fruit n* = (ΣT)² / Σ(T²/n).
    One scored day alone is x of n as counted. Among other trees the tree weighs ΣT, at most the cap.

    Args:
        samples: the days, in any order; all fruit of one day first added up to one sample.
        cap: most effective fruit that more than one scored day may amount to, and most that it may weigh [fruit].
    Returns:
        The rate [share of fruit], effective counts [fruit, fractions], the total and the weight [fruit].
        - A day with fruit but nothing scored carries no rate: the scored days speak for it. Its fruit count in
          the total.
        - A scored day without a total: nobody knows what it stands for, so all scored days are pooled as counted
          (Σx of Σn); `total` is None and `total_unknown` is true.
        - An unscored day without a total only makes the total unknown; the scored days keep their weights.
    Raises:
        ValueError: nothing was scored on any day; a count is impossible; a total is smaller than the scored
            fruit; the cap is not positive.
    Misleads:
        when the scored fruit were chosen (the good-looking ones), or when unscored days differ from scored ones,
        as later picks do: they have more damage.

    A first pick of 100 fruit with 3 of 30 damaged, a second of 300 with 9 of 30:

    >>> result = combine([Sample(100, 30, 3), Sample(300, 30, 9)])
    >>> result.rate, result.effective_scored, result.total
    (0.25, 48.0, 400.0)

    Source: weighted mean of strata with its effective sample size (Kish 1965, Survey Sampling; from memory); the
    weight among other trees by simulation of ranges and of what clean fruit does.
    """
    days = _checked(samples, cap)
    scored = [day for day in days if day.scored > 0]
    if not scored:
        raise ValueError("No fruit was scored on any of these days, so there is no damaged share.")
    total = _sum_of_totals(days)
    if len(scored) == 1:
        alone = scored[0]
        return WeightedRate(
            alone.damaged / alone.scored, alone.scored, alone.damaged, total, total is None, alone.scored
        )
    stand_for = _sum_of_totals(scored)
    rate, effective = _pooled(scored) if stand_for is None else _weighted(scored)
    kept, weight = min(effective, cap), min(effective if stand_for is None else stand_for, cap)
    return WeightedRate(rate, kept, rate * kept, total, total is None, weight)


def of_all_fruit(
    picked: Sequence[Sample],
    drops: Sequence[Sample] = (),
    removed: Sequence[Sample] = (),
    cap: float = MOST_EFFECTIVE_FRUIT,
) -> WeightedRate | None:
    """The damaged share of all fruit that a tree bore: picked, dropped and removed by hand.

    Every source weighs its total. Within a source the scored days speak for the days without a score, never for
    another source.

    Args:
        picked, drops, removed: the days of each source. Empty means that the source is recorded and gave no
            fruit; a source that was not recorded must not be passed off as empty.
        cap: most effective fruit that more than one scored day or source may amount to [fruit].
    Returns:
        The rate [share of fruit] with the total of all sources [fruit]; None where it cannot be known, because
        a total is missing, a source with fruit has no score, or there is no fruit at all.
    Raises:
        ValueError: a count is impossible; a total is smaller than the scored fruit; the cap is not positive.
    Misleads:
        when drops were collected for a part of the season only: what lay there before is missing.

    300 picked of which 30 were scored with 8 damaged, and 40 drops with 30 damaged, is (300·8/30 + 30)/340:

    >>> result = of_all_fruit([Sample(300, 30, 8)], [Sample(40, 40, 30)])
    >>> round(result.rate, 4), result.total
    (0.3235, 340.0)

    Source: as `combine`; counting dropped fruit follows common practice of damage assessment.
    """
    sources = [
        days for days in (_checked(source, cap) for source in (picked, drops, removed)) if _has_fruit(days)
    ]
    standing_for = [_stretched_to_its_total(days) for days in sources]
    terms = [day for days in standing_for for day in days]
    if not terms or not all(standing_for):
        return None
    return replace(combine(terms, cap), total=_sum_of_totals([day for days in sources for day in days]))


def _stretched_to_its_total(days: list[Sample]) -> list[Sample]:
    """The scored days of a source, scaled so that they stand for the unscored ones too; empty if they cannot."""
    total = _sum_of_totals(days)
    scored = [day for day in days if day.scored > 0]
    of_scored = _sum_of_totals(scored)
    if total is None or not of_scored:
        return []
    factor = total / of_scored
    return [Sample((day.total or 0.0) * factor, day.scored, day.damaged) for day in scored]


def _has_fruit(days: list[Sample]) -> bool:
    return any(day.total is None or day.total > 0 for day in days)


def _pooled(days: list[Sample]) -> tuple[float, float]:
    scored = math.fsum(day.scored for day in days)
    return math.fsum(day.damaged for day in days) / scored, scored


def _weighted(days: list[Sample]) -> tuple[float, float]:
    # fsum rounds once, so neither figure depends on the order of the days.
    totals = [day.total or 0.0 for day in days]
    total = math.fsum(totals)
    damaged = math.fsum(t * (day.damaged / day.scored) for t, day in zip(totals, days, strict=True))
    squares = math.fsum(t * t / day.scored for t, day in zip(totals, days, strict=True))
    return damaged / total, total * total / squares


def _sum_of_totals(days: Sequence[Sample]) -> float | None:
    totals = [day.total for day in days if day.total is not None]
    return math.fsum(totals) if len(totals) == len(days) else None


def _checked(samples: Iterable[Sample], cap: float) -> list[Sample]:
    days = list(samples)
    for day in days:
        _refuse_impossible_sample(day)
    if not cap > 0:
        raise ValueError(f"The cap on effective fruit must be a positive number, not {cap}.")
    return days


def _refuse_impossible_sample(day: Sample) -> None:
    if day.scored != 0 or day.damaged != 0:
        refuse_impossible_counts(day.damaged, day.scored)
    if day.total is not None and not day.scored <= day.total < math.inf:
        raise ValueError(f"There cannot be more scored fruit ({day.scored}) than fruit in all ({day.total}).")
