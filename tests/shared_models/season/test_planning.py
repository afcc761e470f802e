"""What so many trees can show next season: from this season's damage, its likeness, and the number of comparisons."""

import pytest

from shared_models.calculations.sample_size import trees_needed
from shared_models.language import together
from shared_models.planning_words import line_sentence, planning_sentence
from shared_models.report_text import as_text
from shared_models.season.planning import planned
from shared_models.season.report_parts import UsualFrom
from tests.shared_models.season.seasons import SmallSeason
from tests.shared_models.verdicts.test_contrasts_of_a_season import season_of


def test_it_rests_on_the_untreated_trees_where_there_are_any():
    found = season_of().report().next_season
    untreated = next(line for line in season_of().report().mixes if line.mix.untreated)
    assert found.usual_from is UsualFrom.UNTREATED
    assert found.usual == pytest.approx(untreated.picked.rate, abs=1e-6)


def test_without_untreated_trees_it_rests_on_all_and_without_fruit_on_an_assumption():
    season = SmallSeason()
    assert season.report().next_season.usual_from is UsualFrom.ASSUMED
    [tree] = season.trees(1)
    season.job("netting", tree)
    season.picked(tree, 30, 6)
    found = season.report().next_season
    assert found.usual_from is UsualFrom.ALL_TREES and found.usual == pytest.approx(0.2)


def test_more_trees_never_show_less_and_each_is_enough_by_the_formula():
    found = season_of().report().next_season
    told = [line.told_from for line in found.lines if line.told_from is not None]
    assert told and told == sorted(told)
    for line in found.lines:
        if line.told_from is not None:
            told_from = max(0.0, line.told_from - 1e-5)  # it is rounded to six decimals
            needed = trees_needed(found.usual, told_from, found.fruit_per_tree, found.icc, found.comparisons)
            assert needed <= line.trees


def test_more_comparisons_show_less():
    one, four = (planned(0.3, UsualFrom.TYPED, 0.1, 30, many, (12,)).lines[0].told_from for many in (1, 4))
    assert one is not None and four is not None and four < one


def test_what_cannot_be_shown_is_said_and_not_left_out():
    found = planned(0.04, UsualFrom.TYPED, 0.1, 30, 1, (5,))
    assert found.lines[0].told_from is None
    assert "not even no damage at all" in line_sentence(found.lines[0])
    assert together("4.0 % damage") in planning_sentence(found)


def test_the_text_of_a_season_says_it():
    text = as_text(season_of().report())
    assert "Before next season: what so many trees can show" in text and "5 trees: " in text
