"""What each tree gave for its work; an opinion only over several years, and never from what nobody noted."""

import pytest

from shared_models.years.parts import Opinion
from tests.shared_models.years.years_of import SEASONS, SmallYears, tree_line


@pytest.fixture
def years():
    """Five treated trees over three years; the first always the soundest, the last always the worst."""
    made = SmallYears()
    trees = made.planted(5)
    for year in SEASONS:
        for number, tree in enumerate(trees):
            made.job("granulovirus", tree, day=f"{year}-06-01", minutes=30, cost=2)
            made.picked(tree, 30, 3 * number, day=f"{year}-09-10", total=100)
    return made, trees


def test_each_year_says_what_the_tree_had_gave_and_took(years):
    made, trees = years
    first = tree_line(made.over_years(), trees[1]).years[0]
    # 3 of 30 damaged on 100 fruit in half an hour: 90 sound fruit, 180 an hour; own arithmetic.
    assert (first.season, first.crop, first.sound, first.minutes, first.money) == ("2024", 100, 90, 30, 2)
    assert first.sound_per_hour == 180 and first.mixes == ["granulovirus"]


def test_an_opinion_needs_three_years(years):
    made, trees = years
    assert tree_line(made.over_years(SEASONS[1:]), trees[0]).opinion is Opinion.TOO_EARLY
    report = made.over_years()
    opinions = [tree_line(report, tree).opinion for tree in trees]
    assert opinions == [Opinion.MORE, *[Opinion.MIXED] * 3, Opinion.LESS]


def test_an_opinion_needs_other_trees_of_the_garden_to_compare_with():
    made = SmallYears()
    trees = made.planted(3)
    for year in SEASONS:
        for tree in trees:
            made.job("granulovirus", tree, day=f"{year}-06-01", minutes=30)
            made.picked(tree, 30, 3, day=f"{year}-09-10", total=100)
    assert {line.opinion for line in made.over_years().trees} == {Opinion.TOO_EARLY}


def test_hours_that_nobody_noted_are_not_known_and_make_no_rate(years):
    made, trees = years
    made.job("kaolin_film", trees[0], day="2025-06-03")
    year = tree_line(made.over_years(), trees[0]).years[1]
    assert (year.minutes, year.at_least, year.sound_per_hour) == (30, True, None)
    assert tree_line(made.over_years(), trees[0]).opinion is Opinion.TOO_EARLY


def test_a_crop_that_is_not_known_is_never_none_at_all():
    made = SmallYears()
    [tree] = made.planted(1)
    made.untreated(tree, season="2026")
    made.picked(tree, 30, 3, all_scored="no")
    [year] = tree_line(made.over_years(), tree).years
    assert (year.crop, year.sound, year.minutes) == (None, None, None) and year.rate == 0.1


def test_bagged_and_bare_fruit_of_one_tree_weigh_what_they_bore():
    made = SmallYears()
    [tree] = made.planted(1)
    made.keep(made.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
    made.picked(tree, 20, 0, cover="bagged", total=40)
    made.picked(tree, 20, 10, cover="bare", total=160)
    [year] = tree_line(made.over_years(), tree).years
    # (40·0 + 160·½)/200 = 0.4; own arithmetic.
    assert year.crop == 200 and year.rate == pytest.approx(0.4) and year.sound == pytest.approx(120)


def test_two_records_of_one_tree_are_one_line(years):
    made, trees = years
    again = made.keep(made.phone.tree(made.garden, "1b"))
    made.keep(made.phone.same_tree(trees[0], again))
    made.untreated(again, season="2023", day="2023-05-01")
    made.picked(again, 30, 3, day="2023-09-10", total=50)
    report = made.over_years(("2023", *SEASONS))
    assert len(report.trees) == 5
    assert [year.season for year in tree_line(report, trees[0]).years] == ["2023", *SEASONS]
