"""Two methods within strata, put together."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.contrasts import two_sided
from shared_models.calculations.quantiles import normal_quantile
from shared_models.calculations.spread import method_rates
from shared_models.calculations.strata import Stratified, mantel_haenszel, pooled, stratified
from tests.shared_models.calculations.reference_rows import checks, near

Z = normal_quantile(0.975)
counts = st.integers(1, 60).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
cells = st.dictionaries(
    st.tuples(st.sampled_from("AB"), st.sampled_from(["north", "south", "hill"])),
    st.lists(counts, min_size=1, max_size=5),
    min_size=1,
)


def compared(given) -> Stratified:
    """A compared with B where some stratum has both."""
    found = stratified(given, "A", "B")
    assert found is not None
    return found


@pytest.mark.parametrize("row", checks("cmh_"))
def test_pooled_tables_are_those_of_r(row):
    found = mantel_haenszel([tuple(table) for table in row["input"]["strata"]])
    assert found.ratio is not None and found.log_ratio_error is not None
    assert {
        "cmh_chi2": found.chi_squared,
        "cmh_p": two_sided(-math.sqrt(found.chi_squared), math.inf),
        "mh_rr": found.ratio,
        "mh_rr_low": found.ratio * math.exp(-Z * found.log_ratio_error),
        "mh_rr_high": found.ratio * math.exp(Z * found.log_ratio_error),
        "mh_rd": found.difference,
        "mh_rd_se": found.difference_error,
        "mh_rd_low": found.difference - Z * found.difference_error,
        "mh_rd_high": found.difference + Z * found.difference_error,
    } == near(row, {name: row["expected"][name] for name in row["expected"] if _offered(name)})


def _offered(name):
    """Odds ratios, exact tables and the continuity correction are not offered."""
    return not name.startswith(("mh_or", "exact", "cmh_chi2_cc", "cmh_p_cc"))


@pytest.mark.needs_scipy
@pytest.mark.parametrize("row", checks("cmh_"))
def test_the_chi_squared_agrees_with_statsmodels(row):
    import numpy
    from statsmodels.stats.contingency_tables import StratifiedTable

    tables = row["input"]["strata"]
    table = StratifiedTable([numpy.array([[a, n1 - a], [c, n2 - c]], float) for a, n1, c, n2 in tables])
    expected = table.test_null_odds(correction=False).statistic
    assert mantel_haenszel([tuple(one) for one in tables]).chi_squared == pytest.approx(expected, rel=1e-9)


def test_methods_that_share_no_stratum_cannot_be_separated():
    assert stratified({("A", "north"): [(1, 30)], ("B", "south"): [(9, 30)]}, "A", "B") is None


def test_one_stratum_is_the_plain_difference():
    given = {("A", "north"): [(1, 30), (2, 40)], ("B", "north"): [(9, 30), (7, 40)]}
    found, rates = compared(given), method_rates(given)
    assert found == pooled([(rates["A", "north"], rates["B", "north"])])
    assert found.difference == rates["A", "north"].rate - rates["B", "north"].rate


def test_what_differs_between_strata_does_not_pass_for_the_method():
    given = {
        ("A", "early"): [(24, 30)] * 5, ("B", "early"): [(24, 30)],
        ("A", "late"): [(3, 30)], ("B", "late"): [(3, 30)] * 5,
    }  # fmt: skip
    found = compared(given)
    assert found.difference == pytest.approx(0) and found.p == pytest.approx(1)
    assert (found.strata, found.trees_a, found.trees_b) == (2, 6, 6)


def test_no_damage_in_any_stratum_leaves_a_range_open():
    given = {(m, s): [(0, 30)] * 3 for m in "AB" for s in ("north", "south")}
    found = compared(given)
    assert found.p == 1 and found.high == -found.low > 0.05
    assert found.ratio is None and found.ratio_low is None


def test_no_damage_with_one_method_keeps_its_upper_limit():
    given = {("A", s): [(0, 30)] * 3 for s in ("north", "south")} | {
        ("B", s): [(6, 30)] * 3 for s in ("north", "south")
    }
    found = compared(given)
    assert found.ratio == 0 and found.ratio_high is None
    assert found.low < found.difference < found.high < 0


@settings(deadline=None)
@given(cells)
def test_swapping_mirrors_and_the_range_holds_the_difference(given_cells):
    one, other = stratified(given_cells, "A", "B"), stratified(given_cells, "B", "A")
    if one is None:
        assert other is None
        return
    assert other is not None
    assert (other.difference, other.low, other.high) == pytest.approx(
        (-one.difference, -one.high, -one.low), abs=1e-12
    )
    assert one.p == pytest.approx(other.p, abs=1e-12)
    assert -1 - 1e-9 <= one.low <= one.difference <= one.high <= 1 + 1e-9 and one.low < one.high


def test_no_table_is_refused():
    with pytest.raises(ValueError, match="no stratum"):
        mantel_haenszel([])
