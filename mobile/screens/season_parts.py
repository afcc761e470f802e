"""The parts of the Season place: lines with their ranges, comparisons, trees, traps. Lay out sentences, decide nothing."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from kivy.uix.widget import Widget

from mobile.theme import theme
from mobile.widgets.buttons import Action, Row
from mobile.widgets.chart import Chart
from mobile.widgets.chart_row import ChartRow
from mobile.widgets.columns import Card, Column, Line
from mobile.widgets.sign import Sign
from mobile.widgets.words import Words, small
from mobile.workflows.season_view import ContrastView, ListedTrees, MixLine, MixPart, SeasonView
from shared_models.calculations.verdict import Grade
from shared_models.chart_shapes import Drawing
from shared_models.language import say

GRADE_SIGN = {Grade.FIRM: "done", Grade.LEANING: "on", Grade.SAME: "less", Grade.CANT_TELL: "unsure"}


def empty_season() -> Widget:
    """What would fill the place."""
    return Column(
        Words(say("Nothing was recorded for this season yet"), bold=True),
        Words(say("These would fill this place:")),
        *(
            small(f"· {line}")
            for line in (
                say("What was done to each tree, or that it was left untreated on purpose."),
                say("Fruit scored at picking: about 30 a tree, and how many were picked in all."),
                say("Drops picked up and fruit removed by hand, by tree."),
                say("Moths in the traps, and visits with none."),
            )
        ),
    )


class Title(Line):
    """A heading within the place; `words` is what it says, `sign` what is drawn before it."""

    def __init__(self, words: str, sign: str) -> None:
        self.words, self.sign = words, sign
        super().__init__(
            Sign(sign, pos_hint={"center_y": 0.5}),
            Words(words, points=21, bold=True, pos_hint={"center_y": 0.5}),
            padding=[0, theme.gap(), 0, 0],
        )


def sentences(title: str, told: Sequence[str], sign: str) -> list[Widget]:
    """A heading with a few sentences on one card; nothing where there is none."""
    return [Title(title, sign), Card(*map(Words, told))] if told else []


# ---------------------------------------------------------------- damage
def mix_rows(view: SeasonView, trees_of: Callable[[str], Any], table: Action) -> list[Widget]:
    """What the trees had, and damage with its range on one scale; a touch on a line leads to its trees."""
    title = Title(say("Damage by what the trees had"), "fruit")
    if not view.parts:
        nothing = say("Nothing to show yet: score fruit at picking of trees whose methods are recorded.")
        return [title, Words(nothing)]
    rows = [widget for part in view.parts for widget in _part(part, trees_of)]
    return [title, small(view.caption), *rows, _legend(view), table]


def _part(part: MixPart, trees_of: Callable[[str], Any]) -> list[Widget]:
    return [Words(part.heading, bold=True), *(_mix(line, trees_of) for line in part.lines)]


def _mix(line: MixLine, trees_of: Callable[[str], Any]) -> Widget:
    lead_to = partial(trees_of, line.mix)
    return ChartRow(line.name, line.drawing, lead_to, second=line.sentence, bold=True)


def read_with(view: SeasonView) -> list[Widget]:
    """What is to be read with the lines: of all of them, then of each."""
    lines = [line for part in view.parts for line in part.lines if line.warnings or line.more]
    cards = [Card(*map(warned, view.warnings))] if view.warnings else []
    cards += [_read_with(line) for line in lines]
    return [Title(say("Read this with it"), "warning"), *cards] if cards else []


def _read_with(line: MixLine) -> Card:
    more = [small(line.more)] if line.more else []
    return Card(Words(line.name, bold=True), *map(warned, line.warnings), *more)


def warned(sentence: str) -> Line:
    """A sentence with a warning sign before it."""
    return Line(
        Sign("warning", role="warning", side=22, pos_hint={"center_y": 0.5}),
        small(sentence, role="ink", pos_hint={"center_y": 0.5}),
    )


def _legend(view: SeasonView) -> Widget:
    lines = [_explained(drawing, words) for drawing, words in view.legend]
    return Column(
        *lines, small(say("The line is the 95 % range; a small dot below it is one tree.")), spacing=0
    )


def _explained(drawing: Drawing, words: str) -> Widget:
    sign = Chart(drawing, size_hint_x=None, width=theme.gap(6), pos_hint={"center_y": 0.5})
    return Line(sign, small(words, pos_hint={"center_y": 0.5}))


# ---------------------------------------------------------------- what can be said
def comparison_cards(view: SeasonView, figures: Callable[[str], Any]) -> list[Widget]:
    """Each comparison with its verdict, what would settle it, and the figures behind it one touch away."""
    if not view.contrasts:
        return []
    cards = [_comparison(contrast, figures) for contrast in view.contrasts]
    return [Title(say("What can be said"), "season"), *cards]


def comparison_head(question: str, grade: Grade | None, grade_name: str) -> list[Widget]:
    """What was asked, and how sure the answer is, by sign and word."""
    graded = Line(
        Sign(GRADE_SIGN[grade] if grade else "unsure", pos_hint={"center_y": 0.5}),
        Words(grade_name, bold=True, pos_hint={"center_y": 0.5}),
    )
    return [Words(question, bold=True), graded]


def _comparison(contrast: ContrastView, figures: Callable[[str], Any]) -> Widget:
    first, *others = contrast.sentences
    drawn = [Chart(contrast.drawing, ground_role="raised")] if contrast.drawing else []
    return Card(
        *comparison_head(contrast.question, contrast.grade, contrast.grade_name),
        Words(first),
        *drawn,
        *map(Words, others),
        *map(warned, contrast.warnings),
        Action(say("The figures behind it"), partial(figures, contrast.key), sign_after="on", bold=False),
    )


# ---------------------------------------------------------------- trees and traps
def tree_lists(view: SeasonView, all_trees: Callable[[], Any], table: Action) -> list[Widget]:
    """How many trees there are, those in no comparison and why, and the way to every one of them."""
    leads = Row(say("Tree by tree, one dot each"), all_trees, sign="tree")
    return [Title(say("Trees"), "tree"), Words(view.trees), *map(_listed, view.listed), leads, table]


def _listed(listed: ListedTrees) -> Widget:
    return Card(Words(listed.heading, bold=True), *map(Words, listed.sentences))


def trap_charts(view: SeasonView, weeks: Action, visits: Action) -> list[Widget]:
    """Catches of each garden week by week, and each trap over the season."""
    if not view.traps:
        return []
    charts = [widget for one in view.weeks for widget in (_weeks_title(one.garden), Chart(one.drawing))]
    explained = say(
        "A line at the foot is a week with none caught; an empty place is a week that is not known. "
        "Catches are spread evenly over the days between visits."
    )
    return [
        Title(say("Traps"), "moth"),
        Words(say("Catch times the flight, it does not measure damage.")),
        *charts,
        *([small(explained), weeks] if charts else []),
        Card(*map(Words, view.traps)),
        visits,
    ]


def _weeks_title(garden: str) -> Words:
    return Words(say("{garden}: moths a trap and week", garden=garden), bold=True)
