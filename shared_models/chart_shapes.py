"""Charts of a season as shapes: lines, bars, signs and words with their places. Knows no pixel, no colour and no widget.

Across, a place is a share of the drawing's width [0..1]; down, it is a length in em (the size of the type) from the
upper edge, so that a drawing grows with the type and is stretched in nothing but its width. The phone paints these
shapes on its canvas, a page as SVG (`server/web/templates/charts.html`).
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar

from shared_models.calculations.charts import RangeMark, range_mark
from shared_models.language import say
from shared_models.report_charts import ContrastChart, MixChart, Sign, WeekBar, WeeksChart, difference_mark
from shared_models.report_words import month_name, percent, rate_sentence
from shared_models.season.report_parts import TreeShare
from shared_models.years.parts import YearsContrast

YEAR = 2.1  # [em] from one season to the next
LANE = 0.6  # [em] from one row of dots to the next
ONE_TREE = 0.22  # [em] radius of the dot of one tree
WHISKER = 0.35  # [em] half the height of the ends of a range
ROOM_FOR_QUARTERS = 14.0  # [em] a narrower scale has room for its ends and its middle only
FOOT, HEAD = 7.0, 1.4  # [em] where the bars of a week chart stand and how high they may reach


class Ink(StrEnum):
    """What a shape is drawn for; the painter has a colour for each."""

    GRID = "grid"
    NOTHING = "nothing"  # the line at which there is no difference
    MARK = "mark"
    NONE_CAUGHT = "none_caught"  # a bar of no height
    UNTREATED = "untreated"
    TREE = "tree"


class Held(StrEnum):
    """Which part of its words stands at the place of a label."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A straight line."""

    kind: ClassVar[str] = "stroke"
    x1: float
    y1: float
    x2: float
    y2: float
    ink: Ink


@dataclass(frozen=True, slots=True)
class Spot:
    """A sign by its middle: a dot, a ring or a square on its corner, as wide as twice `radius` [em]."""

    kind: ClassVar[str] = "spot"
    x: float
    y: float
    radius: float
    sign: Sign
    ink: Ink


@dataclass(frozen=True, slots=True)
class Block:
    """A bar from its left edge and upper edge."""

    kind: ClassVar[str] = "block"
    x: float
    y: float
    width: float
    height: float
    ink: Ink


@dataclass(frozen=True, slots=True)
class Label:
    """A few words whose upper edge is at `y`; left out where the drawing is narrower than `least` [em]."""

    kind: ClassVar[str] = "label"
    x: float
    y: float
    words: str
    held: Held = Held.MIDDLE
    least: float = 0.0


