"""A part of the season by itself: one cultivar, deep entries alone, picked fruit alone, one garden."""

import pytest

from shared_models.reports import season_report
from shared_models.season.choice import Choice, Counted, Damage
from shared_models.season_records import from_entries
from tests.shared_models.season.seasons import SmallSeason, codes


@pytest.fixture
def season():
    """Two cultivars, two trees of each; stings on one, deep entries on the other; drops counted on the first tree."""
    made = SmallSeason()
    trees = made.trees(4)
    for number, tree in enumerate(trees):
        made.keep(made.phone.graft(tree, "Dawnlet" if number < 2 else "Tarnell"))
        visit = made.picked(tree, 20, 4, total=100)
        made.keep(made.phone.number(visit, 10, "sting"))
    made.untreated(*trees)
    made.job("granulovirus", *trees, minutes=60, cost=8)
    made.drops(trees[0], 10, 5)
    return made


def report_of(season, **choice):
    """The report of a choice."""
    return season_report(from_entries(season.entries, "2026"), Choice(**choice))


def test_one_cultivar_has_its_own_trees_fruit_and_share_of_the_work(season):
    report = report_of(season, cultivar="Dawnlet")
    assert [line.label for line in report.trees] == ["1", "2"] and report.choice.cultivar == "Dawnlet"
    assert report.mixes[0].picked.trees == 2 and report.scored.sting == 20
    # An hour and 8 on four trees: half of each for two of them.
    [cost] = [one for one in report.costs if one.method == "granulovirus"]
    assert (cost.trees, cost.minutes, cost.money) == (2, 30, 4)


def test_cultivars_by_themselves_add_up_to_the_whole(season):
    parts = [report_of(season, cultivar=name) for name in ("Dawnlet", "Tarnell")]
    whole = report_of(season)
    assert sum(one.scored.clean for one in parts) == whole.scored.clean
    assert sorted(line.tree for one in parts for line in one.trees) == sorted(
        line.tree for line in whole.trees
    )
    minutes = [
        [cost.minutes for cost in one.costs if cost.method == "granulovirus"] for one in (*parts, whole)
    ]
    assert minutes == [[30], [30], [60]]


def test_what_a_garden_had_does_not_hang_on_the_cultivar_that_is_looked_at(season):
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    for day in ("2026-07-10", "2026-07-20", "2026-08-10", "2026-08-20", "2026-09-01"):
        season.job("drops_round", *trees, day=day)
    keys = {line.mix.key for line in report_of(season).mixes}
    assert {line.mix.key for line in report_of(season, cultivar="Tarnell").mixes} == keys


def test_deep_entries_alone_are_fewer_and_leave_what_was_counted_as_it_is(season):
    every, deep = report_of(season), report_of(season, damage=Damage.DEEP)
    # 4 deep entries and 10 stings of 30 fruit.
    assert every.mixes[0].picked.rate == pytest.approx(14 / 30, abs=1e-6)
    assert deep.mixes[0].picked.rate == pytest.approx(4 / 30, abs=1e-6)
    assert deep.scored == every.scored and deep.trees == every.trees


def test_trees_whose_damage_was_not_told_apart_are_named_and_stand_in_no_comparison_of_deep_entries(season):
    tree = season.keep(season.phone.tree(season.garden, "9"))
    season.untreated(tree)
    season.keep(season.phone.number(season.picked(tree, 20, 0), 5, "damaged"))
    deep = report_of(season, damage=Damage.DEEP)
    [warned] = [one for one in deep.warnings if one.code == "NOT_TOLD_APART"]
    assert warned.about == ["9"] and all(line.mix.key != "untreated" for line in deep.mixes)
    assert "NOT_TOLD_APART" not in codes(report_of(season).warnings)


def test_picked_fruit_alone_is_no_complaint_about_drops():
    season = SmallSeason()
    for tree in season.trees(2):
        season.untreated(tree)
        season.picked(tree, 30, 3, total=100)
        season.drops(tree, 10, 5)
    best, picked = report_of(season), report_of(season, fruit=Counted.PICKED)
    assert best.mixes[0].all_fruit and picked.mixes[0].all_fruit is None
    assert picked.mixes[0].picked == best.mixes[0].picked
    assert "DROPS_UNKNOWN" not in codes(picked.mixes[0].warnings)


def test_one_garden_is_named_and_work_shared_with_another_is_shared_out(season):
    other = season.keep(season.phone.garden("Brook"))
    tree = season.keep(season.phone.tree(other, "1"))
    first = next(entry for entry in season.entries if entry.kind == "tree")
    season.job("netting", tree, first, minutes=60)
    report = report_of(season, garden=other.rec)
    assert report.choice.garden == "Brook" and [line.garden for line in report.trees] == ["Brook"]
    assert [(one.method, one.minutes) for one in report.costs] == [("netting", 30)]


def test_a_cultivar_that_nobody_has_is_an_empty_report(season):
    report = report_of(season, cultivar="Nosuch")
    assert report.trees == [] and report.mixes == [] and report.costs == []
