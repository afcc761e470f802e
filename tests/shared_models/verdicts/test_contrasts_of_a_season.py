"""From entries to verdicts: small seasons told in a few lines, and the one thing that changes each verdict."""

import json
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.verdict import Grade
from shared_models.language import together
from shared_models.report_text import as_text
from shared_models.report_words import methods_of
from shared_models.season.verdict_parts import ContrastLine
from shared_models.verdict_words import verdict_sentence
from tests.shared_models.season.seasons import SmallSeason, codes, report_of


def season_of(
    treated: int = 6,
    untreated: int = 6,
    damaged: tuple[int, int] = (2, 12),
    named: str | None = "2026-08-01",
    cultivars: tuple[str, str] | None = ("Dawnlet", "Dawnlet"),
    declared: str = "2026-05-01",
    step: int = 1,
) -> SmallSeason:
    """Treated trees with so many of 30 damaged, untreated ones with so many; `step` more on every other tree."""
    season = SmallSeason()
    trees = season.trees(treated + untreated)
    if named:
        planned = {"season": "2026", "with_method": "granulovirus", "when": named}
        season.keep(season.phone.makes("planned_contrast", planned))
    for number, tree in enumerate(trees):
        side = 0 if number < treated else 1
        if cultivars:
            season.keep(season.phone.graft(tree, cultivars[side]))
        season.job("granulovirus", tree) if side == 0 else season.untreated(tree, day=declared)
        season.picked(tree, 30, damaged[side] + step * (number % 2), total=100)
    return season


def main_line(season: SmallSeason) -> ContrastLine:
    """The contrast of the method, with and without."""
    return next(line for line in season.report().contrasts if line.key == "with_without:granulovirus")


def test_a_clear_difference_named_before_scoring_is_firm_and_says_what_it_rests_on():
    season = season_of()
    line, report = main_line(season), season.report()
    assert (line.grade, line.missing, line.caps) == (Grade.FIRM, [], [])
    assert line.lock_p is not None and line.lock_p <= 0.05
    sentence = verdict_sentence(line, "2026", methods_of(report))
    assert "had less codling moth damage" in sentence and "6 and 6 trees" in sentence
    assert "Observed this season" in sentence and together("95 % range") in sentence


@pytest.mark.parametrize(
    ("change", "grade", "code"),
    [
        ({"named": None}, Grade.LEANING, "FOUND_AFTERWARDS"),
        ({"named": "2026-09-11"}, Grade.LEANING, "FOUND_AFTERWARDS"),
        ({"treated": 3}, Grade.LEANING, "FEW_TREES"),
        ({"treated": 2}, Grade.CANT_TELL, "FEW_TREES"),
        ({"treated": 1}, Grade.CANT_TELL, "ONE_TREE"),
        ({"cultivars": None}, Grade.LEANING, "CULTIVAR_UNKNOWN"),
        ({"cultivars": ("Dawnlet", "Tarnell")}, Grade.CANT_TELL, "CONFOUNDED_CULTIVAR"),
        ({"declared": "2026-09-20"}, Grade.LEANING, "DECLARED_LATE"),
        ({"damaged": (0, 0)}, Grade.CANT_TELL, None),
        ({"damaged": (0, 12)}, Grade.FIRM, None),
    ],
)
def test_one_thing_missing_says_less_and_says_why(change, grade, code):
    line = main_line(season_of(**change))
    assert line.grade is grade
    assert code is None or code in codes(line.warnings)


def test_fruit_taken_off_on_one_side_is_never_firm():
    season = season_of()
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    season.job("drops_round", *trees[:6], day="2026-08-01", removed_damaged=True)
    assert main_line(season).caps == ["REMOVED_ONE_SIDE"]
    assert main_line(season).grade is Grade.LEANING


def test_a_tree_left_out_after_its_scoring_is_also_counted_in():
    season = season_of()
    tree = next(entry for entry in season.entries if entry.kind == "tree")
    said = {"tree": tree.rec, "season": "2026", "reason": "hail", "when": "2026-09-20"}
    season.keep(season.phone.makes("left_out", said))
    [other] = main_line(season).otherwise
    assert other.how == "with_left_out" and other.difference != main_line(season).difference


def test_nothing_recorded_is_never_the_untreated_side():
    season = season_of(untreated=0)
    silent = season.trees(6)
    for tree in silent:
        season.picked(tree, 30, 12, total=100)
    assert season.report().contrasts == [] or all(not line.side_b.trees for line in season.report().contrasts)
    assert "NO_UNTREATED" in codes(season.report().warnings)


