"""What each tree really had: from jobs and tallies, never from the plan, never from silence."""

import pytest

from tests.shared_models.season.seasons import SmallSeason, codes, keys, mix


@pytest.fixture
def season() -> SmallSeason:
    return SmallSeason()


def test_silence_is_not_recorded_and_takes_part_in_no_comparison(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.picked(tree, 30, 9)
    report = season.report()
    assert report.mixes == [] and report.not_recorded == [tree.rec]
    assert "NOT_RECORDED" in codes(report.warnings)


def test_a_declared_tree_is_untreated_and_a_late_declaration_says_so(season: SmallSeason) -> None:
    early, late = season.trees(2)
    season.untreated(early)
    season.untreated(late, day="2026-09-20")
    season.picked(early, 30, 9)
    season.picked(late, 30, 3)
    report = season.report()
    assert keys(report) == ["untreated"] and mix(report, "untreated").picked.trees == 2
    assert {line.tree: line.after_scoring_began for line in report.untreated} == {
        early.rec: False,
        late.rec: True,
    }
    assert "DECLARED_LATE" in codes(report.warnings)


def test_a_planned_method_that_never_happened_counts_for_nothing(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.keep(
        season.phone.makes(
            "plan_line",
            {"tree": tree.rec, "season": "2026", "methods": ["granulovirus"], "when": "2026-03-01"},
        )
    )
    season.picked(tree, 30, 9)
    assert season.report().not_recorded == [tree.rec]


def test_a_combination_is_a_mix_of_its_own(season: SmallSeason) -> None:
    one, both = season.trees(2)
    season.job("granulovirus", one, both)
    season.job("kaolin_film", both)
    for tree in (one, both):
        season.picked(tree, 30, 3)
    assert keys(season.report()) == ["granulovirus", "granulovirus+kaolin_film"]


def test_a_declared_tree_that_was_sprayed_counts_as_sprayed_and_is_flagged(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.job("granulovirus", tree)
    season.picked(tree, 30, 3)
    report = season.report()
    assert keys(report) == ["granulovirus"] and "DECLARED_BUT_TREATED" in codes(report.warnings)


def test_half_a_job_is_partly_and_named_so(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.job("granulovirus", tree, partly=True)
    season.picked(tree, 30, 3)
    report = season.report()
    assert keys(report) == ["~granulovirus"]
    assert "PARTLY_TREATED" in codes(mix(report, "~granulovirus").warnings)


def test_a_group_may_ask_for_more_than_one_application(season: SmallSeason) -> None:
    once, twice = season.trees(2)
    own = {"key": "granulovirus", "name": "virus", "reach": "tree", "least_times": 2}
    season.keep(season.phone.makes("method", own))
    season.job("granulovirus", once, twice)
    season.job("granulovirus", twice, day="2026-06-09")
    for tree in (once, twice):
        season.picked(tree, 30, 3)
    assert keys(season.report()) == ["granulovirus", "~granulovirus"]


def test_two_jobs_on_one_day_are_one_application(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.keep(
        season.phone.makes(
            "method", {"key": "granulovirus", "name": "virus", "reach": "tree", "least_times": 2}
        )
    )
    season.job("granulovirus", tree)
    season.job("granulovirus", tree)
    season.picked(tree, 30, 3)
    assert keys(season.report()) == ["~granulovirus"]


def test_bare_fruit_beside_bags_is_a_mix_of_its_own_and_never_untreated(season: SmallSeason) -> None:
    bagged, untreated = season.trees(2)
    season.untreated(untreated)
    season.keep(season.phone.visit(bagged, "bagging", when="2026-06-05", took=50, left=13))
    season.picked(bagged, 30, 1, cover="bagged")
    season.picked(bagged, 30, 9, cover="bare")
    season.picked(untreated, 30, 12)
    report = season.report()
    assert keys(report) == ["bagging", "untreated", "|beside_bags"]
    assert mix(report, "untreated").picked.trees == 1
    assert report.tree(bagged.rec).bags_put_on == 37


def test_fruit_of_a_bagged_tree_without_a_part_is_partly_bagged_and_asked_about(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=20, left=0))
    season.picked(tree, 30, 5)
    report = season.report()
    assert keys(report) == ["~bagging"] and "PART_NOT_SAID" in codes(report.warnings)


def test_bags_by_the_box_come_before_marks_and_bags_taken_off_reduce_nothing(season: SmallSeason) -> None:
    boxed, tallied = season.trees(2)
    visit = season.keep(season.phone.visit(boxed, "bagging", when="2026-06-05", took=50, left=13))
    season.keep(season.phone.bag(visit))
    other = season.keep(season.phone.visit(tallied, "bagging", when="2026-06-05"))
    for _ in range(3):
        season.keep(season.phone.bag(other))
    season.keep(season.phone.number(other, 10, source="picked", what="bag"))
    season.job("bags_off", boxed, tallied, day="2026-08-20")
    report = season.report()
    assert report.tree(boxed.rec).bags_put_on == 37 and report.tree(tallied.rec).bags_put_on == 13
    assert report.bags_put_on == 50


def test_drops_rounds_reach_the_garden_and_two_a_month_make_them_whole(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    for day in ("2026-07-05", "2026-07-19", "2026-08-02", "2026-08-16"):
        season.job("drops_round", garden=season.garden.rec, day=day)
    season.picked(tree, 30, 3, day="2026-09-01")
    assert keys(season.report()) == ["drops_round+untreated"]


def test_one_drops_round_in_two_months_is_partly(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.job("drops_round", garden=season.garden.rec, day="2026-07-05")
    season.picked(tree, 30, 3, day="2026-09-01")
    assert keys(season.report()) == ["~drops_round+untreated"]


def test_bags_and_drops_rounds_on_one_tree_are_a_group_of_their_own(season: SmallSeason) -> None:
    """Acceptance fact 23: own group "bags + drops", in neither of the two."""
    (tree,) = season.trees(1)
    season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
    for day in ("2026-07-05", "2026-07-19", "2026-08-02", "2026-08-16"):
        season.job("drops_round", garden=season.garden.rec, day=day)
    season.picked(tree, 30, 1, day="2026-09-01", cover="bagged")
    assert keys(season.report()) == ["bagging+drops_round"]


def test_counting_drops_under_a_tree_does_not_say_what_was_done_to_it(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.drops(tree, 10, 4)
    season.picked(tree, 30, 9)
    assert season.report().not_recorded == [tree.rec]


def test_pruning_says_nothing_about_protection(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.job("pruning", tree)
    season.picked(tree, 30, 9)
    assert season.report().not_recorded == [tree.rec]


def test_an_own_method_that_nobody_described_reaches_the_tree_and_keeps_its_key(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.job("clay_paint", tree)
    season.picked(tree, 30, 9)
    assert keys(season.report()) == ["clay_paint"]


def test_a_left_out_tree_is_listed_with_its_reason_and_in_no_rate(season: SmallSeason) -> None:
    kept, out = season.trees(2)
    season.untreated(kept, out)
    for tree in (kept, out):
        season.picked(tree, 30, 9)
    said = {"tree": out.rec, "season": "2026", "reason": "lightning", "when": "2026-10-01"}
    season.keep(season.phone.makes("left_out", said))
    report = season.report()
    assert mix(report, "untreated").picked.trees == 1
    assert [(line.tree, line.reason, line.after_scoring_began) for line in report.left_out] == [
        (out.rec, "lightning", True)
    ]
    assert "LEFT_OUT_LATE" in codes(report.warnings)


def test_taking_a_left_out_back_brings_the_tree_back(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.picked(tree, 30, 9)
    said = {"tree": tree.rec, "season": "2026", "reason": "lightning", "when": "2026-10-01"}
    made = season.keep(season.phone.makes("left_out", said))
    season.keep(season.phone.undoes(made))
    assert mix(season.report(), "untreated").picked.trees == 1


def test_a_bagging_job_on_a_declared_tree_is_no_untreated_tree(season: SmallSeason) -> None:
    declared, silent = season.trees(2)
    season.untreated(declared)
    season.job("bagging", declared, silent)
    for tree in (declared, silent):
        season.picked(tree, 30, 3)
    report = season.report()
    assert keys(report) == ["~bagging"] and "DECLARED_BUT_TREATED" in codes(report.warnings)


def test_the_untouched_side_of_a_treated_tree_is_not_recorded(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.job("kaolin_film", tree, place="side_north")
    visit = season.scored(tree, 1, 0, "2026-09-10")
    season.entries.pop()
    season.keep(season.phone.number(visit, 30, "clean", place="side_south"))
    report = season.report()
    assert report.mixes == [] and report.not_recorded == [tree.rec]
    assert "NOT_RECORDED" in codes(report.warnings)


def test_a_side_declared_untreated_leaves_the_rest_of_the_tree_not_recorded(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.keep(season.phone.edits(season.entries[-1], place="side_north"))
    season.picked(tree, 30, 3)
    assert season.report().mixes == []


def test_bare_fruit_is_never_untreated_although_the_bags_are_not_shared_yet(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.picked(tree, 30, 9, cover="bare")
    assert keys(season.report()) == ["|beside_bags"]


def test_drops_visits_to_one_tree_of_five_are_no_round_of_the_garden(season: SmallSeason) -> None:
    trees = season.trees(5)
    season.untreated(*trees)
    for day in ("2026-07-05", "2026-07-19", "2026-08-02", "2026-08-16"):
        season.drops(trees[0], 5, 2, day=day)
    season.picked(trees[1], 30, 3, day="2026-09-01")
    assert keys(season.report()) == ["~drops_round+untreated"]


def test_rounds_before_june_drop_and_after_picking_do_not_count(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    for day in ("2026-04-05", "2026-04-19", "2026-10-02", "2026-10-16"):
        season.job("drops_round", garden=season.garden.rec, day=day)
    season.picked(tree, 30, 3, day="2026-09-01")
    assert keys(season.report()) == ["untreated"]


def test_fruit_scored_in_january_does_not_ask_for_rounds_until_then(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    for day in ("2026-07-05", "2026-07-19", "2026-08-02", "2026-08-16"):
        season.job("drops_round", garden=season.garden.rec, day=day)
    season.picked(tree, 30, 3, day="2026-09-01")
    stored = season.keep(season.phone.visit(tree, when="2027-01-20", season="2026"))
    season.keep(season.phone.number(stored, 10, "clean"))
    assert keys(season.report()) == ["drops_round+untreated"]


def test_a_tree_that_was_removed_before_is_not_listed_after_a_job_in_its_garden(season: SmallSeason) -> None:
    gone, stands = season.trees(2)
    season.keep(season.phone.edits(gone, removed_on="2020-11-01", retired=True))
    season.job("kaolin_film", garden=season.garden.rec)
    season.picked(stands, 30, 3)
    assert [line.label for line in season.report().trees] == ["2"]


def test_a_tree_with_drops_only_is_not_called_compared(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.untreated(tree)
    season.drops(tree, 10, 3)
    assert season.report().trees[0].status == "not_scored"


def test_an_own_method_done_in_part_is_called_by_its_own_name(season: SmallSeason) -> None:
    (tree,) = season.trees(1)
    season.keep(season.phone.makes("method", {"key": "garlic_tea", "name": "garlic tea", "reach": "tree"}))
    season.job("garlic_tea", tree, partly=True)
    season.picked(tree, 30, 3)
    (warned,) = [one for one in season.report().mixes[0].warnings if one.code == "PARTLY_TREATED"]
    assert warned.about == ["garlic tea"]


def test_warnings_name_the_garden_where_a_label_stands_in_two(season: SmallSeason) -> None:
    (here,) = season.trees(1)
    other = season.keep(season.phone.garden("Vale"))
    there = season.keep(season.phone.tree(other, "1"))
    for tree in (here, there):
        season.picked(tree, 30, 3)
    (warned,) = [one for one in season.report().warnings if one.code == "NOT_RECORDED"]
    assert warned.about == ["Hill 1", "Vale 1"]
