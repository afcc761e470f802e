"""Charts as shapes: everything stands inside its frame, and the numbers of the report can be read off the places."""

from __future__ import annotations

import pytest

from shared_models.chart_shapes import (
    FOOT,
    HEAD,
    Block,
    Drawing,
    Ink,
    Label,
    Spot,
    Stroke,
    difference_drawing,
    mix_drawing,
    tree_drawing,
    weeks_drawing,
    with_percent_scale,
    years_drawing,
)
from shared_models.report_charts import Sign, contrast_chart, mix_chart, weeks_charts
from shared_models.season.report_parts import SeasonReport, TrapWeek
from shared_models.season_records import from_entries
from shared_models.seasons import Hemisphere
from shared_models.verdict_words import numbers
from shared_models.years_report import years_report
from tests.shared_models.season.seasons import SmallSeason
from tests.shared_models.years.years_of import SmallYears


@pytest.fixture
def report() -> SeasonReport:
    """Untreated and sprayed trees, one bagged tree, and three weeks of catches of which the second is not known."""
    season = SmallSeason()
    trees = season.trees(9)
    season.untreated(*trees[:4])
    season.job("granulovirus", *trees[4:8])
    season.keep(season.phone.visit(trees[8], "bagging", when="2026-06-05", took=40, left=0))
    season.picked(trees[8], 20, 0, cover="bagged", total=40)
    for number, tree in enumerate(trees):
        season.picked(tree, 20, 2 * number, cover="bare" if number == 8 else "none")
    weeks = [
        TrapWeek(garden="Hill", week=f"2026-W{week}", catch=moths, trap_days=7, per_trap_week=moths)
        for week, moths in ((20, 3.0), (22, 0.0), (23, 9.0))
    ]
    return season.report().model_copy(update={"trap_weeks": weeks})


def drawings(report: SeasonReport) -> list[Drawing]:
    """One of every kind and more."""
    differences = [difference_drawing(contrast_chart(line), numbers(line)) for line in report.contrasts]
    return [
        *(with_percent_scale(mix_drawing(mix_chart(line))) for line in report.mixes),
        *(tree_drawing(share) for line in report.mixes for share in line.trees),
        *(drawing for drawing in differences if drawing),
        *map(weeks_drawing, weeks_charts(report)),
    ]


def of(drawing: Drawing, kind: type) -> list:
    """The shapes of one kind."""
    return [shape for shape in drawing.shapes if isinstance(shape, kind)]


def test_every_shape_stands_inside_its_frame(report):
    drawn = drawings(report)
    assert len(drawn) > 12
    for drawing in drawn:
        for stroke in of(drawing, Stroke):
            assert 0 <= stroke.x1 <= stroke.x2 <= 1 and 0 <= stroke.y1 <= stroke.y2 <= drawing.height
        for spot in of(drawing, Spot):
            assert 0 <= spot.x <= 1 and spot.radius <= spot.y <= drawing.height - spot.radius
        for block in of(drawing, Block):
            assert block.x >= 0 and block.x + block.width <= 1 and block.y + block.height <= drawing.height
        for label in of(drawing, Label):
            assert 0 <= label.x <= 1 and 0 <= label.y <= drawing.height - 1


def test_a_line_of_the_table_shows_rate_range_and_a_dot_for_each_tree(report):
    for line in report.mixes:
        drawing = mix_drawing(mix_chart(line))
        (rate,) = [spot for spot in of(drawing, Spot) if spot.ink is not Ink.TREE]
        marks = [stroke for stroke in of(drawing, Stroke) if stroke.ink in (Ink.MARK, Ink.UNTREATED)]
        shown = line.all_fruit or line.picked
        assert rate.x == pytest.approx(shown.rate)
        assert (marks[0].x1, marks[0].x2) == pytest.approx((shown.low, shown.high))
        assert sum(spot.ink is Ink.TREE for spot in of(drawing, Spot)) == len(line.trees)


def test_what_was_left_untreated_has_a_sign_and_a_colour_of_its_own(report):
    spots = {line.mix.key: of(mix_drawing(mix_chart(line)), Spot)[0] for line in report.mixes}
    assert (spots["untreated"].sign, spots["untreated"].ink) == (Sign.UNTREATED, Ink.UNTREATED)
    assert (spots["granulovirus"].sign, spots["granulovirus"].ink) == (Sign.TREATED, Ink.MARK)


def test_the_height_of_a_bar_is_its_share_of_the_scale_and_a_week_with_none_is_a_line(report):
    (chart,) = weeks_charts(report)
    drawing = weeks_drawing(chart)
    heights = [block.height / (FOOT - HEAD) for block in of(drawing, Block)]
    assert heights == pytest.approx([3.0 / chart.top, 9.0 / chart.top])
    none = [stroke for stroke in of(drawing, Stroke) if stroke.ink is Ink.NONE_CAUGHT]
    assert [(line.y1, line.y2) for line in none] == [(FOOT, FOOT)]


def test_no_difference_stands_in_the_middle_and_less_at_the_left(report):
    lines = [line for line in report.contrasts if line.difference is not None and line.low is not None]
    for line in lines:
        drawing = difference_drawing(contrast_chart(line), "")
        assert drawing is not None
        (spot,) = of(drawing, Spot)
        (nothing,) = [stroke for stroke in of(drawing, Stroke) if stroke.ink is Ink.NOTHING]
        assert nothing.x1 == 0.5 and (spot.x < 0.5) == (line.difference < 0)
    assert lines


def test_years_stand_below_each_other_on_one_scale_with_all_together_last():
    years = SmallYears()
    trees = years.planted(8)
    for year in ("2025", "2026"):
        years.named(year)
        years.year(year, trees[:4], trees[4:], (2, 12))
    line = years_report(
        [from_entries(years.entries, key) for key in ("2025", "2026")], Hemisphere.NORTH
    ).contrasts[0]
    drawing = years_drawing(line, "")
    assert drawing is not None and line.pooled is not None
    assert [label.words for label in of(drawing, Label)][:3] == ["2025", "2026", "together"]
    spots = of(drawing, Spot)
    wanted = [*(year.difference for year in line.years), line.pooled.difference]
    assert [2 * spot.x - 1 for spot in spots] == pytest.approx(wanted)
    assert [spot.y for spot in spots] == sorted(spot.y for spot in spots)
    assert all(0 <= label.y <= drawing.height - 1 for label in of(drawing, Label))
    unknown = [year.model_copy(update={"low": None}) for year in line.years]
    assert years_drawing(line.model_copy(update={"years": unknown, "pooled": None}), "") is None


def test_a_comparison_without_a_difference_has_no_drawing(report):
    line = report.contrasts[0].model_copy(update={"difference": None})
    assert difference_drawing(contrast_chart(line), "") is None
