"""Picks, samples, drops and removed fruit: what a rate rests on, and which damage is the headline."""

import pytest

from tests.shared_models.season.seasons import SmallSeason, codes, mix


@pytest.fixture
def season() -> SmallSeason:
    return SmallSeason()


@pytest.fixture
def untreated_tree(season: SmallSeason):
    (tree,) = season.trees(1)
    season.untreated(tree)
    return tree


def test_eight_of_eighty_picked_and_thirty_of_forty_drops_show_both_rates(season, untreated_tree) -> None:
    """Acceptance fact 21: 31.7 % with drops, 10.0 % without, both shown (own arithmetic; EPPO PP 1/7 includes drops, from memory)."""
    season.drops(untreated_tree, 40, 30)
    season.picked(untreated_tree, 80, 8)
    line = season.report().mixes[0]
    assert line.headline == "all_fruit"
    assert line.picked.rate == pytest.approx(0.10) and line.all_fruit.rate == pytest.approx(
        38 / 120, abs=1e-6
    )


def test_a_scored_part_of_the_crop_weighs_as_its_total(season, untreated_tree) -> None:
    """300 picked of which 30 scored with 8, 40 drops with 30: (300·8/30 + 30)/340 = 32.4 %."""
    season.drops(untreated_tree, 40, 30)
    season.picked(untreated_tree, 30, 8, total=300, all_scored="no")
    assert season.report().mixes[0].all_fruit.rate == pytest.approx((300 * 8 / 30 + 30) / 340, abs=1e-6)


def test_two_picks_weigh_by_what_was_picked_and_not_by_what_was_scored(season, untreated_tree) -> None:
    season.picked(untreated_tree, 30, 3, day="2026-09-01", total=100, all_scored="no")
    season.picked(untreated_tree, 30, 9, day="2026-09-20", total=300, all_scored="no")
    assert season.report().mixes[0].picked.rate == pytest.approx(0.25)


def test_without_a_total_the_days_are_pooled_and_no_rate_of_all_fruit_is_given(
    season, untreated_tree
) -> None:
    season.drops(untreated_tree, 40, 30)
    season.picked(untreated_tree, 30, 3, day="2026-09-01", all_scored="not_said")
    season.picked(untreated_tree, 10, 5, day="2026-09-20", total=300, all_scored="no")
    line = season.report().mixes[0]
    assert line.picked.rate == pytest.approx(8 / 40) and line.all_fruit is None
    assert "TOTAL_UNKNOWN" in codes(line.warnings)


def test_weight_and_fruit_per_kilogram_give_the_total(season, untreated_tree) -> None:
    season.picked(untreated_tree, 30, 3, all_scored="no", weight_kg=25, fruit_per_kg=6)
    (part,) = season.report().tree(untreated_tree.rec).parts
    assert part.total == 150


def test_a_total_below_what_was_scored_is_raised_and_asked_about(season, untreated_tree) -> None:
    season.picked(untreated_tree, 30, 3, total=20, all_scored="no")
    report = season.report()
    assert report.tree(untreated_tree.rec).parts[0].total == 30
    assert "TOTAL_LESS_THAN_SCORED" in codes(report.warnings)


def test_a_total_for_a_tree_scored_in_parts_is_not_divided(season) -> None:
    (tree,) = season.trees(1)
    season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
    pick = season.keep(season.phone.pick(tree, when="2026-09-10", total=100, all_scored="no"))
    season.scored(tree, 20, 1, "2026-09-10", cover="bagged", pick=pick)
    season.scored(tree, 20, 6, "2026-09-10", cover="bare", pick=pick)
    report = season.report()
    assert [part.total for part in report.tree(tree.rec).parts] == [None, None]
    assert "TOTAL_UNKNOWN" in codes(mix(report, "bagging").warnings)


def test_two_picks_of_one_tree_part_and_day_add_and_are_shown_for_a_look(season, untreated_tree) -> None:
    season.picked(untreated_tree, 20, 2, total=100, all_scored="no")
    season.picked(untreated_tree, 20, 2, total=50, all_scored="no")
    report = season.report()
    assert report.tree(untreated_tree.rec).parts[0].total == 150
    assert "SEVERAL_PICKS_A_DAY" in codes(report.warnings)


