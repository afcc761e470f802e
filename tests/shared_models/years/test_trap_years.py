"""Traps of two seasons: within the days that both were looked at, with the same lure, and no word on damage."""

import pytest

from shared_models.calculations.trap_catch import ratio
from tests.shared_models.season.seasons import codes
from tests.shared_models.years.years_of import SmallYears


@pytest.fixture
def years():
    """Two traps, looked at weekly from May in two years; half the moths in the second."""
    made = SmallYears()
    for label in ("T1", "T2"):
        trap = made.keep(made.phone.trap(made.garden, label))
        for year, moths in (("2025", 8), ("2026", 4)):
            for day in ("05-01", "05-08", "05-15", "05-22"):
                caught = 0 if day == "05-01" else moths
                made.keep(made.phone.trap_visit(trap, caught, when=f"{year}-{day}"))
    return made


def trap_of(years):
    """The first trap."""
    return next(entry for entry in years.entries if entry.kind == "trap")


def test_a_trap_is_compared_with_itself_a_year_before(years):
    report = years.over_years()
    first = report.traps[0]
    assert [(one.first_season, one.second_season) for one in report.traps] == [("2025", "2026")] * 2
    assert (first.first_catch, first.first_days, first.second_catch, first.second_days) == (24, 21, 12, 21)
    expected = ratio(12, 21, 24, 21)  # checked against poisson.test of R where it is defined
    assert (first.ratio, first.low, first.high) == pytest.approx(
        (expected.ratio, expected.low, expected.high), abs=1e-6
    )
    [both] = report.traps_together
    assert both.traps == 2 and both.ratio == pytest.approx(12.5 / 24.5, abs=1e-6)


def test_days_that_only_one_season_was_looked_at_are_left_out_and_said(years):
    trap = trap_of(years)
    years.keep(years.phone.trap_visit(trap, 90, when="2025-06-20"))
    first = years.over_years().traps[0]
    assert (first.first_catch, first.first_days) == (24, 21)
    assert codes(first.warnings) == {"WINDOW"} and codes(years.over_years().traps[1].warnings) == set()


def test_another_lure_is_named_and_stays_out_of_all_traps_together(years):
    trap = trap_of(years)
    for year, lure in (("2025", "codlemone"), ("2026", "codlemone and pear ester")):
        years.keep(years.phone.trap_visit(trap, 0, when=f"{year}-05-22", lure_type=lure))
    report = years.over_years()
    assert codes(report.traps[0].warnings) == {"LURE_CHANGED"} and report.traps_together == []


def test_a_trap_of_one_season_or_without_days_of_exposure_is_compared_with_nothing():
    years = SmallYears()
    trap = years.keep(years.phone.trap(years.garden))
    years.keep(years.phone.trap_visit(trap, 3, when="2025-05-01"))
    years.keep(years.phone.trap_visit(trap, 3, when="2026-05-01"))
    assert years.over_years().traps == []


def test_no_moths_in_either_season_give_no_ratio_and_no_endless_number(years):
    trap = years.keep(years.phone.trap(years.garden, "T9"))
    for year in ("2025", "2026"):
        for day in ("05-01", "05-15"):
            years.keep(years.phone.trap_visit(trap, 0, when=f"{year}-{day}"))
    line = next(one for one in years.over_years().traps if one.label == "T9")
    assert (line.ratio, line.low, line.high) == (None, 0, None)
