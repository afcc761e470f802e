"""Holm's adjustment, and what a grade asks for."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.verdict import Evidence, Grade, Missing, graded, holm
from tests.shared_models.calculations.reference_rows import checks, near

FIRM = Evidence(5, 5, False, True, 0.004, 0.012, 0.008, None, -0.30, -0.08, capped=False)


@pytest.mark.parametrize("row", checks("holm_"))
def test_adjusted_p_values_are_those_of_r(row):
    assert holm(row["input"]["p"]) == near(row, row["expected"]["adj"])


@pytest.mark.needs_scipy
@given(st.lists(st.floats(0, 1), min_size=1, max_size=12))
def test_adjusted_p_values_are_those_of_statsmodels(ps):
    from statsmodels.stats.multitest import multipletests

    assert holm(ps) == pytest.approx(list(multipletests(ps, method="holm")[1]), abs=1e-12)


def test_no_family_has_nothing_to_adjust_and_an_impossible_p_is_refused():
    assert holm([]) == []
    with pytest.raises(ValueError, match="between 0 and 1"):
        holm([0.2, 1.2])


def test_everything_holds_and_it_is_firm():
    assert graded(FIRM).grade is Grade.FIRM and graded(FIRM).missing == ()


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"trees_a": 3}, Missing.TREES),
        ({"holm": 0.06}, Missing.HOLM),
        ({"lock": 0.06}, Missing.LOCK),
        ({"lock": None}, Missing.LOCK),
        ({"low": -0.30, "high": 0.01}, Missing.RANGE),
        ({"low": None, "high": None}, Missing.RANGE),
        ({"trees_b": 11, "welch": 0.2}, Missing.WELCH),
        ({"trees_b": 11, "welch": None}, Missing.WELCH),
        ({"holm": None}, Missing.NOT_NAMED),
        ({"capped": True}, Missing.CAPPED),
        ({"paired": True}, Missing.TREES),
    ],
)
def test_each_condition_by_itself_keeps_it_from_being_firm(change, missing):
    found = graded(replace(FIRM, **change))
    assert found.grade is Grade.LEANING and found.missing == (missing,)


@pytest.mark.parametrize("change", [{"trees_a": 2}, {"separated": False}, {"p": 0.06}, {"p": None}])
def test_few_trees_no_separation_and_chance_cannot_tell(change):
    assert graded(replace(FIRM, **change)).grade is Grade.CANT_TELL


def test_twice_as_many_trees_are_not_yet_lopsided():
    assert graded(replace(FIRM, trees_b=10)).grade is Grade.FIRM
    assert graded(replace(FIRM, trees_b=11, welch=0.01)).grade is Grade.FIRM


def test_about_the_same_needs_both_limits_within_five_points_and_trees():
    close = replace(FIRM, p=0.4, low=-0.03, high=0.04)
    assert graded(close).grade is Grade.SAME
    assert graded(replace(close, trees_a=3)).grade is Grade.CANT_TELL
    assert graded(replace(close, high=0.06)).grade is Grade.CANT_TELL