def test_stored_fruit_scored_in_january_belongs_to_its_pick(season, untreated_tree) -> None:
    pick = season.keep(season.phone.pick(untreated_tree, when="2026-09-10", total=100, all_scored="no"))
    visit = season.keep(season.phone.visit(untreated_tree, when="2027-01-15", pick=pick.rec, season="2026"))
    season.keep(season.phone.number(visit, 30, "clean"))
    (part,) = season.report().tree(untreated_tree.rec).parts
    assert part.days == ["2026-09-10"] and part.total == 100


def test_not_sure_stands_outside_the_rate_and_warns_above_a_tenth(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 20, 5, "2026-09-10")
    season.keep(season.phone.number(visit, 4, "not_sure"))
    report = season.report()
    assert report.mixes[0].picked.rate == pytest.approx(0.25) and report.scored.not_sure == 4
    assert "MUCH_NOT_SURE" in codes(report.warnings)


def test_the_worst_codling_moth_mark_of_a_fruit_counts(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 9, 0, "2026-09-10")
    season.keep(season.phone.mark(visit, "other", "sting"))
    scored = season.report().scored
    assert (scored.sting, scored.other, scored.clean) == (1, 0, 9)


def test_other_marks_are_no_codling_moth_damage_and_stay_in_the_number_scored(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 18, 2, "2026-09-10")
    season.keep(season.phone.number(visit, 2, "other"))
    assert season.report().mixes[0].picked.rate == pytest.approx(0.10)


def test_damage_not_told_apart_withholds_deep_entry_only(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 18, 0, "2026-09-10")
    season.keep(season.phone.number(visit, 2, "damaged"))
    line = season.report().mixes[0]
    assert line.picked.rate == pytest.approx(0.10) and line.picked_deep is None


def test_from_to_counts_as_its_middle_and_is_marked_an_estimate(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 20, 0, "2026-09-10")
    span = {"visit": visit.rec, "low": 8, "high": 12, "marks": ["deep_entry"], "source": "picked"}
    season.keep(season.phone.makes("number", span))
    report = season.report()
    assert report.scored.deep_entry == 10 and "ESTIMATED" in codes(report.warnings)


def test_an_adjustment_corrects_a_tally_by_a_difference_and_never_below_none(season, untreated_tree) -> None:
    visit = season.scored(untreated_tree, 20, 10, "2026-09-10")
    season.keep(season.phone.adjustment(visit, -4, "deep_entry"))
    assert season.report().scored.deep_entry == 6
    season.keep(season.phone.adjustment(visit, -40, "deep_entry"))
    assert season.report().scored.deep_entry == 0


def test_june_drop_is_not_counted(season, untreated_tree) -> None:
    season.drops(untreated_tree, 50, 1, day="2026-06-20")
    season.picked(untreated_tree, 30, 3)
    report = season.report()
    assert [part.source for part in report.tree(untreated_tree.rec).parts] == ["picked"]
    assert report.mixes[0].headline == "picked"


def test_a_drops_visit_that_found_none_makes_drops_recorded(season, untreated_tree) -> None:
    season.keep(season.phone.visit(untreated_tree, "drops", when="2026-08-10", nothing_found=True))
    season.picked(untreated_tree, 30, 3)
    assert season.report().mixes[0].headline == "all_fruit"


def test_one_tree_without_drops_makes_the_whole_mix_picked_only(season) -> None:
    with_drops, without = season.trees(2)
    season.untreated(with_drops, without)
    season.drops(with_drops, 10, 9)
    for tree in (with_drops, without):
        season.picked(tree, 30, 3)
    line = season.report().mixes[0]
    assert line.headline == "picked" and line.all_fruit is None
    assert next(w for w in line.warnings if w.code == "DROPS_UNKNOWN").about == ["2"]


