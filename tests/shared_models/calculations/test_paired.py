"""Bagged beside bare fruit on the same trees."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.contrasts import difference, fisher_p
from shared_models.calculations.paired import paired_difference, sign_flip_p
from tests.shared_models.calculations.reference_rows import checks, near

counts = st.integers(1, 80).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
pairs = st.lists(st.tuples(counts, counts).map(lambda two: (*two[0], *two[1])), min_size=1, max_size=9)


@pytest.mark.parametrize("row", checks("paired_"))
def test_pairs_are_compared_as_in_r(row):
    found = paired_difference([tuple(tree) for tree in row["input"]["trees"]])
    assert {
        "rd": found.difference, "se": found.standard_error, "df": found.trees - 1, "low": found.low,
        "high": found.high, "p_t": found.p, "p_signflip": found.lock_p,
    } == near(row, row["expected"])  # fmt: skip


def test_one_tree_has_newcombes_range_and_fishers_p_and_no_lock():
    found = paired_difference([(1, 40, 9, 38)])
    alone = difference((1, 40), (9, 38))
    assert (found.low, found.high) == (alone.low, alone.high)
    assert found.p == fisher_p(1, 40, 9, 38)
    assert (found.trees, found.lock_p) == (1, None)


def test_fractions_of_fruit_on_one_tree_are_compared_by_the_score_test():
    assert paired_difference([(1.5, 40, 9, 38)]).p == difference((1.5, 40), (9, 38)).p


@pytest.mark.parametrize("trees", [[(0, 20, 0, 20)] * 7, [(2, 20, 6, 20)] * 7])
def test_trees_that_all_differ_alike_have_no_range(trees):
    found = paired_difference(trees)
    assert (found.low, found.high, found.p) == (None, None, None)


def test_trees_that_happen_to_differ_alike_are_no_surer_than_chance():
    alike = [(0, 20, 4, 20), (0, 20, 4, 20), (0, 30, 6, 29)]
    assert (paired_difference(alike).p or 1) < 0.001  # by the spread that was seen
    careful = paired_difference(alike, at_least_chance=True)
    assert careful.p is not None and careful.p > 0.05
    assert careful.low is not None and careful.low < careful.difference < 0
    bare, n = 14 / 69, (20, 20, 29)
    least = math.sqrt(
        sum((20 * 20 / 40, 20 * 20 / 40, 30 * 29 / 59)[i] ** 2 * bare * (1 - bare) / n[i] for i in range(3))
    )
    assert careful.standard_error == pytest.approx(least / (10 + 10 + 30 * 29 / 59))


@settings(deadline=None)
@given(pairs)
def test_care_never_makes_surer(trees):
    usual, careful = paired_difference(trees), paired_difference(trees, at_least_chance=True)
    assert careful.difference == usual.difference
    if usual.p is not None:
        assert careful.p is not None and careful.p >= usual.p


def test_the_fewer_trees_the_larger_the_smallest_p_of_sign_flips():
    assert [sign_flip_p([(0, 30, 30, 30)] * k) for k in (1, 2, 5, 6)] == [1.0, 0.5, 0.0625, 0.03125]


def test_many_pairs_are_flipped_by_chance_and_very_many_by_moments():
    few, many = (
        [(k % 3, 20, 2 + k % 5, 20) for k in range(16)],
        [(k % 3, 20, 1 + k % 3, 20) for k in range(60)],
    )
    assert 1 / 5000 <= sign_flip_p(few) < 0.01
    assert 0 < sign_flip_p(many) < 1e-6
    assert sign_flip_p([(1, 20, 1, 20)] * 60) == 1.0


@settings(deadline=None)
@given(pairs)
def test_swapping_the_kinds_mirrors_and_the_range_holds_the_difference(trees):
    one = paired_difference(trees)
    other = paired_difference([(x2, n2, x1, n1) for x1, n1, x2, n2 in trees])
    assert other.difference == pytest.approx(-one.difference, abs=1e-12)
    assert other.lock_p == one.lock_p
    if one.low is not None and one.high is not None:
        assert -1 <= one.low <= one.difference <= one.high <= 1
        assert (other.low, other.high) == pytest.approx((-one.high, -one.low), abs=1e-9)


@settings(deadline=None)
@given(pairs)
def test_the_order_of_trees_changes_no_digit(trees):
    assert paired_difference(list(reversed(trees))) == paired_difference(trees)


def test_no_tree_is_refused():
    with pytest.raises(ValueError, match="no tree with both kinds"):
        paired_difference([])
