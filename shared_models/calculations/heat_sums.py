"""Degree-days summed over the days of a season, with every missing and every filled day by its date. Knows no gardens.

"A day without both readings is missing, never 0": the total then is a least total and says which days it lacks.
Missing days are filled on request only, and stay marked.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple

from shared_models.calculations.degree_days import LOWER_C, UPPER_C, Cutoff, Method, daily, single_days

ONE_DAY = timedelta(days=1)


class Filled(StrEnum):
    """How a day came by its temperatures."""

    MEASURED = "measured"
    SECOND_SOURCE = "second_source"
    INTERPOLATED = "interpolated"


class Extremes(NamedTuple):
    """Lowest and highest temperature of one day [°, one unit throughout], and how it came by them."""

    minimum: float
    maximum: float
    filled: Filled = Filled.MEASURED


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Method, cutoff and thresholds [°]; printed with every total, since totals of two reckonings do not compare."""

    method: Method = Method.SINGLE_SINE
    cutoff: Cutoff = Cutoff.HORIZONTAL
    lower: float = LOWER_C
    upper: float = UPPER_C


USUAL = Reckoning()
Days = Mapping[date, Extremes]
Heat = Mapping[date, float]


@dataclass(frozen=True, slots=True)
class HeatSum:
    """A total from the first to the last day, both included. Where days are missing it is a least total."""

    total: float
    first: date
    last: date
    missing: tuple[date, ...] = ()
    filled: tuple[date, ...] = ()

    @property
    def complete(self) -> bool:
        """Whether no day is missing."""
        return not self.missing


def heat_by_day(days: Days, reckoning: Reckoning = USUAL) -> dict[date, float]:
    """Degree-days of each day that has what its method needs.

    Args:
        days: lowest and highest temperatures by day [°].
        reckoning: method, cutoff and thresholds [°].
    Returns:
        Degree-days by day, in order of the days [°·day]. A double method needs the minimum of the next day too; a
        day before a missing one has none then.
    Raises:
        ValueError: as `degree_days.daily`.
    Misleads:
        where days of two units are mixed.

    >>> days = {date(2026, 5, 1): Extremes(44, 66), date(2026, 5, 2): Extremes(48, 72)}
    >>> [round(heat, 2) for heat in heat_by_day(days, Reckoning(lower=50, upper=88)).values()]
    [6.37, 10.25]

    Source: as `degree_days.daily`.
    """
    way, cut, lower, upper = reckoning.method, reckoning.cutoff, reckoning.lower, reckoning.upper
    if not way.is_double:
        of_day = single_days(way, cut, lower, upper)
        return {day: of_day(low, high) for day, (low, high, _) in sorted(days.items())}
    found = {}
    for day in sorted(days):
        low, high, _ = days[day]
        following = days.get(day + ONE_DAY)
        if following is not None:
            found[day] = daily(low, high, lower, upper, way, cut, next_minimum=following.minimum)
    return found


def heat_sum(days: Days, first: date, last: date, reckoning: Reckoning = USUAL) -> HeatSum:
    """The total of a span of days.

    Args:
        days: lowest and highest temperatures by day [°]; days outside the span are not looked at.
        first: the day that the sum starts on, included.
        last: its last day, included. Before `first` the sum is that of no day.
        reckoning: method, cutoff and thresholds [°].
    Returns:
        The total [°·day] with the days that are missing or were filled.
    Raises:
        ValueError: as `degree_days.daily`.
    Misleads:
        where it is read without `missing`: each missing day may hide up to upper − lower degree-days.

    Two days of three, the middle one missing:

    >>> days = {date(2026, 5, 1): Extremes(44, 66), date(2026, 5, 3): Extremes(52, 79)}
    >>> found = heat_sum(days, date(2026, 5, 1), date(2026, 5, 3), Reckoning(lower=50, upper=88))
    >>> round(found.total, 2), found.complete, [str(day) for day in found.missing]
    (21.87, False, ['2026-05-02'])

    Source: as `degree_days.daily`; an incomplete total that names its days is good practice, from memory.
    """
    span = days_of(first, last)
    wanted = {day: days[day] for day in days_of(first, last + ONE_DAY) if day in days}
    heat = heat_by_day(wanted, reckoning)
    return HeatSum(
        total=sum(heat.get(day, 0.0) for day in span),
        first=first,
        last=last,
        missing=tuple(day for day in span if day not in heat),
        filled=tuple(day for day in span if day in heat and days[day].filled is not Filled.MEASURED),
    )


def filled_from(days: Days, second: Days, first: date, last: date) -> dict[date, Extremes]:
    """The same days, with those missing in a span taken from a second source and marked.

    >>> second = {date(2026, 5, 2): Extremes(9.0, 22.0)}
    >>> filled_from({}, second, date(2026, 5, 1), date(2026, 5, 3))[date(2026, 5, 2)].filled.value
    'second_source'
    """
    whole = dict(days)
    for day in days_of(first, last):
        if day not in whole and day in second:
            whole[day] = second[day]._replace(filled=Filled.SECOND_SOURCE)
    return whole


def interpolated(days: Days, first: date, last: date, most: int = 3) -> dict[date, Extremes]:
    """The same days, with short gaps in a span filled in a straight line between their neighbours and marked.

    Args:
        days: lowest and highest temperatures by day [°].
        first: the first day that may be filled.
        last: the last one.
        most: the longest gap that is filled [days]; a longer one stays missing, since weather changes in a week.
    Returns:
        The days [°]. A gap at either end has one neighbour only and stays missing.
    Misleads:
        the smoothed days lack the extremes that give most degree-days on cool and on hot days.

    >>> days = {date(2026, 5, 1): Extremes(8.0, 20.0), date(2026, 5, 3): Extremes(10.0, 24.0)}
    >>> tuple(interpolated(days, date(2026, 5, 1), date(2026, 5, 3))[date(2026, 5, 2)])[:2]
    (9.0, 22.0)

    Source: mean of the two sides, common practice.
    """
    whole = dict(days)
    known = sorted(days)
    for before, after in pairwise(known):
        gap = (after - before).days - 1
        if 0 < gap <= most:
            for step in range(1, gap + 1):
                day = before + step * ONE_DAY
                if first <= day <= last:
                    whole[day] = _on_the_line(days[before], days[after], step / (gap + 1))
    return whole


def days_of(first: date, last: date) -> list[date]:
    """The days from one to another, both included; none where the last lies before the first.

    >>> len(days_of(date(2024, 2, 28), date(2024, 3, 1)))
    3
    """
    return list(_days(first, last))


def _days(first: date, last: date) -> Iterator[date]:
    for ordinal in range(first.toordinal(), last.toordinal() + 1):
        yield date.fromordinal(ordinal)


def _on_the_line(before: Extremes, after: Extremes, share: float) -> Extremes:
    low = before.minimum + (after.minimum - before.minimum) * share
    high = before.maximum + (after.maximum - before.maximum) * share
    return Extremes(low, max(low, high), Filled.INTERPOLATED)
