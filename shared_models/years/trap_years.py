"""Traps that hung in two seasons following each other, compared within the days that both were looked at.

Catch times the flight; a change of it is no effect of what was done. A change of lure or of window is named.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from shared_models.calculations.over_years import ratio_over_traps
from shared_models.calculations.trap_catch import ratio
from shared_models.records.traps import TrapVisit
from shared_models.season.catches import Catch, TrapCatch, trap_catches
from shared_models.season.named_parts import Warned
from shared_models.season.rounding import edge, edge_if_known
from shared_models.season.rows import SeasonRows
from shared_models.years.parts import TrapsTogether, TrapYears

MUCH_LEFT_OUT = 0.2  # of a season's trap-days lie outside the common window (a convention of this project)


NO_LEAP_YEAR = 2001  # nor is the year before or after it


@dataclass(frozen=True, slots=True)
class _InSeason:
    """One trap at one place in one season."""

    season: SeasonRows
    catch: TrapCatch

    @property
    def counted(self) -> list[Catch]:
        """Catches whose days all lie in the season: what was caught over the winter says nothing of either."""
        known = [one for one in self.catch.visits if one.day and one.days]
        return [one for one in known if self._span(one)[0] >= 0]

    @property
    def days(self) -> int:
        return sum(one.days or 0 for one in self.counted)

    def offset(self, day: date) -> int:
        """Days since the season began, so that seasons can be laid on each other; 29 February is 28 February."""
        first = self.season.records.season.first_day
        year = NO_LEAP_YEAR + day.year - first.year
        here = date(year, day.month, 28 if (day.month, day.day) == (2, 29) else day.day)
        return (here - first.replace(year=NO_LEAP_YEAR)).days

    @property
    def window(self) -> tuple[int, int]:
        spans = [self._span(one) for one in self.counted]
        return min(start for start, _ in spans), max(end for _, end in spans)

    def within(self, start: int, end: int) -> tuple[int, int]:
        """Catch and days of the visits whose days all lie within."""
        kept = [one for one in self.counted if start <= self._span(one)[0] and self._span(one)[1] <= end]
        return sum(one.catch for one in kept), sum(one.days or 0 for one in kept)

    @property
    def lures(self) -> set[str]:
        visits = self.season.records.all(TrapVisit)
        return {one.lure_type for one in visits if one.trap == self.catch.trap and one.lure_type}

    def _span(self, one: Catch) -> tuple[int, int]:
        end = self.offset(one.day) if one.day else 0
        return end - (one.days or 0), end


def trap_years(seasons: Sequence[SeasonRows]) -> list[TrapYears]:
    """Every trap of two seasons following each other, at one place."""
    found = [_by_place(season) for season in seasons]
    return [
        line
        for first, second in pairwise(found)
        for key in sorted(first.keys() & second.keys())
        for line in _compared(first[key], second[key])
    ]


def together(lines: Iterable[TrapYears]) -> list[TrapsTogether]:
    """The traps of each pair of seasons as one ratio; traps whose lure changed stay out."""
    pairs: dict[tuple[str, str], list[TrapYears]] = defaultdict(list)
    for line in lines:
        if all(one.code != "LURE_CHANGED" for one in line.warnings):
            pairs[line.first_season, line.second_season].append(line)
    return [_together(key, of_pair) for key, of_pair in sorted(pairs.items()) if len(of_pair) > 1]


def _by_place(season: SeasonRows) -> dict[tuple[str, str], _InSeason]:
    every = (
        _InSeason(season, one) for one in trap_catches(season.records) if one.garden in season.orchard.gardens
    )
    return {(one.catch.trap, one.catch.garden): one for one in every if one.counted}


def _compared(first: _InSeason, second: _InSeason) -> Iterator[TrapYears]:
    start = max(first.window[0], second.window[0])
    end = min(first.window[1], second.window[1])
    (catch1, days1), (catch2, days2) = first.within(start, end), second.within(start, end)
    if not days1 or not days2:
        return
    found = ratio(catch2, days2, catch1, days1)
    left_out = 1 - min(days1 / first.days, days2 / second.days)
    lures = sorted(first.lures ^ second.lures) if first.lures and second.lures else []
    warned = [
        Warned(code="LURE_CHANGED", about=lures, count=len(lures)),
        Warned(code="WINDOW", count=round(100 * left_out) if left_out > MUCH_LEFT_OUT else 0),
    ]
    yield TrapYears(
        trap=second.catch.trap,
        label=second.catch.label,
        garden=second.season.orchard.gardens[second.catch.garden].name,
        first_season=first.season.records.season.key,
        second_season=second.season.records.season.key,
        first_catch=catch1,
        first_days=days1,
        second_catch=catch2,
        second_days=days2,
        ratio=_finite(found.ratio),
        low=edge(found.low),
        high=_finite(found.high),
        p=edge(found.p),
        warnings=[one for one in warned if one.count],
    )


def _together(key: tuple[str, str], lines: Sequence[TrapYears]) -> TrapsTogether:
    found = ratio_over_traps(
        [(one.first_catch, one.first_days, one.second_catch, one.second_days) for one in lines]
    )
    return TrapsTogether(
        first_season=key[0],
        second_season=key[1],
        traps=found.traps,
        ratio=edge(found.ratio),
        low=edge_if_known(found.low),
        high=edge_if_known(found.high),
    )


def _finite(value: float | None) -> float | None:
    return edge_if_known(None if value is None or value == float("inf") else value)
