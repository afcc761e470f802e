"""One lowest and one highest temperature for each day of a garden, out of all that was typed or imported. In °C.

"One reading per garden and day is used; the others are kept, and a clash is shown." The person's own readings go
before imported ones, unless a source is named to go first; a second source is used only to fill, on request.
Read in the morning, the highest is that of the day before, and belongs there (from memory; observers' practice).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from operator import attrgetter

from shared_models.calculations.heat_sums import Extremes, filled_from, interpolated
from shared_models.records.jobs import DayTemperature
from shared_models.timing.readings import OWN, Reading, reading_of
from shared_models.vocabulary import Fill

__all__ = [
    "OWN",
    "Clash",
    "GardenTemperatures",
    "SourceSpan",
    "Sources",
    "garden_temperatures",
    "temperatures_of",
]

SAME_WITHIN = 0.06  # readings that differ by rounding between the units are the same [°C]
MOST_INTERPOLATED = 3  # days
POSSIBLE_C = (-60.0, 60.0)  # colder and hotter than any garden has had (common practice)
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Clash:
    """A day that one source tells twice, differently: the records that say so, the one that is used first."""

    day: date
    records: tuple[str, ...]
    lows: tuple[float, ...]
    highs: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class SourceSpan:
    """Days in a row that come from one source; "" is the person's own thermometer."""

    source: str
    first: date
    last: date


@dataclass(frozen=True)
class GardenTemperatures:
    """The temperatures of a garden by day [°C], with what stands beside them.

    `unusable` are records whose lowest lies above the highest or that no garden can have had; they are kept.
    """

    days: Mapping[date, Extremes]
    origins: Mapping[date, str]
    dusk: Mapping[date, float]
    clashes: tuple[Clash, ...] = ()
    unusable: tuple[str, ...] = ()

    def spans(self, first: date, last: date) -> list[SourceSpan]:
        """Which source tells which days of a span, in order; a change of station shows here."""
        told = [(day, self.origins[day]) for day in sorted(self.origins) if first <= day <= last]
        spans = []
        for origin, group in groupby(told, key=lambda one: one[1]):
            days = [day for day, _ in group]
            spans.append(SourceSpan(origin, days[0], days[-1]))
        return spans

    def lowest(self, day: date) -> float | None:
        """The lowest temperature of a day [°C], where it was measured."""
        return self.days[day].minimum if day in self.days else None


@dataclass(frozen=True, slots=True)
class Sources:
    """Which source goes first, which one only fills, and whether anything is filled."""

    first: str | None = None
    second: str | None = None
    fill: Fill = Fill.NO


USUAL_SOURCES = Sources()


def garden_temperatures(
    records: Iterable[DayTemperature], sources: Sources = USUAL_SOURCES
) -> GardenTemperatures:
    """Choose one reading for each day; records of one garden."""
    return temperatures_of(map(reading_of, records), sources)


def temperatures_of(readings: Iterable[Reading], sources: Sources = USUAL_SOURCES) -> GardenTemperatures:
    """The same from readings: a decade of many gardens is read without making a record of each day.

    Where nothing is to be chosen, as at nearly every thermometer, that is seen first and costs a third.
    """
    told = list(readings)
    coldest, hottest = POSSIBLE_C
    read = [one for one in told if coldest <= one.lowest <= one.highest <= hottest]
    unusable = [] if len(read) == len(told) else [one.rec for one in told if not _is_possible(one)]
    if sources == USUAL_SOURCES and not unusable and (once := _each_day_once(read)):
        return once
    lows, highs = _halves(read)
    ranked = _Ranking(sources)
    days, origins = ranked.chosen(lows, highs)
    whole = _filled(days, ranked.second(lows, highs), sources.fill)
    return GardenTemperatures(
        whole, origins, _dusk(read, ranked), tuple(_clashes(lows)), tuple(sorted(unusable))
    )


def _each_day_once(readings: Sequence[Reading]) -> GardenTemperatures | None:
    """What is chosen from readings that leave no choice: one of each day, none taken in the morning."""
    days = {one.day: Extremes(one.lowest, one.highest) for one in sorted(readings, key=_DAY)}
    if len(days) != len(readings) or any(map(_MORNING, readings)):
        return None
    dusk = {one.day: one.dusk for one in readings if one.dusk is not None}
    return GardenTemperatures(days, {one.day: one.origin for one in readings}, dusk)


_DAY, _MORNING = attrgetter("day"), attrgetter("morning")


def _is_possible(reading: Reading) -> bool:
    return POSSIBLE_C[0] <= reading.lowest <= reading.highest <= POSSIBLE_C[1]


Halves = dict[date, list[Reading]]


