"""Moths per trap-day, and two traps compared."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.trap_catch import per_week, rate, rate_over_traps, ratio
from tests.shared_models.calculations.reference_rows import checks, near, vectors

catches = st.integers(0, 400)
days = st.floats(0.5, 400)
traps = st.lists(st.tuples(catches, days), min_size=1, max_size=8)


@pytest.mark.parametrize("row", checks("poisson_"))
def test_the_range_of_one_trap_is_that_of_r(row):
    result = rate(row["input"]["count"], row["input"]["trap_days"])
    found = {"rate": result.rate, "low": result.low, "high": result.high}
    assert found == near(row, row["expected"])


@pytest.mark.parametrize("row", checks("poisson2_"))
def test_two_traps_compare_as_in_r(row):
    given = row["input"]
    result = ratio(given["count1"], given["days1"], given["count2"], given["days2"])
    found = {"ratio": result.ratio, "low": result.low, "high": result.high, "p": result.p}
    assert found == near(row, row["expected"])


@pytest.mark.parametrize("row", vectors("moths per trap per week"))
def test_moths_per_trap_and_week(row):
    moths, trap_days = _moths_and_trap_days(row["input"])
    assert f"{per_week(moths, trap_days):.3f}" == row["value"]


def _moths_and_trap_days(text: str) -> tuple[int, int]:
    moths, days, traps = (int(word) for word in text.split() if word.isdigit())
    return moths, days * traps


def test_none_in_a_trap_still_leaves_an_upper_limit_of_3_689_over_the_days():
    # -log(0.025) = 3.689: own arithmetic, the chance of no moth at that mean is 2.5 %.
    assert (rate(0, 14).low, rate(0, 14).high) == pytest.approx((0, 3.688879454 / 14))


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(catch=catches, trap_days=days, level=st.floats(0.5, 0.999))
def test_the_limits_are_those_of_scipys_chi_squared(scipy_stats, catch, trap_days, level):
    result, tail = rate(catch, trap_days, level), (1 - level) / 2
    low = scipy_stats.chi2.ppf(tail, 2 * catch) / 2 / trap_days if catch else 0.0
    high = scipy_stats.chi2.ppf(1 - tail, 2 * catch + 2) / 2 / trap_days
    assert (result.low, result.high) == pytest.approx((low, high), rel=1e-9)


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(st.integers(0, 150), st.floats(1, 200), st.integers(0, 150), st.floats(1, 200))
def test_the_comparison_is_the_exact_binomial_test_of_scipy(scipy_stats, catch1, days1, catch2, days2):
    if catch1 + catch2 == 0:
        return
    result = ratio(catch1, days1, catch2, days2)
    judge = scipy_stats.binomtest(catch1, catch1 + catch2, days1 / (days1 + days2))
    limits = judge.proportion_ci(0.95, method="exact")
    assert result.p == pytest.approx(judge.pvalue, rel=1e-6)
    assert result.low == pytest.approx(limits.low / (1 - limits.low) * days2 / days1, rel=1e-7)
    if catch2:
        assert result.high == pytest.approx(limits.high / (1 - limits.high) * days2 / days1, rel=1e-7)


def test_one_trap_among_several_is_just_that_trap():
    assert rate_over_traps([(3, 14)]) == rate(3, 14)


def test_traps_that_agree_are_added_up():
    assert rate_over_traps([(10, 14), (11, 14), (9, 14)]) == rate(30, 42)


def test_traps_that_differ_widen_the_range_by_the_formula():
    # Own arithmetic: r = 51/84, chi-squared = 258/17 over 2 df, so φ = 129/17; t(2) = 4.302653, z = 1.959964.
    result = rate_over_traps([(12, 28), (30, 28), (9, 28)])
    divisor = 129 / 17 * (4.302652729911275 / 1.959963984540054) ** 2
    expected = rate(51 / divisor, 84 / divisor)
    assert result.rate == pytest.approx(51 / 84)
    assert (result.low, result.high) == pytest.approx((expected.low, expected.high))
    assert result.low < rate(51, 84).low < rate(51, 84).high < result.high


def test_empty_traps_make_a_rate_of_0_with_an_upper_limit():
    assert rate_over_traps([(0, 7), (0, 7)]) == rate(0, 14)


def test_where_one_trap_caught_nothing_the_ratio_is_open_to_one_side():
    assert ratio(3, 10, 0, 10).ratio == math.inf == ratio(3, 10, 0, 10).high
    assert (ratio(0, 10, 3, 10).ratio, ratio(0, 10, 3, 10).low) == (0, 0)


def test_where_neither_caught_anything_there_is_no_ratio():
    nothing = ratio(0, 10, 0, 10)
    assert (nothing.ratio, nothing.low, nothing.high, nothing.p) == (None, 0, math.inf, 1)


@settings(deadline=None)
@given(traps, st.integers())
def test_the_order_of_traps_changes_no_digit(traps, seed):
    shuffled = random.Random(seed).sample(traps, len(traps))
    assert rate_over_traps(shuffled) == rate_over_traps(traps)


@settings(deadline=None)
@given(traps)
def test_a_range_holds_its_rate_and_is_never_narrower_than_by_chance_alone(traps):
    result = rate_over_traps(traps)
    alone = rate(sum(c for c, _ in traps), math.fsum(d for _, d in traps))
    assert 0 <= result.low <= result.rate * (1 + 1e-12)
    assert result.rate < result.high
    assert result.low <= alone.low * (1 + 1e-12)
    assert result.high >= alone.high * (1 - 1e-12)


@settings(deadline=None)
@given(catches, days)
def test_one_more_moth_raises_all_three_figures(catch, trap_days):
    fewer, more = rate(catch, trap_days), rate(catch + 1, trap_days)
    assert fewer.rate < more.rate and fewer.low < more.low and fewer.high < more.high


@settings(deadline=None)
@given(st.integers(1, 100), days, st.integers(1, 100), days)
def test_swapping_the_two_traps_turns_the_ratio_over(catch1, days1, catch2, days2):
    one, other = ratio(catch1, days1, catch2, days2), ratio(catch2, days2, catch1, days1)
    assert one.ratio is not None and other.ratio is not None
    assert one.low < one.ratio < one.high
    assert [one.ratio, one.low, one.high] == pytest.approx(
        [1 / other.ratio, 1 / other.high, 1 / other.low], rel=1e-9
    )
    assert one.p == pytest.approx(other.p, rel=1e-6)
    assert 0 < one.p <= 1


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: rate(3, 0), "needs days on which a trap hung"),
        (lambda: per_week(3, 0), "needs days on which a trap hung"),
        (lambda: per_week(3, math.nan), "needs days on which a trap hung"),
        (lambda: rate(-1, 7), "0 moths or more"),
        (lambda: rate(math.nan, 7), "0 moths or more"),
        (lambda: rate(1, 7, level=0), "such as 0.95"),
        (lambda: rate_over_traps([]), "no trap"),
        (lambda: rate_over_traps([(1, 7), (2, 0)]), "needs days on which a trap hung"),
        (lambda: rate_over_traps([(1, 7), (20, 7)], level=2), "such as 0.95"),
        (lambda: ratio(1.5, 7, 2, 7), "whole numbers of moths"),
        (lambda: ratio(1, 7, 2, 0), "needs days on which a trap hung"),
    ],
)
def test_impossible_catches_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence) as refused:
        call()
    assert str(refused.value).endswith(".")
