"""On which days a degree-day total will be reached, as a band. Knows no events, no gardens and no weather service.

Earlier years of the same garden say how many days the rest took from about this day on; without them the pace of
the last fortnight does. Each way is a guess with a spread, and the spread is the answer.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from shared_models.calculations.heat_line import HeatLine

# Conventions of this project, set on four years of Seattle (2012-2015) and judged on four years of New York, which took
# no part in setting them: 96 % of the bands held the true day, of a median width of 26 days (calendar: 48).
# Days around the same day of an earlier year from which its warmth is taken as well.
AROUND = (-10, -5, 0, 5, 10)
LOOK_BACK = 30  # days over which this year is compared with an earlier one
HALF = 0.5  # how much of that difference is taken to last
RESERVE = 0.1  # by how much of the days the band is widened at either end
DAMPING = 2.0  # degree-days a day that keep cold weeks from giving wild ratios [°C·day]
FORTNIGHT, WEEK = 14, 7
FASTER = 1.15  # the warmest and the coolest week of the fortnight may be outdone so far
FURTHEST = 21  # days beyond which the pace of a fortnight says nothing
MOST_YEARS = 10


class Basis(StrEnum):
    """What a band was made from."""

    REACHED = "reached"  # measured: both ends lie in the days that are known
    OWN_YEARS = "own_years"
    LAST_DAYS = "last_days"
    NONE = "none"  # too little is known, or it lies too far ahead


@dataclass(frozen=True, slots=True)
class DayBand:
    """From the earliest to the latest day; `latest` is None where no end can be given."""

    earliest: date
    latest: date | None


@dataclass(frozen=True, slots=True)
class Projection:
    """A band of days with what it was made from; `years` are the earlier years that took part."""

    band: DayBand | None
    basis: Basis
    years: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class _Needed:
    """How many more days it takes: the fewest and the most."""

    fewest: float
    most: float | None
    basis: Basis
    years: tuple[int, ...] = ()


NOT_TO_SAY = Projection(None, Basis.NONE)


def project(
    line: HeatLine, first_start: date, last_start: date, low: float, high: float, until: date
) -> Projection:
    """The days between which a total is reached, when its start and its size are only known as ranges.

    Args:
        line: degree-days by day, this year's and earlier ones' [°C·day].
        first_start: the earliest day that the sum may start on, included.
        last_start: the latest one.
        low: the least total that is looked for [°C·day].
        high: the greatest one.
        until: the last day whose temperatures are used; what comes after it is projected.
    Returns:
        From the day that `low` is reached from `first_start` to the day that `high` is reached from `last_start`.
        Past days are measured; days ahead come from earlier years, else from the last fortnight. Without either,
        or too far ahead for a fortnight, there is no band.
    Misleads:
        where earlier years were unlike this one, or where days are missing since the start: the sum is then a
        least sum, and the days may be earlier. A band is not the chance of anything.

    From 1 May at 10 degree-days a day, with 100 wanted and five days known:

    >>> line = HeatLine({date(2026, 4, 20) + timedelta(days): 10.0 for days in range(16)})
    >>> found = project(line, date(2026, 5, 1), date(2026, 5, 1), 100, 100, date(2026, 5, 5))
    >>> str(found.band.earliest), str(found.band.latest), found.basis.value
    ('2026-05-08', '2026-05-12', 'last_days')

    Source: own convention; its honesty is tested on a published series of four years that it was not set on.
    """
    early = _reached_or_needed(line, first_start, low, until)
    late = _reached_or_needed(line, last_start, high, until)
    if early is None:
        return NOT_TO_SAY
    earliest = early if isinstance(early, date) else until + timedelta(max(1, math.floor(early.fewest)))
    if isinstance(late, date):
        return Projection(DayBand(earliest, max(earliest, late)), Basis.REACHED)
    told = late or (early if isinstance(early, _Needed) else None)
    latest = None if late is None or late.most is None else until + timedelta(math.ceil(late.most))
    return Projection(
        DayBand(earliest, latest), told.basis if told else Basis.NONE, told.years if told else ()
    )


def _reached_or_needed(line: HeatLine, start: date, target: float, until: date) -> date | _Needed | None:
    day = line.reached(start, target)
    if day is not None and day <= until:
        return day
    rest = target - line.sum(start, until)
    if start > until + timedelta(1):
        return None
    return _by_own_years(line, until, rest) or _by_last_days(line, until, rest)


def _by_own_years(line: HeatLine, until: date, rest: float) -> _Needed | None:
    found = {
        year: list(days) for year in range(1, MOST_YEARS + 1) if (days := _as_in(line, until, year, rest))
    }
    if not found:
        return None
    every = [one for days in found.values() for one in days]
    years = tuple(sorted(until.year - year for year in found))
    return _Needed(min(every) * (1 - RESERVE), max(every) * (1 + RESERVE), Basis.OWN_YEARS, years)


def _as_in(line: HeatLine, until: date, years: int, rest: float) -> list[int]:
    """How many days the rest took from about this day on, so many years ago; none where days are missing then."""
    same_day = years_before(until, years)
    if line.missing(same_day - timedelta(LOOK_BACK - 1), same_day):
        return []
    rest = rest / _warmer_than(line, until, same_day)
    starts = (same_day + timedelta(shift) for shift in AROUND)
    return [days for start in starts if (days := _days_from(line, start, rest, until))]


def _warmer_than(line: HeatLine, until: date, same_day: date) -> float:
    """By how much this year's days are taken to stay warmer than those of an earlier year."""
    back = timedelta(LOOK_BACK - 1)
    if line.missing(until - back, until):
        return 1.0
    now, then = line.sum(until - back, until), line.sum(same_day - back, same_day)
    reserve = DAMPING * LOOK_BACK
    return math.pow((now + reserve) / (then + reserve), HALF)


def _days_from(line: HeatLine, day: date, rest: float, until: date) -> int | None:
    start = day + timedelta(1)
    reached = line.reached(start, rest)
    if reached is None or reached > until or (reached - day).days > 366 or line.missing(start, reached):
        return None
    return (reached - day).days


def _by_last_days(line: HeatLine, until: date, rest: float) -> _Needed | None:
    if line.missing(until - timedelta(FORTNIGHT - 1), until):
        return None
    weeks = sorted(_weeks_of_the_fortnight(line, until))
    slow, fast = weeks[0] / FASTER, weeks[-1] * FASTER
    if fast <= 0 or rest / fast > FURTHEST:
        return None
    most = rest / slow + 1 if slow > 0 else None
    return _Needed(rest / fast - 1, most if most is None or most < 366 else None, Basis.LAST_DAYS)


def _weeks_of_the_fortnight(line: HeatLine, until: date) -> Iterator[float]:
    """The mean of every seven days in a row [°·day a day]."""
    for back in range(FORTNIGHT - WEEK + 1):
        last = until - timedelta(back)
        yield line.sum(last - timedelta(WEEK - 1), last) / WEEK


def years_before(day: date, years: int) -> date:
    """The same day some years before; 28 February for a leap day in other years.

    >>> str(years_before(date(2024, 2, 29), 1))
    '2023-02-28'
    """
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return day.replace(year=day.year - years, day=28)
