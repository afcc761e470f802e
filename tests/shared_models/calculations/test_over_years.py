"""Several years put together: a tree once, one direction, traps in pairs."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.over_years import one_direction, ratio_over_traps, tree_over_years

counts = st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
traps = st.lists(
    st.tuples(st.integers(0, 300), st.floats(5, 200), st.integers(0, 300), st.floats(5, 200)),
    min_size=2,
    max_size=8,
)


@given(st.lists(counts, min_size=1, max_size=6))
def test_a_tree_of_several_years_is_worth_no_more_fruit_than_were_scored(years):
    damaged, scored = tree_over_years(years)
    assert scored <= sum(n for _, n in years) * (1 + 1e-12)
    assert 0 <= damaged <= scored * (1 + 1e-12)
    assert damaged / scored == pytest.approx(sum(x / n for x, n in years) / len(years))


def test_one_year_stays_as_it_was_counted():
    assert tree_over_years([(7, 31)]) == pytest.approx((7, 31))


@pytest.mark.parametrize("years", [[], [(3, 0)], [(5, 4)], [(-1, 4)]])
def test_impossible_years_are_refused(years):
    with pytest.raises(ValueError):
        tree_over_years(years)


@given(st.lists(st.floats(-1, 1), max_size=5))
def test_the_direction_is_the_same_mirrored(differences):
    assert one_direction(differences) == one_direction([-one for one in differences])


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(given_traps=traps, level=st.floats(0.5, 0.999))
def test_the_ratio_over_traps_is_scipys_paired_t_of_the_logs(scipy_stats, given_traps, level):
    first = [math.log((c + 0.5) / d) for c, d, _, _ in given_traps]
    second = [math.log((c + 0.5) / d) for _, _, c, d in given_traps]
    apart = [b - a for a, b in zip(first, second, strict=True)]
    mean = sum(apart) / len(apart)
    seen = sum((one - mean) ** 2 for one in apart) / (len(apart) - 1) / len(apart)
    single_moths = sum(1 / (a + 0.5) + 1 / (b + 0.5) for a, _, b, _ in given_traps) / len(apart) ** 2
    error = math.sqrt(max(seen, single_moths))
    half = scipy_stats.t.ppf((1 + level) / 2, len(apart) - 1) * error
    found = ratio_over_traps(given_traps, level)
    assert math.log(found.ratio) == pytest.approx(mean, abs=1e-9)
    assert found.low is not None and found.high is not None
    assert (math.log(found.low), math.log(found.high)) == pytest.approx(
        (max(-700, mean - half), min(700, mean + half)), rel=1e-8, abs=1e-9
    )


def test_traps_that_happen_to_agree_are_no_surer_than_moths_that_come_singly():
    found = ratio_over_traps([(20, 90, 10, 90), (20, 90, 10, 90)])
    assert found.low is not None and found.high is not None
    assert found.low < 0.1 and found.high > 1


def test_no_moth_at_all_and_a_level_near_one_is_a_range_without_use_and_no_error():
    found = ratio_over_traps([(0, 5, 0, 200), (0, 200, 0, 5)], level=0.9999)
    assert found.low is not None and found.high is not None and 0 < found.low < 1 < found.high < math.inf


def test_one_trap_alone_has_no_range():
    found = ratio_over_traps([(10, 30, 5, 30)])
    assert (found.low, found.high, found.traps) == (None, None, 1)


@pytest.mark.parametrize("given_traps", [[], [(1, 0, 1, 5)], [(-1, 5, 1, 5)]])
def test_impossible_traps_are_refused(given_traps):
    with pytest.raises(ValueError):
        ratio_over_traps(given_traps)
