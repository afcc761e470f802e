"""Two methods on different trees."""

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.contrasts import (
    difference,
    efficacy,
    fisher_p,
    permutation_p,
    score_p,
    welch_p,
)
from shared_models.calculations.proportions import wilson
from shared_models.calculations.spread import method_rates
from tests.shared_models.calculations.reference_rows import checks, near, vectors

whole_counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
trees = st.lists(whole_counts, min_size=1, max_size=7)


def _counts(row):
    given = row["input"]
    return (given["x1"], given["n1"]), (given["x2"], given["n2"])


@pytest.mark.parametrize("row", checks("newcombe_rd_"))
def test_the_difference_of_two_trees_has_newcombes_range(row):
    found = difference(*_counts(row))
    assert {"rd": found.difference, "low": found.low, "high": found.high} == near(row, row["expected"])


@pytest.mark.parametrize("row", checks("newcombe1998b_5"))
@pytest.mark.parametrize("turned", [False, True])
def test_the_published_ranges_are_those_of_the_paper(row, turned):
    a, b = _counts(row)
    found = difference(b, a) if turned else difference(a, b)
    limits = (-found.high, -found.low) if turned else (found.low, found.high)
    assert limits == near(row, (row["expected"]["low"], row["expected"]["high"]))


@pytest.mark.parametrize(
    "row", [*checks("newcombe1998b_9"), *checks("newcombe1998b_0"), *checks("newcombe1998b_10")]
)
def test_ranges_of_the_paper_at_no_damage_and_nothing_but_damage(row):
    found = difference(*_counts(row))
    assert (found.low, found.high) == near(row, (row["expected"]["low"], row["expected"]["high"]))


@pytest.mark.parametrize("row", vectors("difference of two proportions"))
def test_the_everyday_difference(row):
    found = difference((34, 100), (10, 100))
    assert f"{found.low:.5f}..{found.high:.5f}" == row["value"]
    assert f"{found.difference:.2f}" == row["comment"]


@pytest.mark.parametrize("row", checks("abbott_"))
def test_abbotts_efficacy(row):
    whole = 100 if row["input"]["untreated"] > 1 else 1
    treated, untreated = (row["input"][side] / whole * 1000 for side in ("treated", "untreated"))
    found = efficacy((treated, 1000), (untreated, 1000))
    assert found.percent == near(row, row["expected"]["efficacy_pct"])
    assert found.percent is not None and found.low is not None and found.high is not None
    assert found.low < found.percent < found.high


@pytest.mark.parametrize("row", vectors("Abbott"))
def test_abbott_in_everyday_cases(row):
    shares = {name: float(text.split()[0]) for name, text in _named(row["input"])}
    found = efficacy((shares["T"], 100), (shares["C"], 100))
    if row["value"] == "undefined":
        assert (found.percent, found.low, found.high) == (None, None, None)
    else:
        assert found.percent is not None
        assert f"{found.percent / 100:.5f}" == row["value"]


def _named(text):
    return [part.strip().split("=") for part in text.split(",")]


@pytest.mark.parametrize("row", checks("fisher_"))
def test_fishers_test_is_that_of_r(row):
    (x1, n1), (x2, n2) = _counts(row)
    assert fisher_p(x1, n1, x2, n2) == near(row, row["expected"]["p"])


@pytest.mark.parametrize("row", vectors("Fisher exact"))
def test_the_everyday_fisher_test(row):
    assert f"{fisher_p(10, 100, 34, 100):.6f}" == row["value"]


@pytest.mark.parametrize("row", checks("perm_"))
def test_the_permutation_of_trees_is_that_of_full_enumeration_in_r(row):
    given = row["input"]
    a, b = (list(zip(given[f"x{side}"], given[f"n{side}"], strict=True)) for side in (1, 2))
    assert permutation_p(a, b) == near(row, row["expected"]["p"])


@pytest.mark.parametrize("row", vectors("smallest two-sided p of a label permutation"))
def test_the_smallest_p_that_so_few_trees_can_reach(row):
    trees = int(row["input"].split()[0])
    clean, spoilt = [(0, 50)] * trees, [(50, 50)] * trees
    assert f"{permutation_p(clean, spoilt):.4f}" == row["value"]


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(whole_counts, whole_counts)
def test_fishers_test_agrees_with_scipy(one, other):
    from scipy.stats import fisher_exact

    (x1, n1), (x2, n2) = one, other
    expected = fisher_exact([[x1, n1 - x1], [x2, n2 - x2]]).pvalue
    assert fisher_p(x1, n1, x2, n2) == pytest.approx(expected, rel=1e-6, abs=1e-12)


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(*[st.lists(st.floats(0, 1), min_size=2, max_size=8)] * 2)
def test_welchs_test_agrees_with_scipy(one, other):
    from scipy.stats import ttest_ind

    if max(one) - min(one) < 1e-3 or max(other) - min(other) < 1e-3:
        return  # scipy warns of lost precision there
    assert welch_p(one, other) == pytest.approx(ttest_ind(one, other, equal_var=False).pvalue, rel=1e-8)


