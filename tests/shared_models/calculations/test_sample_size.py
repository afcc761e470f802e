"""How many trees, and what more would tell."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.sample_size import (
    clusters_needed,
    detectable,
    fruit_needed,
    narrowed,
    trees_needed,
)
from shared_models.calculations.spread import method_rates
from tests.shared_models.calculations.reference_rows import checks, near


@pytest.mark.parametrize("row", checks("samplesize_"))
def test_fruit_and_trees_are_those_of_r(row):
    given, expected = row["input"], row["expected"]
    shares = given["p1"], given["p2"]
    assert fruit_needed(*shares, power=given["power"]) == near(row, expected["fruit_per_method_independent"])
    bare = clusters_needed(*shares, given["m"], given["rho"], power=given["power"])
    assert bare == expected["trees_per_method"]
    assert trees_needed(*shares, given["m"], given["rho"], power=given["power"]) == max(5, bare + 2)


@pytest.mark.needs_scipy
def test_the_normal_formula_is_near_that_of_statsmodels():
    from statsmodels.stats.power import NormalIndPower
    from statsmodels.stats.proportion import proportion_effectsize

    by_angles = NormalIndPower().solve_power(proportion_effectsize(0.25, 0.08), alpha=0.05, power=0.8)
    assert fruit_needed(0.25, 0.08) == pytest.approx(by_angles, rel=0.08)


def test_several_comparisons_and_more_likeness_need_more_trees():
    one = trees_needed(0.25, 0.08, 30, 0.10)
    assert trees_needed(0.25, 0.08, 30, 0.10, comparisons=4) > one < trees_needed(0.25, 0.08, 30, 0.20)


def test_less_likeness_than_five_in_a_hundred_is_not_believed():
    assert trees_needed(0.25, 0.08, 30, 0.0) == trees_needed(0.25, 0.08, 30, 0.05)


def test_fruit_without_end_do_not_replace_trees():
    assert trees_needed(0.2, 0.1, 100_000, 0.10) >= fruit_needed(0.2, 0.1) * 0.10


@given(st.floats(0.05, 1), st.integers(2, 60), st.integers(5, 100))
def test_what_is_detectable_is_what_so_many_trees_need(p1, trees, fruit):
    found = detectable(p1, trees, fruit, 0.1)
    if found is None:
        assert trees_needed(p1, 0.0, fruit, 0.1) > trees
    else:
        assert trees_needed(p1, found, fruit, 0.1) <= trees


def test_the_range_now_is_that_of_the_method():
    trees = [(3, 30), (8, 40), (0, 25), (5, 30)]
    one = method_rates({"A": trees})["A"]
    width = narrowed(one.rate, [n for _, n in trees], one.icc_used, one.df).now
    assert width == pytest.approx(one.high - one.low)


@given(st.floats(0, 1), st.lists(st.integers(1, 100), min_size=1, max_size=8), st.floats(0, 1))
def test_more_never_widens(rate, scored, icc):
    for more in ({"more_fruit": 20}, {"more_trees": 2}):
        found = narrowed(rate, scored, icc, 5, **more)
        assert found.then <= found.now * 1.25  # a heavy tree may weigh more; never by much
    nothing = narrowed(rate, scored, icc, 5)
    assert nothing.now == nothing.then


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: trees_needed(0.1, 0.1, 30, 0.1), lambda: trees_needed(0.1, 1.2, 30, 0.1),
        lambda: trees_needed(0.1, 0.2, 0, 0.1), lambda: trees_needed(0.1, 0.2, 30, 0.1, comparisons=0),
        lambda: trees_needed(0.1, 0.2, 30, 0.1, power=1), lambda: narrowed(0.1, [], 0.1, 5),
    ],
)  # fmt: skip
def test_the_impossible_is_refused_with_a_sentence(wrong):
    with pytest.raises(ValueError, match=r"\.$"):
        wrong()