def _halves(readings: Sequence[Reading]) -> tuple[Halves, Halves]:
    """The readings by the day that their lowest, and by the day that their highest temperature belongs to."""
    lows: Halves = {}
    morning = False
    for reading in readings:
        lows.setdefault(reading.day, []).append(reading)
        morning = morning or reading.morning
    if not morning:
        return lows, lows
    highs: Halves = {}
    for reading in readings:
        highs.setdefault(reading.day - ONE_DAY if reading.morning else reading.day, []).append(reading)
    return lows, highs


class _Ranking:
    """Which of several readings of a day is used."""

    def __init__(self, sources: Sources) -> None:
        self._sources = sources

    def chosen(self, lows: Halves, highs: Halves) -> tuple[dict[date, Extremes], dict[date, str]]:
        """The day's extremes from the best source that has both, else from the best of each."""
        days: dict[date, Extremes] = {}
        origins: dict[date, str] = {}
        alone = self._sources.second is None
        for day in sorted(lows.keys() & highs.keys()):
            some, others = lows[day], highs[day]
            one_each = alone and len(some) == len(others) == 1
            low, high = (some[0], others[0]) if one_each else self._pair(some, others)
            if low is not None and high is not None and low.lowest <= high.highest:
                days[day] = Extremes(low.lowest, high.highest)
                origins[day] = low.origin
        return days, origins

    def second(self, lows: Halves, highs: Halves) -> dict[date, Extremes]:
        """What the second source says of each day."""
        found: dict[date, Extremes] = {}
        if self._sources.second is None:
            return found
        for day in lows.keys() & highs.keys():
            low, high = (
                max((one for one in halves[day] if self._is_second(one)), key=_newest, default=None)
                for halves in (lows, highs)
            )
            if low and high and low.lowest <= high.highest:
                found[day] = Extremes(low.lowest, high.highest)
        return found

    def order(self, reading: Reading) -> tuple[bool, bool, str]:
        """The named source first, then the person's own, then the others by name."""
        return (reading.origin != self._sources.first, reading.origin != OWN, reading.origin)

    def _pair(self, lows: list[Reading], highs: list[Reading]) -> tuple[Reading | None, Reading | None]:
        mine_low, mine_high = self._usable(lows), self._usable(highs)
        both = {one.origin for one in mine_low} & {one.origin for one in mine_high}
        if both:
            mine_low = [one for one in mine_low if one.origin in both]
            mine_high = [one for one in mine_high if one.origin in both]
        return self.best(mine_low), self.best(mine_high)

    def _usable(self, readings: list[Reading]) -> list[Reading]:
        return [one for one in readings if not self._is_second(one)]

    def best(self, readings: list[Reading]) -> Reading | None:
        """The newest reading of the best source."""
        if not readings:
            return None
        first = min(map(self.order, readings))
        return max((one for one in readings if self.order(one) == first), key=_newest)

    def _is_second(self, reading: Reading) -> bool:
        return self._sources.second is not None and reading.origin == self._sources.second


def _newest(reading: Reading) -> tuple[str, str]:
    return (reading.entered, reading.rec)


def _filled(
    days: dict[date, Extremes], second: Mapping[date, Extremes], fill: Fill
) -> Mapping[date, Extremes]:
    if not days:
        return days
    # A second source may go on where the first one ended: a thermometer that broke is what it is for.
    first, last = min(days), max([*days, *second])
    whole: Mapping[date, Extremes] = days
    if fill in (Fill.SECOND_SOURCE, Fill.BOTH):
        whole = filled_from(whole, second, first, last)
    if fill in (Fill.INTERPOLATE, Fill.BOTH):
        whole = interpolated(whole, first, last, MOST_INTERPOLATED)
    return whole


def _dusk(readings: Iterable[Reading], ranking: _Ranking) -> dict[date, float]:
    found: Halves = {}
    for reading in readings:
        if reading.dusk is not None:
            found.setdefault(reading.day, []).append(reading)
    chosen = {day: ranking.best(told) for day, told in found.items()}
    return {day: one.dusk for day, one in chosen.items() if one and one.dusk is not None}


def _clashes(told: Halves) -> list[Clash]:
    """Days that one source tells differently in several records. Two sources may well differ, and are no clash."""
    found = []
    for day in sorted(day for day, readings in told.items() if len(readings) > 1):
        for origin in sorted({one.origin for one in told[day]}):
            of_one = sorted((one for one in told[day] if one.origin == origin), key=_newest, reverse=True)
            if len(of_one) > 1 and _differ(of_one):
                lows, highs = tuple(one.lowest for one in of_one), tuple(one.highest for one in of_one)
                found.append(Clash(day, tuple(one.rec for one in of_one), lows, highs))
    return found


def _differ(readings: list[Reading]) -> bool:
    lows = [one.lowest for one in readings]
    highs = [one.highest for one in readings]
    return max(lows) - min(lows) > SAME_WITHIN or max(highs) - min(highs) > SAME_WITHIN