def test_fruit_removed_without_a_number_withholds_the_rate_of_all_fruit(season, untreated_tree) -> None:
    season.drops(untreated_tree, 10, 9)
    season.picked(untreated_tree, 30, 3)
    season.job("thinning", untreated_tree, day="2026-07-10", removed_damaged=True)
    assert season.report().mixes[0].headline == "picked"
    season.scored(untreated_tree, 12, 12, "2026-07-10", round="other", source="removed")
    line = season.report().mixes[0]
    assert line.headline == "all_fruit" and line.all_fruit.rate == pytest.approx((3 + 9 + 12) / 52, abs=1e-6)


def test_none_of_thirty_damaged_may_still_be_up_to_nine_and_a_half_per_cent(season, untreated_tree) -> None:
    """Acceptance fact 20: 9.5 % (1 − 0.05^(1/30); rule of three 10 %: Hanley & Lippman-Hand 1983, from memory)."""
    season.picked(untreated_tree, 30, 0)
    line = season.report().mixes[0]
    assert line.trees[0].at_most == pytest.approx(0.09503, abs=5e-6)
    assert line.trees[0].high == pytest.approx(0.11351, abs=5e-6), "Wilson, stat_vectors.csv 0/30"
    assert "ZERO_DAMAGE" in codes(line.warnings)


def test_two_grafts_of_a_tree_stay_one_tree(season) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    graft = season.keep(season.phone.graft(tree, "Quarrenden"))
    visit = season.scored(tree, 20, 2, "2026-09-10")
    season.keep(season.phone.number(visit, 20, "clean", place=graft.rec))
    line = season.report().mixes[0]
    assert line.picked.trees == 1 and line.picked.scored == 40


def test_entries_made_two_weeks_late_are_counted_and_said(season, untreated_tree) -> None:
    season.picked(untreated_tree, 30, 3, day="2026-08-01")
    late = next(w for w in season.report().warnings if w.code == "LATE_ENTRIES")
    assert late.count >= 2


def test_a_second_helper_who_says_nothing_of_the_total_does_not_take_it_away(season, untreated_tree) -> None:
    season.picked(untreated_tree, 20, 2, total=100, all_scored="no")
    season.picked(untreated_tree, 10, 1, all_scored="not_said")
    report = season.report()
    assert report.tree(untreated_tree.rec).parts[0].total == 100
    assert "SEVERAL_PICKS_A_DAY" not in codes(report.warnings), "the silent pick is no second one"
    season.picked(untreated_tree, 10, 1, all_scored="no")
    assert season.report().tree(untreated_tree.rec).parts[0].total is None


def test_a_pick_of_one_part_counts_although_only_another_part_was_scored(season) -> None:
    (tree,) = season.trees(1)
    season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
    season.keep(season.phone.pick(tree, when="2026-09-10", cover="bagged", total=35))
    season.picked(tree, 20, 6, cover="bare", total=50, all_scored="no")
    totals = {part.cover: part.total for part in season.report().tree(tree.rec).parts}
    assert totals == {"bagged": 35, "bare": 50}


def test_an_adjustment_of_unscored_drops_below_none_still_gives_a_report(season, untreated_tree) -> None:
    visit = season.drops(untreated_tree, 4, 1)
    season.keep(season.phone.adjustment(visit, -3, source="drop"))
    season.picked(untreated_tree, 30, 3)
    (drops,) = [part for part in season.report().tree(untreated_tree.rec).parts if part.source == "drop"]
    assert (drops.total, drops.fruit.not_scored) == (4, 0)


def test_bags_of_one_visit_adjusted_below_none_take_nothing_from_another(season, untreated_tree) -> None:
    season.keep(season.phone.visit(untreated_tree, "bagging", when="2026-06-05", took=50, left=0))
    other = season.keep(season.phone.visit(untreated_tree, "bagging", when="2026-06-06"))
    season.keep(season.phone.bag(other))
    season.keep(season.phone.adjustment(other, -10, source="picked", what="bag"))
    assert season.report().bags_put_on == 50