@pytest.mark.needs_scipy
@pytest.mark.parametrize(
    ("one", "other"), [((34, 100), (10, 100)), ((5, 56), (0, 29)), ((37, 412), (88, 390))]
)
def test_the_score_test_of_independent_fruit_agrees_with_statsmodels(one, other):
    from statsmodels.stats.proportion import proportions_ztest

    _, expected = proportions_ztest([one[0], other[0]], [one[1], other[1]])
    assert score_p(one, other) == pytest.approx(expected, rel=1e-9)


def test_welch_needs_two_trees_a_side_and_tells_equal_from_certain():
    assert welch_p([0.1], [0.2, 0.3]) is None
    assert welch_p([0.0, 0.0], [0.0, 0.0]) == 1.0
    assert welch_p([0.0, 0.0], [1.0, 1.0]) == 0.0


@settings(deadline=None)
@given(trees, trees)
def test_the_limits_of_efficacy_are_where_a_weighted_difference_could_be_none(a_trees, b_trees):
    """Donner and Zou's closed form against its definition: θ where the range of pA - θ·pB touches 0."""
    rates = method_rates({"a": a_trees, "b": b_trees})
    a, b = rates["a"], rates["b"]
    found = efficacy(a, b)
    if found.low is None or found.high is None:
        return

    def low_end(theta):
        return a.rate - theta * b.rate - math.hypot(a.rate - a.low, theta * (b.high - b.rate))

    ratio = 1 - found.high / 100
    assert low_end(ratio) == pytest.approx(0, abs=1e-7)
    if math.isfinite(found.low):
        top = 1 - found.low / 100
        high_end = a.rate - top * b.rate + math.hypot(a.high - a.rate, top * (b.rate - b.low))
        assert high_end == pytest.approx(0, abs=1e-6 * max(1, top))


def test_efficacy_has_no_lower_limit_where_the_untreated_may_be_clean():
    rates = method_rates({"a": [(0, 30), (1, 30)], "b": [(1, 30), (0, 30)]})
    low = efficacy(rates["a"], rates["b"]).low
    assert low is not None and low < -1000
    assert efficacy(rates["a"], replace(rates["b"], low=0.0)).low == -math.inf


@settings(deadline=None)
@given(trees, trees)
def test_swapping_the_methods_mirrors_everything(a_trees, b_trees):
    rates = method_rates({"a": a_trees, "b": b_trees})
    one, other = difference(rates["a"], rates["b"]), difference(rates["b"], rates["a"])
    assert (other.difference, other.low, other.high) == (-one.difference, -one.high, -one.low)
    assert one.p == other.p
    assert permutation_p(a_trees, b_trees) == permutation_p(b_trees, a_trees)


@settings(deadline=None, max_examples=40)
@given(trees, trees, st.integers())
def test_relabelling_trees_changes_no_digit(a_trees, b_trees, seed):
    deal = random.Random(seed)
    again = deal.sample(a_trees, len(a_trees)), deal.sample(b_trees, len(b_trees))
    assert permutation_p(*again) == permutation_p(a_trees, b_trees)


@settings(deadline=None)
@given(trees, trees)
def test_the_range_holds_the_difference_and_stays_within_one(a_trees, b_trees):
    rates = method_rates({"a": a_trees, "b": b_trees})
    found = difference(rates["a"], rates["b"])
    assert -1 - 1e-9 <= found.low <= found.difference <= found.high <= 1 + 1e-9
    assert found.low < found.high and 0 <= found.p <= 1


def test_of_no_damage_at_all_nothing_is_different_and_much_still_possible():
    rates = method_rates({"a": [(0, 30)] * 4, "b": [(0, 30)] * 4})
    found = difference(rates["a"], rates["b"])
    assert (found.difference, found.p) == (0, 1)
    assert found.high == -found.low > 0.1


def test_two_single_trees_are_compared_by_their_own_wilson_ranges():
    found = difference((3, 50), (0, 40))
    assert found.high == pytest.approx(3 / 50 + math.hypot(wilson(3, 50).high - 3 / 50, 0))


@pytest.mark.parametrize("counts", [(5, 4), (-1, 4), (0, 0)])
def test_impossible_counts_are_refused_with_a_sentence(counts):
    with pytest.raises(ValueError, match=r"\.$"):
        difference(counts, (1, 2))
