"""Comparisons over years: side by side first, together where they point one way, a tree of several years once."""

import random

import pytest

from shared_models.calculations.verdict import Grade, Missing
from tests.shared_models.season.seasons import codes
from tests.shared_models.years.years_of import SmallYears, contrast, report_over


def test_years_that_point_one_way_are_put_together_and_each_stays_beside():
    years = SmallYears()
    trees = years.planted(12)
    for year in ("2025", "2026"):
        years.named(year)
        years.year(year, trees[:6], trees[6:], (2, 12))
    line = contrast(years.over_years())
    assert [one.season for one in line.years] == ["2025", "2026"] and line.pooled is not None
    assert (line.pooled.trees_a, line.pooled.trees_b, line.pooled.strata) == (6, 6, 1)
    assert line.pooled.grade is Grade.FIRM and not line.warnings
    # Both years alike: the difference together is that of each year, 10 of 30 fruit.
    assert line.pooled.difference == pytest.approx(-1 / 3, abs=1e-6)


def test_more_years_of_the_same_three_trees_never_make_it_firm():
    years = SmallYears()
    trees = years.planted(6)
    for year in ("2024", "2025", "2026"):
        years.named(year)
        years.year(year, trees[:3], trees[3:], (2, 14))
    pooled = contrast(years.over_years()).pooled
    assert pooled is not None and (pooled.trees_a, pooled.trees_b) == (3, 3)
    assert Missing.TREES in pooled.missing and pooled.grade is Grade.LEANING


def test_new_trees_of_another_year_do_make_it_surer():
    years = SmallYears()
    trees = years.planted(12)
    for year, some in (("2025", trees[:6]), ("2026", trees[6:])):
        years.named(year)
        years.year(year, some[:3], some[3:], (2, 14))
    pooled = contrast(years.over_years()).pooled
    assert pooled is not None and (pooled.trees_a, pooled.strata) == (6, 2)
    assert pooled.grade is Grade.FIRM and pooled.lock_p is not None and pooled.lock_p <= 0.05


def test_a_bad_year_with_other_trees_does_not_pass_for_the_method():
    years = SmallYears()
    trees = years.planted(16)
    years.year("2025", trees[:6], trees[6:8], (1, 1))
    years.year("2026", trees[8:10], trees[10:16], (15, 15))
    pooled = contrast(years.over_years()).pooled
    # Thrown together the treated had 29 % of the damage of the others; within years there is no difference.
    assert pooled is not None and abs(pooled.difference) < 0.02 and pooled.grade is not Grade.LEANING


def test_years_that_point_different_ways_stay_side_by_side():
    years = SmallYears()
    trees = years.planted(12)
    years.year("2025", trees[:6], trees[6:], (2, 10))
    years.year("2026", trees[:6], trees[6:], (10, 2))
    line = contrast(years.over_years())
    assert line.pooled is None and "YEARS_DISAGREE" in codes(line.warnings)
    assert [one.difference < 0 for one in line.years] == [True, False]


def test_a_comparison_that_was_not_named_every_year_is_a_hint_at_most():
    years = SmallYears()
    trees = years.planted(12)
    years.named("2026")
    for year in ("2025", "2026"):
        years.year(year, trees[:6], trees[6:], (2, 12))
    line = contrast(years.over_years())
    assert line.pooled is not None and line.pooled.grade is Grade.LEANING
    assert Missing.NOT_NAMED in line.pooled.missing and "YEARS_NOT_NAMED" in codes(line.warnings)


def test_what_caps_one_season_caps_them_together():
    years = SmallYears()
    trees = years.trees(12)  # no cultivar noted
    for year in ("2025", "2026"):
        years.named(year)
        years.year(year, trees[:6], trees[6:], (2, 12))
    pooled = contrast(years.over_years()).pooled
    assert pooled is not None and pooled.caps == ["CULTIVAR_UNKNOWN"] and pooled.grade is Grade.LEANING


def test_bagged_beside_bare_fruit_counts_each_tree_once():
    years = SmallYears()
    trees = years.planted(4)
    for year in ("2025", "2026"):
        for number, tree in enumerate(trees):
            years.keep(years.phone.visit(tree, "bagging", when=f"{year}-06-05", took=40, left=0))
            years.picked(tree, 30, number % 2, day=f"{year}-09-10", cover="bagged", total=40)
            years.picked(tree, 30, 9 + number % 3, day=f"{year}-09-10", cover="bare", total=40)
    pooled = contrast(years.over_years(), "paired:bagging").pooled
    assert pooled is not None and pooled.trees_a == 4 and Missing.TREES in pooled.missing


def test_one_season_alone_is_no_comparison_over_years():
    years = SmallYears()
    trees = years.planted(12)
    years.year("2026", trees[:6], trees[6:], (2, 12))
    report = years.over_years()
    assert report.seasons == ["2024", "2025", "2026"] or report.contrasts == []
    assert report.contrasts == [] and report.trees


def test_order_of_seasons_and_entries_changes_nothing():
    years = SmallYears()
    trees = years.planted(8)
    for year in ("2024", "2025", "2026"):
        years.year(year, trees[:4], trees[4:], (2, 9))
    shuffled = years.entries + years.entries[::3]
    random.Random(7).shuffle(shuffled)
    assert report_over(shuffled, ("2026", "2024", "2025")) == years.over_years()
