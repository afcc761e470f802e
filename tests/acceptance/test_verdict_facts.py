"""Facts of the statistics that an expert would try, each through records, server and report.

18  34 of 100 bare and 10 of 100 bagged damaged: efficacy 70.6 %, difference 24 points (Abbott 1925; own arithmetic)
19  none damaged on untreated trees: efficacy cannot be computed (definition of Abbott)
22  two trees with bags, two without, 50 fruit each: no verdict (smallest permutation p 1/3), each tree shown
"""

from collections.abc import Callable, Sequence

import pytest

from mobile.workflows import first_start, trees
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.tally import Part
from mobile.workflows.tree_plans import declare_untreated
from shared_models.calculations.tree_permutations import permutation_p
from shared_models.calculations.verdict import Grade, Missing
from shared_models.language import together
from shared_models.report_text import as_text
from shared_models.season.verdict_parts import ContrastLine
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import Cover
from tests.acceptance.conftest import Helper
from tests.acceptance.test_acceptance_facts import from_the_server, score

FIVE_AND_FIVE = [7, 7, 7, 7, 6], [2] * 5  # of 20 fruit on each tree: 34 of 100 and 10 of 100


@pytest.fixture
def keeper(helper: Callable[[str], Helper]) -> Helper:
    return helper("Ada")


def bags_against_none(
    keeper: Helper, bare: Sequence[int], bagged: Sequence[int], fruit: int
) -> tuple[ContrastLine, str]:
    """Trees with bags and trees left untreated, so many damaged on each; what the server says of them."""
    garden = first_start.name_garden(keeper.store, "Hill (invented)", Hemisphere.NORTH).garden
    made = [
        trees.add_tree(keeper.store, str(number), garden).trees[0]
        for number in range(len(bare) + len(bagged))
    ]
    without, with_bags = made[: len(bare)], made[len(bare) :]
    keeper.goes_to("2026-06-05")
    declare_untreated(keeper.store, without, season="2026")
    for tree in with_bags:
        visit = BaggingRound(keeper.store).open(tree)
        visit.took(fruit)
        visit.done()
    keeper.goes_to("2026-09-10")
    for tree, damaged in zip(without, bare, strict=True):
        score(keeper, tree, clean=fruit - damaged, damaged=damaged)
    for tree, damaged in zip(with_bags, bagged, strict=True):
        score(keeper, tree, clean=fruit - damaged, damaged=damaged, part=Part(cover=Cover.BAGGED))
    report = from_the_server(keeper)
    [line] = [one for one in report.contrasts if one.key == "with_without:bagging"]
    return line, as_text(report)


def test_fact_18_of_34_bare_and_10_bagged_seventy_of_a_hundred_are_prevented(keeper: Helper) -> None:
    line, text = bags_against_none(keeper, *FIVE_AND_FIVE, 20)
    assert line.efficacy is not None and line.efficacy.percent == pytest.approx(70.588, abs=0.001)
    assert line.difference == pytest.approx(-0.24, abs=1e-6)
    assert together("about 71 % was prevented") in text and "difference −24.0 points" in text


def test_fact_19_without_damage_on_untreated_trees_nothing_is_said_to_be_prevented(keeper: Helper) -> None:
    line, text = bags_against_none(keeper, [0] * 5, [0, 1, 0, 0, 0], 20)
    assert line.efficacy is None and "was prevented" not in text
    assert line.difference == pytest.approx(0.01, abs=1e-6)


def test_fact_22_two_trees_against_two_bear_no_verdict_and_are_shown_one_by_one(keeper: Helper) -> None:
    line, text = bags_against_none(keeper, [25, 24], [2, 1], 50)
    assert line.grade is Grade.CANT_TELL and Missing.TREES in line.missing
    assert permutation_p([(2, 50), (1, 50)], [(25, 50), (24, 50)]) == pytest.approx(1 / 3)
    assert "Too few trees." in text
    for told in (
        together("50.0 % damaged, likely"),
        together("48.0 % damaged, likely"),
        together("4.0 % damaged, likely"),
        together("2.0 % damaged, likely"),
    ):
        assert told in text