def test_bagged_beside_bare_fruit_is_compared_on_the_same_tree():
    season = SmallSeason()
    planned = {"season": "2026", "with_method": "bagging", "when": "2026-08-01"}
    season.keep(season.phone.makes("planned_contrast", planned))
    for number, tree in enumerate(season.trees(7)):
        season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
        season.picked(tree, 30, number % 2, cover="bagged", total=40)
        season.picked(tree, 30, 9 + number % 3, cover="bare", total=40)
    [line] = [one for one in season.report().contrasts if one.kind == "paired"]
    assert (line.grade, line.side_a.trees, line.missing) == (Grade.FIRM, 7, [])
    assert line.side_a.rate is not None and line.side_b.rate is not None
    assert line.difference == pytest.approx(line.side_a.rate - line.side_b.rate, abs=2e-6)
    assert {"BAG_SELECTION", "MULTIPLE"} <= codes(line.warnings)


def test_hours_that_nobody_noted_are_not_known_and_typed_ones_are_counted():
    season = season_of()
    [cost] = season.report().costs
    assert (cost.minutes, cost.untimed) == (None, 6)
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    season.job("granulovirus", *trees[:6], day="2026-06-12", minutes=60, people=2)
    [cost] = season.report().costs
    assert (cost.minutes, cost.timed, cost.untimed) == (120, 1, 6)
    saved = main_line(season).fruit_saved
    assert saved is not None and saved.at_least and saved.cost == pytest.approx(120 / (600 * 1 / 3), rel=0.01)


def _degenerate() -> dict[str, SmallSeason]:
    made = {name: SmallSeason() for name in ("nothing", "one fruit")}
    one = made["one fruit"].trees(1)[0]
    made["one fruit"].untreated(one)
    made["one fruit"].picked(one, 1, 1)
    return made | {
        "all clean": season_of(damaged=(0, 0), step=0),
        "all damaged": season_of(damaged=(30, 30), step=0),
        "three trees": season_of(2, 1),
        "no untreated": season_of(3, 0),
        "methods never on one cultivar": season_of(cultivars=("A", "B")),
    }


@pytest.mark.parametrize("name", list(_degenerate()))
def test_degenerate_seasons_say_something_sensible(name):
    report = _degenerate()[name].report()
    told, text = report.model_dump_json(), as_text(report)
    assert json.loads(told)["season"] == "2026"
    assert "NaN" not in told and "nan" not in text and "inf" not in text.replace("information", "")
    assert all(line.grade is not Grade.FIRM for line in report.contrasts)


counts = st.lists(st.integers(0, 15), min_size=4, max_size=10)


@settings(max_examples=25, deadline=None)
@given(counts, st.integers(0, 2**32))
def test_order_and_repetition_of_entries_change_no_verdict(damaged, seed):
    season = season_of(len(damaged) // 2, len(damaged) - len(damaged) // 2)
    entries = season.entries + random.Random(seed).choices(season.entries, k=20)
    random.Random(seed).shuffle(entries)
    assert report_of(entries).contrasts == season.report().contrasts


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 12), st.integers(0, 12), st.integers(2, 6))
def test_swapping_the_damage_of_the_sides_mirrors_the_contrast(first, second, trees):
    one = main_line(season_of(trees * 2, trees * 2, (first, second)))
    other = main_line(season_of(trees * 2, trees * 2, (second, first)))
    assert one.difference is not None and one.low is not None and one.high is not None
    assert (other.difference, other.low, other.high) == pytest.approx(
        (-one.difference, -one.high, -one.low), abs=2e-6
    )
    assert (other.p, other.grade) == (one.p, one.grade)


def test_last_seasons_treatment_is_named_where_it_differed():
    season = season_of()
    trees = [entry for entry in season.entries if entry.kind == "tree"]
    assert "CARRY_OVER" not in codes(main_line(season).warnings)
    season.job("granulovirus", trees[0], day="2025-06-01")
    assert "CARRY_OVER" not in codes(main_line(season).warnings)
    season.job("kaolin_film", trees[1], day="2025-06-01")
    season.untreated(trees[2], season="2025", day="2025-05-01")
    [warned] = [one for one in main_line(season).warnings if one.code == "CARRY_OVER"]
    assert warned.about == ["2", "3"] and main_line(season).grade is Grade.FIRM


def test_fruit_that_lost_its_bag_is_counted_in_and_without_it():
    season = SmallSeason()
    for number, tree in enumerate(season.trees(7)):
        season.keep(season.phone.visit(tree, "bagging", when="2026-06-05", took=40, left=0))
        visit = season.picked(tree, 30, number % 2, cover="bagged", total=40)
        season.keep(season.phone.number(visit, 4, "deep_entry", cover="bagged", bag="lost"))
        season.picked(tree, 30, 9 + number % 3, cover="bare", total=40)
    [line] = [one for one in season.report().contrasts if one.kind == "paired"]
    [other] = line.otherwise
    assert other.how == "bag_stayed_on" and line.difference is not None and other.difference is not None
    assert other.difference < line.difference < 0
    assert "Only fruit whose bag stayed on" in as_text(season.report())
