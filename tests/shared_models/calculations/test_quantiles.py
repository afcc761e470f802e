"""Quantiles against scipy, against R's exact intervals, and against their own meaning."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.quantiles import (
    beta_cdf,
    beta_quantile,
    chi_squared_quantile,
    normal_cdf,
    normal_quantile,
    t_cdf,
    t_quantile,
)
from tests.shared_models.calculations.reference_rows import checks, near

SHARES = [1e-6, 1e-4, 0.005, 0.025, 0.2, 0.49, 0.5, 0.51, 0.8, 0.95, 0.975, 0.99875, 1 - 1e-4, 1 - 1e-6]
SHAPES = [0.1, 0.5, 1, 1.7, 3, 12, 60.5, 500, 10_000]

share = st.floats(1e-6, 1 - 1e-6)
shape = st.floats(-1, 4).map(lambda power: 10.0**power)
t_df = st.floats(0, 6).map(lambda power: 10.0**power)
chi_df = st.floats(math.log10(0.5), 5).map(lambda power: 10.0**power)


def exactly(expected: float) -> Any:
    """Relative 1e-9; the absolute part is for t near 0, where scipy itself is off by 1e-10 (4 degrees of freedom)."""
    return pytest.approx(expected, rel=1e-9, abs=1e-9)


@pytest.mark.needs_scipy
@pytest.mark.parametrize("df", [1, 1.5, 2, 3, 4.7, 10, 28, 100, 333.3, 10_000, 1e6])
def test_t_agrees_with_scipy(scipy_stats, df):
    for p in SHARES:
        assert t_quantile(p, df) == exactly(scipy_stats.t.ppf(p, df))
    for t in [-300, -12, -2, -0.4, 0, 1e-3, 1.2, 3, 40]:
        assert t_cdf(t, df) == pytest.approx(scipy_stats.t.cdf(t, df), rel=1e-9)


@pytest.mark.needs_scipy
@pytest.mark.parametrize("df", [0.5, 0.8, 1, 2, 3.3, 10, 47, 100, 1000, 20_002, 1e5])
def test_chi_squared_agrees_with_scipy(scipy_stats, df):
    for p in SHARES:
        assert chi_squared_quantile(p, df) == pytest.approx(scipy_stats.chi2.ppf(p, df), rel=1e-9)


@pytest.mark.needs_scipy
@pytest.mark.parametrize("a", SHAPES)
@pytest.mark.parametrize("b", SHAPES)
def test_beta_agrees_with_scipy(scipy_stats, a, b):
    for p in SHARES:
        assert beta_quantile(p, a, b) == pytest.approx(scipy_stats.beta.ppf(p, a, b), rel=1e-9, abs=0)
    for x in [1e-9, 1e-4, 0.1, 0.5, 0.77, 0.999]:
        assert beta_cdf(x, a, b) == pytest.approx(scipy_stats.beta.cdf(x, a, b), rel=1e-9, abs=1e-300)


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(p=share, df=t_df, half_df=chi_df, a=shape, b=shape)
def test_any_quantile_in_the_range_used_agrees_with_scipy(scipy_stats, p, df, half_df, a, b):
    assert t_quantile(p, df) == exactly(scipy_stats.t.ppf(p, df))
    assert chi_squared_quantile(p, half_df) == pytest.approx(
        scipy_stats.chi2.ppf(p, half_df), rel=1e-9, abs=0
    )
    assert beta_quantile(p, a, b) == pytest.approx(scipy_stats.beta.ppf(p, a, b), rel=1e-9, abs=0)


@pytest.mark.needs_scipy
@pytest.mark.parametrize("z", [-38, -8, -1.96, 0, 0.5, 3])
def test_normal_agrees_with_scipy_far_into_the_tail(scipy_stats, z):
    assert normal_cdf(z) == pytest.approx(scipy_stats.norm.cdf(z), rel=1e-12)


@pytest.mark.parametrize("row", checks("clopper_"))
def test_beta_quantile_gives_the_exact_interval_of_r(row):
    x, n = row["input"]["x"], row["input"]["n"]
    low = beta_quantile(0.025, x, n - x + 1) if x else 0.0
    high = beta_quantile(0.975, x + 1, n - x) if x < n else 1.0
    assert {"low": low, "high": high} == near(row, row["expected"])


@pytest.mark.parametrize("row", checks("jeffreys_"))
def test_beta_quantile_gives_the_jeffreys_interval_of_r(row):
    x, n = row["input"]["x"], row["input"]["n"]
    low = beta_quantile(0.025, x + 0.5, n - x + 0.5) if x else 0.0
    high = beta_quantile(0.975, x + 0.5, n - x + 0.5) if x < n else 1.0
    assert {"low": low, "high": high} == near(row, row["expected"])


@pytest.mark.parametrize(
    ("df", "printed"),
    [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (10, 2.228), (30, 2.042), (120, 1.980)],
)
def test_t_quantile_agrees_with_the_printed_tables(df, printed):
    # Two-sided 5 % points as in every textbook's t table (written down from memory).
    assert t_quantile(0.975, df) == pytest.approx(printed, abs=5e-4)


def test_t_with_one_degree_of_freedom_is_the_cauchy_distribution():
    for p in [1e-6, 0.01, 0.3, 0.5 - 1e-10, 0.6, 0.999]:
        assert t_quantile(p, 1) == pytest.approx(math.tan(math.pi * (p - 0.5)), rel=1e-9, abs=0)


def test_chi_squared_with_two_degrees_of_freedom_is_exponential():
    for p in [1e-6, 0.01, 0.3, 0.6, 0.999]:
        assert chi_squared_quantile(p, 2) == pytest.approx(-2 * math.log1p(-p), rel=1e-9)


@settings(deadline=None)
@given(p=share, df=t_df)
def test_t_is_symmetric_and_its_quantile_undoes_its_share(p, df):
    assert t_quantile(p, df) == pytest.approx(-t_quantile(1 - p, df), rel=1e-9, abs=1e-9)
    assert t_cdf(t_quantile(p, df), df) == pytest.approx(p, rel=1e-9)


@settings(deadline=None)
@given(p=share, a=shape, b=shape)
def test_the_beta_quantile_undoes_its_share_and_mirrors(p, a, b):
    x = beta_quantile(p, a, b)
    assert 0 <= x <= 1
    assert beta_quantile(1 - p, b, a) == pytest.approx(1 - x, rel=1e-9, abs=1e-9)
    if 1e-12 < x < 0.99:  # nearer to 1 a float cannot hold the point closely enough
        assert beta_cdf(x, a, b) == pytest.approx(p, rel=1e-9)


@settings(deadline=None)
@given(shares=st.lists(share, min_size=2, max_size=2), df=t_df, a=shape, b=shape)
def test_a_larger_share_never_has_a_smaller_quantile(shares, df, a, b):
    low, high = sorted(shares)
    assert normal_quantile(low) <= normal_quantile(high)
    # Shares that differ in their last digit only may swap within rounding.
    slack = 1 + 1e-12
    assert t_quantile(low, df) <= t_quantile(high, df) + 1e-12 * abs(t_quantile(high, df))
    assert chi_squared_quantile(low, df) <= chi_squared_quantile(high, df) * slack
    assert beta_quantile(low, a, b) <= beta_quantile(high, a, b) * slack


def test_extreme_points_have_an_answer():
    assert t_cdf(1e200, 3) == 1.0
    assert t_cdf(-math.inf, 3) == 0.0
    assert abs(t_quantile(math.nextafter(0.5, 0), 3)) < 1e-15
    assert chi_squared_quantile(1e-4, 0.001) == 0.0
    assert beta_quantile(1e-6, 0.01, 5) == 0.0
    assert (beta_cdf(0, 2, 3), beta_cdf(1, 2, 3)) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: t_quantile(0, 3), "A share must lie between 0 and 1"),
        (lambda: normal_quantile(1), "A share must lie between 0 and 1"),
        (lambda: beta_quantile(math.nan, 1, 1), "A share must lie between 0 and 1"),
        (lambda: t_quantile(0.5, 0), "degrees of freedom of a t distribution must be a positive number"),
        (lambda: t_cdf(math.nan, 3), "must be a number"),
        (lambda: normal_cdf(math.nan), "must be a number"),
        (lambda: chi_squared_quantile(0.5, math.inf), "chi-squared distribution must be a positive number"),
        (lambda: beta_cdf(1.5, 1, 1), "must lie between 0 and 1"),
        (lambda: beta_cdf(0.5, -1, 1), "first shape"),
        (lambda: beta_quantile(0.5, 1, math.nan), "second shape"),
    ],
)
def test_what_cannot_be_answered_is_refused_in_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence) as refused:
        call()
    assert str(refused.value).endswith(".")