def test_a_garden_round_that_took_fruit_off_without_numbers_withholds_all_fruit(
    season, untreated_tree
) -> None:
    season.drops(untreated_tree, 10, 3)
    season.picked(untreated_tree, 30, 3)
    season.job("drops_round", garden=season.garden.rec, day="2026-08-01", removed_damaged=True)
    assert season.report().mixes[0].headline == "picked"


def test_a_drops_visit_with_its_only_tap_taken_back_says_nothing(season, untreated_tree) -> None:
    visit = season.keep(season.phone.visit(untreated_tree, "drops", when="2026-08-10"))
    mark = season.keep(season.phone.mark(visit, "damaged", source="drop"))
    season.keep(season.phone.undoes(mark))
    season.picked(untreated_tree, 30, 3)
    assert season.report().mixes[0].headline == "picked"


def test_drops_of_no_side_belong_to_neither_side_that_was_treated_differently(season) -> None:
    (tree,) = season.trees(1)
    season.job("kaolin_film", tree, place="side_north")
    season.job("granulovirus", tree, place="side_south")
    season.drops(tree, 80, 70)
    for side, damaged in (("side_north", 2), ("side_south", 10)):
        pick = season.keep(season.phone.pick(tree, when="2026-09-10", place=side, all_scored="yes"))
        visit = season.keep(season.phone.visit(tree, when="2026-09-10", pick=pick.rec))
        season.keep(season.phone.number(visit, damaged, "sting", place=side))
        season.keep(season.phone.number(visit, 50 - damaged, "clean", place=side))
    assert {line.mix.key: line.headline for line in season.report().mixes} == {
        "kaolin_film+~drops_round": "picked",
        "granulovirus+~drops_round": "picked",
    }


def test_two_picks_between_days_weigh_like_two_picks_on_days(season, untreated_tree) -> None:
    season.picked(untreated_tree, 30, 3, day="2026-09-01/2026-09-05", total=300, all_scored="no")
    season.picked(untreated_tree, 30, 15, day="2026-09-10/2026-09-12", total=30, all_scored="no")
    report = season.report()
    assert report.mixes[0].picked.rate == pytest.approx((300 * 0.1 + 15) / 330, abs=1e-6)
    assert "SEVERAL_PICKS_A_DAY" not in codes(report.warnings)


def test_two_picks_of_unknown_day_given_to_a_season_weigh_each_by_itself(season, untreated_tree) -> None:
    for total, damaged in ((300, 3), (30, 15)):
        pick = season.phone.pick(untreated_tree, when="unknown", season="2026", total=total, all_scored="no")
        visit = season.phone.visit(untreated_tree, when="unknown", season="2026", pick=pick.rec)
        season.entries += [pick, visit, season.phone.number(visit, damaged, "sting")]
        season.keep(season.phone.number(visit, 30 - damaged, "clean"))
    assert season.report().mixes[0].picked.rate == pytest.approx((300 * 0.1 + 15) / 330, abs=1e-6)


def test_june_drop_between_days_is_not_counted_either(season, untreated_tree) -> None:
    season.drops(untreated_tree, 200, 150, day="2026-06-10/2026-06-20")
    season.picked(untreated_tree, 30, 3)
    assert season.report().mixes[0].headline == "picked"


def test_a_total_by_weight_or_said_to_be_about_is_marked_an_estimate(season) -> None:
    exact, weighed, about = season.trees(3)
    season.untreated(exact, weighed, about)
    season.picked(exact, 30, 3, total=100)
    season.picked(weighed, 30, 3, all_scored="no", weight_kg=25, fruit_per_kg=6)
    season.picked(about, 30, 3, total=100, total_certainty="estimated")
    (warned,) = [one for one in season.report().warnings if one.code == "ESTIMATED"]
    assert warned.about == ["2", "3"]


def test_the_rate_of_all_fruit_counts_the_drops_that_were_scored(season, untreated_tree) -> None:
    season.drops(untreated_tree, 40, 30)
    season.picked(untreated_tree, 30, 0)
    (line,) = season.report().mixes
    assert (line.all_fruit.scored, line.all_fruit.damaged, line.picked.scored) == (70, 30, 30)
    assert "ZERO_DAMAGE" not in codes(line.warnings)
