"""Charts of a report: each mix with its sign and its trees, weeks with their gaps, one scale for all gardens."""

from __future__ import annotations

from datetime import date

import pytest

from shared_models.report_charts import Sign, mix_chart, weeks_charts
from shared_models.season.report_parts import SeasonReport, TrapWeek
from tests.shared_models.season.seasons import SmallSeason


@pytest.fixture
def report() -> SeasonReport:
    """Untreated, treated and bagged trees, with bare fruit beside the bags."""
    season = SmallSeason()
    trees = season.trees(6)
    season.untreated(*trees[:2])
    for day in ("2026-06-01", "2026-06-12"):
        season.job("granulovirus", *trees[2:4], day=day)
    for tree in trees[4:]:
        season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
        season.picked(tree, 20, 1, cover="bagged", total=40)
    for number, tree in enumerate(trees):
        season.picked(tree, 20, 2 * number, total=20, cover="bare" if number > 3 else "none")
    return season.report()


def with_weeks(report: SeasonReport, *weeks: tuple[str, str, float]) -> SeasonReport:
    """The report with these catches: garden, ISO week, moths a trap and week."""
    lines = [
        TrapWeek(garden=garden, week=week, catch=moths, trap_days=7, per_trap_week=moths)
        for garden, week, moths in weeks
    ]
    return report.model_copy(update={"trap_weeks": lines})


def test_each_kind_of_mix_has_its_sign(report):
    signs = {chart.line.mix.key: chart.sign for chart in map(mix_chart, report.mixes)}
    assert signs["granulovirus"] == signs["bagging"] == Sign.TREATED
    assert signs["untreated"] == Sign.UNTREATED
    assert [sign for key, sign in signs.items() if "beside_bags" in key] == [Sign.BESIDE_BAGS]


def test_the_dot_stands_at_the_rate_that_leads_and_every_tree_has_one(report):
    for line in report.mixes:
        chart = mix_chart(line)
        assert (chart.mark.left, chart.mark.at, chart.mark.right) == (
            chart.shown.low, chart.shown.rate, chart.shown.high,
        )  # fmt: skip
        assert chart.shown == (line.all_fruit if chart.of_all_fruit else line.picked)
        rates = [tree.all_fruit if chart.of_all_fruit else tree.rate for tree in line.trees]
        assert [dot.at for dot in chart.trees] == rates
        assert chart.lanes == 1 + max(dot.lane for dot in chart.trees)


def test_a_week_without_a_trap_that_was_read_is_a_gap_and_none_is_not(report):
    (chart,) = weeks_charts(
        with_weeks(report, ("Hill", "2026-W20", 3.0), ("Hill", "2026-W22", 0.0), ("Hill", "2026-W23", 9.0))
    )
    assert [week.monday for week in chart.weeks] == [
        date(2026, 5, 11), date(2026, 5, 18), date(2026, 5, 25), date(2026, 6, 1),
    ]  # fmt: skip
    assert [week.bar.height for week in chart.weeks] == [0.3, None, 0.0, 0.9]
    assert chart.top == 10 and chart.highest.monday == date(2026, 6, 1)


def test_all_gardens_share_weeks_and_scale(report):
    low, high = weeks_charts(with_weeks(report, ("A", "2026-W20", 1.0), ("B", "2026-W24", 40.0)))
    assert (low.garden, high.garden) == ("A", "B")
    assert low.top == high.top == 50
    assert [week.monday for week in low.weeks] == [week.monday for week in high.weeks]
    assert low.months == high.months


def test_weeks_run_on_over_the_turn_of_a_year_that_has_fifty_three(report):
    (chart,) = weeks_charts(with_weeks(report, ("S", "2026-W52", 1.0), ("S", "2027-W01", 1.0)))
    assert [week.monday.isoformat() for week in chart.weeks] == ["2026-12-21", "2026-12-28", "2027-01-04"]


def test_months_stand_at_their_first_day(report):
    (chart,) = weeks_charts(with_weeks(report, ("A", "2026-W18", 1.0), ("A", "2026-W31", 1.0)))
    days = 7 * 14
    first = date(2026, 4, 27)
    assert [(mark.month, mark.at) for mark in chart.months] == [
        (month, (date(2026, month, 1) - first).days / days) for month in (5, 6, 7, 8)
    ]
    assert [mark.month for mark in chart.months if mark.named] == [5, 6, 7]


def test_a_season_without_traps_has_no_chart(report):
    assert weeks_charts(report) == []
