"""One lowest and one highest temperature for each day of a garden, out of all that was typed or imported. In °C.

"One reading per garden and day is used; the others are kept, and a clash is shown." The person's own readings go
before imported ones, unless a source is named to go first; a second source is used only to fill, on request.
Read in the morning, the highest is that of the day before, and belongs there (from memory; observers' practice).
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby

from shared_models.calculations.degree_days import to_celsius
from shared_models.calculations.heat_sums import Extremes, filled_from, interpolated
from shared_models.records.jobs import DayTemperature
from shared_models.vocabulary import Fill

OWN = ""  # the origin of what a person read and typed
SAME_WITHIN = 0.06  # readings that differ by rounding between the units are the same [°C]
MOST_INTERPOLATED = 3  # days
POSSIBLE_C = (-60.0, 60.0)  # colder and hotter than any garden has had (common practice)
MORNING = "morning"
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


@dataclass(frozen=True, slots=True)
class _Half:
    """One lowest or one highest of a day [°C], with its record."""

    value: float
    origin: str
    entered: str
    rec: str


def garden_temperatures(
    records: Iterable[DayTemperature], sources: Sources = USUAL_SOURCES
) -> GardenTemperatures:
    """Choose one reading for each day; records of one garden."""
    told = sorted(records, key=lambda one: one.rec)
    read = [record for record in told if _is_possible(record)]
    unusable = tuple(record.rec for record in told if not _is_possible(record))
    lows, highs = _halves(read)
    ranked = _Ranking(sources)
    days, origins = ranked.chosen(lows, highs)
    whole = _filled(days, ranked.second(lows, highs), sources.fill)
    return GardenTemperatures(whole, origins, _dusk(read, ranked), tuple(_clashes(read)), unusable)


def celsius(record: DayTemperature, value: float) -> float:
    """A value of a record in °C, whatever unit it was typed in."""
    return to_celsius(value) if record.unit == "F" else value


def _is_possible(record: DayTemperature) -> bool:
    low, high = celsius(record, record.lowest), celsius(record, record.highest)
    return low <= high and POSSIBLE_C[0] <= low and high <= POSSIBLE_C[1]


Halves = dict[date, list[_Half]]


def _halves(records: Iterable[DayTemperature]) -> tuple[Halves, Halves]:
    """All lowest and all highest temperatures by the day that they belong to."""
    lows: Halves = {}
    highs: Halves = {}
    for record in records:
        day = date.fromisoformat(record.when)
        origin = record.origin or OWN
        lows.setdefault(day, []).append(
            _Half(celsius(record, record.lowest), origin, record.entered, record.rec)
        )
        high = _Half(celsius(record, record.highest), origin, record.entered, record.rec)
        highs.setdefault(day - ONE_DAY if record.habit == MORNING else day, []).append(high)
    return lows, highs


class _Ranking:
    """Which of several readings of a day is used."""

    def __init__(self, sources: Sources) -> None:
        self._sources = sources

    def chosen(self, lows: Halves, highs: Halves) -> tuple[dict[date, Extremes], dict[date, str]]:
        """The day's extremes from the best source that has both, else from the best of each."""
        days: dict[date, Extremes] = {}
        origins: dict[date, str] = {}
        for day in sorted(lows.keys() & highs.keys()):
            low, high = self._pair(lows[day], highs[day])
            if low is not None and high is not None and low.value <= high.value:
                days[day] = Extremes(low.value, high.value)
                origins[day] = low.origin
        return days, origins

    def second(self, lows: Halves, highs: Halves) -> dict[date, Extremes]:
        """What the second source says of each day."""
        found = {}
        for day in lows.keys() & highs.keys():
            low, high = (
                max((one for one in halves[day] if self._is_second(one)), key=_newest, default=None)
                for halves in (lows, highs)
            )
            if low and high and low.value <= high.value:
                found[day] = Extremes(low.value, high.value)
        return found

    def order(self, half: _Half) -> tuple[bool, bool, str]:
        """The named source first, then the person's own, then the others by name."""
        return (half.origin != self._sources.first, half.origin != OWN, half.origin)

    def _pair(self, lows: list[_Half], highs: list[_Half]) -> tuple[_Half | None, _Half | None]:
        mine_low, mine_high = self._usable(lows), self._usable(highs)
        both = {one.origin for one in mine_low} & {one.origin for one in mine_high}
        if both:
            mine_low = [one for one in mine_low if one.origin in both]
            mine_high = [one for one in mine_high if one.origin in both]
        return self.best(mine_low), self.best(mine_high)

    def _usable(self, halves: list[_Half]) -> list[_Half]:
        return [one for one in halves if not self._is_second(one)]

    def best(self, halves: list[_Half]) -> _Half | None:
        """The newest reading of the best source."""
        if not halves:
            return None
        first = min(map(self.order, halves))
        return max((one for one in halves if self.order(one) == first), key=_newest)

    def _is_second(self, half: _Half) -> bool:
        return self._sources.second is not None and half.origin == self._sources.second


def _newest(half: _Half) -> tuple[str, str]:
    return (half.entered, half.rec)


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


def _dusk(records: Iterable[DayTemperature], ranking: _Ranking) -> dict[date, float]:
    found: dict[date, list[_Half]] = {}
    for record in records:
        if record.dusk is not None:
            half = _Half(celsius(record, record.dusk), record.origin or OWN, record.entered, record.rec)
            found.setdefault(date.fromisoformat(record.when), []).append(half)
    chosen = {day: ranking.best(halves) for day, halves in found.items()}
    return {day: half.value for day, half in chosen.items() if half}


def _clashes(records: Iterable[DayTemperature]) -> list[Clash]:
    """Days that one source tells differently in several records. Two sources may well differ, and are no clash."""
    told: dict[tuple[str, str], list[DayTemperature]] = {}
    for record in records:
        told.setdefault((record.when, record.origin or OWN), []).append(record)
    return [
        Clash(
            date.fromisoformat(day),
            tuple(one.rec for one in by_age),
            tuple(celsius(one, one.lowest) for one in by_age),
            tuple(celsius(one, one.highest) for one in by_age),
        )
        for (day, _), found in sorted(told.items())
        if len(found) > 1 and _differ(found)
        for by_age in [sorted(found, key=lambda one: (one.entered, one.rec), reverse=True)]
    ]


def _differ(records: list[DayTemperature]) -> bool:
    lows = [celsius(one, one.lowest) for one in records]
    highs = [celsius(one, one.highest) for one in records]
    return max(lows) - min(lows) > SAME_WITHIN or max(highs) - min(highs) > SAME_WITHIN
