"""Methods over several trees: the tree is the unit."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.proportions import wilson
from shared_models.calculations.spread import method_rates, shared_spread
from tests.shared_models.calculations.coverage_of_ranges import Season, coverage
from tests.shared_models.calculations.reference_rows import checks, near, vectors


@st.composite
def trees(draw) -> tuple[float, float]:
    scored = draw(st.one_of(st.integers(1, 200), st.floats(0.5, 200)))
    part = draw(st.one_of(st.floats(0, 1), st.sampled_from([0.0, 1.0])))
    return min(scored, part * scored), scored


seasons = st.dictionaries(
    st.sampled_from("ABCDE"), st.lists(trees(), min_size=1, max_size=7), min_size=1, max_size=5
)


def _methods(row):
    return {name: list(zip(one["x"], one["n"], strict=True)) for name, one in row["input"]["methods"].items()}


@pytest.mark.parametrize("row", checks("shared_spread_"))
def test_the_shared_spread_is_that_of_an_independent_program(row):
    given, expected = row["input"], row["expected"]
    spread = shared_spread(_methods(row), given["rho0"], given["d0"])
    if expected["rho_pooled_raw"] is None:
        assert spread.icc_raw is None
    else:
        assert spread.icc_raw == near(row, expected["rho_pooled_raw"])
    assert spread.icc_shared == near(row, expected["rho_shared"])
    assert spread.df == expected["df"]


@pytest.mark.parametrize("row", checks("shared_spread_"))
def test_the_rates_and_ranges_of_methods_are_those_of_an_independent_program(row):
    given = row["input"]
    rates = method_rates(_methods(row), given["rho0"], given["d0"], given["level"])
    assert list(rates) == [expected["name"] for expected in row["expected"]["methods"]]
    for expected in row["expected"]["methods"]:
        assert _in_r_words(rates[expected["name"]]) == near(row, _numbers(expected))


def _in_r_words(rate):
    return {
        "rate": rate.rate,
        "low": rate.low,
        "high": rate.high,
        "rho_own": rate.icc_own,
        "rho_used": rate.icc_used,
        "deff": rate.design_effect,
        "n_eff": rate.effective_fruit,
    }


def _numbers(expected):
    return {name: value for name, value in expected.items() if name != "name"}


# R's survey package estimates the same ratio; its standard error and limits (74 to 95 % coverage with few trees)
# are not used, so only rate and numbers are compared.
@pytest.mark.parametrize("row", checks("ratio_"))
def test_the_rate_is_the_ratio_estimate_of_a_survey_package(row):
    trees = list(zip(row["input"]["x"], row["input"]["n"], strict=True))
    one = method_rates({"all": trees})["all"]
    expected = row["expected"]
    assert (one.trees, one.fruit) == (expected["k"], expected["N"])
    assert one.rate == near(row, expected["rate"])


@pytest.mark.parametrize("row", vectors("design effect 1+(m-1)*rho"))
def test_the_design_effect_of_two_equal_trees(row):
    per_tree, icc = _size_and_icc(row["input"])
    clean = {"clean trees show no spread, so the prior stands": [(0, per_tree)] * 2}
    (one,) = method_rates(clean, prior_icc=icc).values()
    assert f"{one.design_effect:.3f}" == row["value"]
    assert f"{one.fruit:.0f} fruit = {one.effective_fruit:.1f} independent" == row["comment"]


def _size_and_icc(text: str) -> tuple[int, float]:
    fruit, icc = text.split(", rho=")
    return int(fruit.removeprefix("m=").removesuffix(" fruit/tree")), float(icc)


def test_a_single_tree_has_a_range_from_the_prior_and_counts_as_one_tree():
    one = method_rates({"only": [(3, 50)]})["only"]
    assert one.trees == 1
    assert one.icc_used == pytest.approx(0.10)
    assert one.low < wilson(3, 50).low < wilson(3, 50).high < one.high


def test_no_damage_at_all_still_leaves_a_range():
    one = method_rates({"A": [(0, 40), (0, 35)]})["A"]
    assert (one.rate, one.low) == (0, 0)
    assert 0.1 < one.high < 1


def test_everything_damaged_mirrors_no_damage():
    clean = method_rates({"A": [(0, 40), (0, 35)]})["A"]
    spoilt = method_rates({"A": [(40, 40), (35, 35)]})["A"]
    assert (spoilt.low, spoilt.high) == pytest.approx((1 - clean.high, 1))


def test_a_season_without_methods_has_no_rates_and_the_prior_for_its_spread():
    assert method_rates({}) == {}
    spread = shared_spread({})
    assert spread.icc_raw is None
    assert (spread.icc_shared, spread.df) == pytest.approx((0.10, 3))


def test_single_trees_alone_say_nothing_about_spread():
    spread = shared_spread({"A": [(3, 50)], "B": [(10, 50)]})
    assert (spread.icc_raw, spread.df) == (None, 3)


def test_one_method_with_much_spread_does_not_hide_among_others_with_none():
    calm = [(5, 50)] * 12
    wild = [(0, 50), (25, 50), (2, 50)]
    rates = method_rates({"calm": calm, "wild": wild})
    assert rates["wild"].icc_used >= rates["wild"].icc_own > rates["calm"].icc_used


def test_methods_may_be_keyed_by_method_and_stratum():
    rates = method_rates({("bagging", "north"): [(1, 40), (2, 30)], ("bagging", "south"): [(3, 40), (0, 30)]})
    assert set(rates) == {("bagging", "north"), ("bagging", "south")}


@settings(deadline=None)
@given(seasons, st.integers())
def test_the_order_of_trees_and_methods_changes_no_digit(season, seed):
    deal = random.Random(seed)
    names = deal.sample(list(season), len(season))
    shuffled = {name: deal.sample(season[name], len(season[name])) for name in names}
    assert method_rates(shuffled) == method_rates(season)
    assert shared_spread(shuffled) == shared_spread(season)


@settings(deadline=None)
@given(seasons)
def test_ranges_are_ordered_inside_0_to_1_and_hold_their_rate(season):
    for name, one in method_rates(season).items():
        assert 0 <= one.low <= one.rate <= one.high <= 1
        assert one.low < one.high
        assert one.trees == len(season[name])
        assert one.design_effect >= 1
        assert 0 <= one.icc_own <= one.icc_used <= 1
        assert 0 < one.effective_fruit <= one.fruit


@settings(deadline=None)
@given(seasons)
def test_no_method_looks_surer_than_if_its_fruit_were_independent(season):
    for one in method_rates(season).values():
        naive = wilson(min(one.damaged, one.fruit), one.fruit)
        assert one.low <= naive.low + 1e-9
        assert one.high >= naive.high - 1e-9


@settings(deadline=None)
@given(seasons, st.floats(0.5, 0.98))
def test_a_higher_level_is_wider(season, level):
    inner, outer = method_rates(season, level=level), method_rates(season, level=level + 0.015)
    for name in season:
        assert outer[name].low <= inner[name].low + 1e-12
        assert outer[name].high >= inner[name].high - 1e-12


@settings(deadline=None)
@given(seasons, st.floats(0, 0.9))
def test_a_larger_prior_never_narrows_a_range(season, prior):
    small, large = method_rates(season, prior_icc=prior), method_rates(season, prior_icc=prior + 0.1)
    for name in season:
        assert large[name].high - large[name].low >= small[name].high - small[name].low - 1e-12


def test_with_few_trees_shared_ranges_hold_the_truth_where_those_of_independent_fruit_do_not():
    season = Season(trees=3, methods=4, rate=0.12, icc=0.10)
    shares = coverage(season, seasons=150, seed=20260701)
    assert shares.shared >= 0.93
    assert shares.independent <= 0.75


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (
            lambda: method_rates({"A": [(0, 0)]}),
            "At least some fruit must have been scored, not 0 on a tree of the method “A”",
        ),
        (lambda: method_rates({"A": [(0, 30)], "B": []}), "The method “B” has no trees"),
        (lambda: method_rates({"A": [(31, 30)]}), "more damaged fruit"),
        (lambda: method_rates({"A": [(math.nan, 30)]}), "must be 0 or more"),
        (lambda: method_rates({"A": [(1, 30)]}, level=1), "such as 0.95"),
        (lambda: shared_spread({"A": [(1, 30)]}, prior_icc=1.5), "prior intracluster correlation"),
        (lambda: shared_spread({"A": [(1, 30)]}, prior_df=0), "positive number of degrees of freedom"),
    ],
)
def test_impossible_seasons_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence) as refused:
        call()
    assert str(refused.value).endswith(".")
