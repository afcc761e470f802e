"""The charts of a season report: which shapes stand where. Words are in report_words; colours and pixels are the painter's."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from itertools import groupby

from shared_models.calculations.charts import (
    Bar,
    RangeMark,
    StackedDot,
    bars,
    far_enough_apart,
    range_mark,
    round_top,
    stacked,
)
from shared_models.season.report_parts import MixNamed, MixRate, RateRange, SeasonReport, TrapWeek
from shared_models.season.verdict_parts import ContrastLine

DOT_APART = 0.028  # of the width: a tree's dot is 7 px across where the narrowest chart has 260
MONTHS_APART = 0.11  # of the width: room for the name of a month where letters are at their largest


class Sign(StrEnum):
    """How a mix is marked beside its colour."""

    TREATED = "treated"
    BESIDE_BAGS = "beside_bags"
    UNTREATED = "untreated"


@dataclass(frozen=True, slots=True)
class MixChart:
    """One line of the season table: the rate that leads with its range, and a dot for each tree, on 0 to 100 %."""

    line: MixRate
    shown: RateRange
    of_all_fruit: bool
    sign: Sign
    mark: RangeMark
    trees: tuple[StackedDot, ...]

    @property
    def lanes(self) -> int:
        """How many lanes the dots of the trees take."""
        return 1 + max((dot.lane for dot in self.trees), default=-1)


@dataclass(frozen=True, slots=True)
class ContrastChart:
    """A difference with its range on a scale from 1 less to 1 more; `mark` None where nothing can be drawn.

    `nothing` is where no difference stands.
    """

    line: ContrastLine
    mark: RangeMark | None
    nothing: float = 0.5


@dataclass(frozen=True, slots=True)
class MonthMark:
    """Where a month begins [0..1 of the width], 1 being January, and whether there is room for its name."""

    at: float
    month: int
    named: bool


@dataclass(frozen=True, slots=True)
class WeekBar:
    """One week from its Monday on; without a bar height where no trap hung that anybody read."""

    monday: date
    bar: Bar
    per_trap_week: float | None


@dataclass(frozen=True, slots=True)
class WeeksChart:
    """Moths a trap and week of one garden. All gardens of a report share weeks and scale, so they can be compared."""

    garden: str
    top: float
    weeks: tuple[WeekBar, ...]
    months: tuple[MonthMark, ...]

    @property
    def highest(self) -> WeekBar:
        """The week with the most moths, the first of several."""
        return max(self.weeks, key=lambda week: week.per_trap_week or 0)


def mix_chart(line: MixRate) -> MixChart:
    """The shapes of one line of the season table."""
    shown = line.all_fruit or line.picked
    of_all = line.all_fruit is not None
    shares = [one.all_fruit if of_all and one.all_fruit is not None else one.rate for one in line.trees]
    return MixChart(
        line=line,
        shown=shown,
        of_all_fruit=of_all,
        sign=sign_of(line.mix),
        mark=range_mark(shown.rate, min(shown.low, shown.rate), max(shown.high, shown.rate)),
        trees=tuple(stacked(shares, DOT_APART)),
    )


def contrast_chart(line: ContrastLine) -> ContrastChart:
    """The shapes of one comparison."""
    return ContrastChart(line, difference_mark(line.difference, line.low, line.high))


def difference_mark(difference: float | None, low: float | None, high: float | None) -> RangeMark | None:
    """A difference [-1..1] with its range on a scale from 1 less to 1 more; None where one of these is not known."""
    if difference is None or low is None or high is None:
        return None
    return range_mark(difference + 1, min(low, difference) + 1, max(high, difference) + 1, full=2.0)


def weeks_charts(report: SeasonReport) -> list[WeeksChart]:
    """A chart of catches for each garden that has any."""
    weeks = report.trap_weeks
    if not weeks:
        return []
    mondays = _mondays(weeks)
    top = round_top(max(week.per_trap_week for week in weeks))
    months = _months(mondays)
    return [
        WeeksChart(garden, top, _bars(of_garden, mondays, top), months)
        for garden, of_garden in groupby(weeks, key=lambda week: week.garden)
    ]


def sign_of(mix: MixNamed) -> Sign:
    """How a mix is marked."""
    if mix.beside_bags:
        return Sign.BESIDE_BAGS
    return Sign.UNTREATED if mix.untreated else Sign.TREATED


def _monday(week: TrapWeek) -> date:
    return date.fromisoformat(f"{week.week}-1")


def _mondays(weeks: Sequence[TrapWeek]) -> list[date]:
    """Every Monday from the first week to the last, those without a trap too."""
    first, last = min(map(_monday, weeks)), max(map(_monday, weeks))
    return [first + timedelta(weeks=number) for number in range((last - first).days // 7 + 1)]


def _bars(weeks: Iterable[TrapWeek], mondays: Sequence[date], top: float) -> tuple[WeekBar, ...]:
    caught = {_monday(week): week.per_trap_week for week in weeks}
    heights = [caught.get(monday) for monday in mondays]
    drawn = zip(mondays, bars(heights, top), heights, strict=True)
    return tuple(WeekBar(monday, bar, height) for monday, bar, height in drawn)


def _months(mondays: Sequence[date]) -> tuple[MonthMark, ...]:
    """The first days of months within the weeks; the first week is named by its own month where there is room."""
    days = 7 * len(mondays)
    starts = [(0, mondays[0])]
    for number in range(1, days):
        day = mondays[0] + timedelta(days=number)
        if day.day == 1:
            starts.append((number, day))
    if len(starts) > 1 and starts[1][0] < MONTHS_APART * days:
        del starts[0]
    places = [number / days for number, _ in starts]
    named = [index for index in far_enough_apart(places, MONTHS_APART) if places[index] <= 1 - MONTHS_APART]
    return tuple(
        MonthMark(place, day.month, index in named)
        for index, (place, (_, day)) in enumerate(zip(places, starts, strict=True))
    )