Shape = Stroke | Spot | Block | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes in a frame of some height [em]; `told` says in a sentence what they show."""

    height: float
    shapes: tuple[Shape, ...]
    told: str


def percent_axis() -> Drawing:
    """The common scale of all lines of the season table."""
    labels = (
        Label(0.0, 0.0, "0"),
        Label(0.25, 0.0, "25", least=ROOM_FOR_QUARTERS),
        Label(0.5, 0.0, "50"),
        Label(0.75, 0.0, "75", least=ROOM_FOR_QUARTERS),
        Label(1.0, 0.0, "100 %", Held.END),
    )
    return Drawing(1.3, labels, say("A scale from 0 to 100 %."))


def with_percent_scale(drawing: Drawing) -> Drawing:
    """A drawing on the scale of the season table with the numbers of the scale below it."""
    axis = percent_axis()
    labels = tuple(
        replace(label, y=label.y + drawing.height) for label in axis.shapes if isinstance(label, Label)
    )
    return Drawing(drawing.height + axis.height, (*drawing.shapes, *labels), drawing.told)


def mix_drawing(chart: MixChart) -> Drawing:
    """One line of the season table: the rate with its range, and below it a dot for each tree."""
    height = 1.9 + LANE * chart.lanes
    ink = _ink(chart.sign)
    trees = (Spot(dot.at, 1.95 + LANE * dot.lane, ONE_TREE, Sign.TREATED, Ink.TREE) for dot in chart.trees)
    shapes = (*_quarters(height), *_range(chart.mark, 0.9, chart.sign, ink), *trees)
    told = say("{rate}. On a scale from 0 to 100 %.", rate=rate_sentence(chart.shown))
    return Drawing(height, shapes, told)


def tree_drawing(share: TreeShare, sign: Sign = Sign.TREATED) -> Drawing:
    """One tree on the scale of the season table: its picked fruit, and how far chance may have moved its share."""
    low, high = min(share.low, share.rate), max(share.high, share.rate)
    mark = range_mark(share.rate, low, high)
    shapes = (*_quarters(1.4), *_range(mark, 0.7, sign, _ink(sign)))
    told = say(
        "{rate} % damaged, likely {low}–{high} %, on this tree",
        rate=percent(share.rate),
        low=percent(share.low),
        high=percent(share.high),
    )
    return Drawing(1.4, shapes, told)


def difference_drawing(chart: ContrastChart, told: str) -> Drawing | None:
    """A difference with its range between 100 points less and 100 points more; None where nothing can be drawn."""
    if chart.mark is None:
        return None
    shapes = (
        Stroke(0.0, 0.9, 1.0, 0.9, Ink.GRID),
        Stroke(chart.nothing, 0.0, chart.nothing, 1.8, Ink.NOTHING),
        *_range(chart.mark, 0.9, Sign.TREATED, Ink.MARK),
        Label(0.0, 1.8, say("less"), Held.START),
        Label(chart.nothing, 1.8, say("alike")),
        Label(1.0, 1.8, say("more"), Held.END),
    )
    return Drawing(3.1, shapes, told)


def years_drawing(line: YearsContrast, told: str) -> Drawing | None:
    """The differences of several seasons below each other on one scale, with all together last; None where none is known."""
    years = [(year.season, difference_mark(year.difference, year.low, year.high)) for year in line.years]
    if line.pooled:
        pooled = line.pooled
        years.append((say("together"), difference_mark(pooled.difference, pooled.low, pooled.high)))
    known = [(season, mark) for season, mark in years if mark is not None]
    if not known:
        return None
    height = YEAR * len(known)
    rows = [shape for number, row in enumerate(known) for shape in _year(YEAR * number, *row)]
    ends = (
        Label(0.0, height, say("less"), Held.START),
        Label(0.5, height, say("alike")),
        Label(1.0, height, say("more"), Held.END),
    )
    nothing = Stroke(0.5, 0.0, 0.5, height, Ink.NOTHING)
    return Drawing(height + 1.3, (nothing, *rows, *ends), told)


def weeks_drawing(chart: WeeksChart) -> Drawing:
    """Moths a trap and week as bars; a line at the foot is a week with none, an empty place is not known."""
    bars = tuple(shape for week in chart.weeks for shape in _week(week))
    ticks = tuple(Stroke(month.at, FOOT, month.at, FOOT + 0.4, Ink.GRID) for month in chart.months)
    names = tuple(
        Label(month.at, FOOT + 0.3, month_name(month.month), Held.START)
        for month in chart.months
        if month.named
    )
    lines = tuple(Stroke(0.0, y, 1.0, y, Ink.GRID) for y in (HEAD, (HEAD + FOOT) / 2))
    highest = chart.highest
    told = say(
        "Most in the week from {monday}: {moths} moths a trap. The scale goes from 0 to {top}. "
        "Weeks without a bar and without a tick are not known.",
        monday=highest.monday,
        moths=f"{highest.per_trap_week or 0:.1f}",
        top=f"{chart.top:g}",
    )
    top = Label(0.0, 0.0, f"{chart.top:g}", Held.START)
    return Drawing(FOOT + 1.7, (*lines, *bars, *ticks, top, *names), told)


def legend_drawing(sign: Sign) -> Drawing:
    """A sign by itself, for a legend."""
    return Drawing(1.0, (Spot(0.5, 0.5, _radius(sign), sign, _ink(sign)),), "")


def _quarters(height: float) -> tuple[Stroke, ...]:
    return tuple(Stroke(at / 4, 0.0, at / 4, height, Ink.GRID) for at in range(5))


def _range(mark: RangeMark, y: float, sign: Sign, ink: Ink) -> tuple[Shape, ...]:
    return (
        Stroke(mark.left, y, mark.right, y, ink),
        Stroke(mark.left, y - WHISKER, mark.left, y + WHISKER, ink),
        Stroke(mark.right, y - WHISKER, mark.right, y + WHISKER, ink),
        Spot(mark.at, y, _radius(sign), sign, ink),
    )


def _year(y: float, season: str, mark: RangeMark) -> tuple[Shape, ...]:
    scale = Stroke(0.0, y + 1.5, 1.0, y + 1.5, Ink.GRID)
    return (Label(0.0, y, season, Held.START), scale, *_range(mark, y + 1.5, Sign.TREATED, Ink.MARK))


def _ink(sign: Sign) -> Ink:
    return Ink.UNTREATED if sign is Sign.UNTREATED else Ink.MARK


def _radius(sign: Sign) -> float:
    """Rings and squares have a thick edge, so they are drawn a little smaller."""
    return 0.45 if sign is Sign.TREATED else 0.4


def _week(week: WeekBar) -> tuple[Shape, ...]:
    bar = week.bar
    if bar.height is None:
        return ()
    if bar.height == 0:
        return (Stroke(bar.left, FOOT, bar.left + bar.width, FOOT, Ink.NONE_CAUGHT),)
    high = bar.height * (FOOT - HEAD)
    return (Block(bar.left, FOOT - high, bar.width, high, Ink.MARK),)
