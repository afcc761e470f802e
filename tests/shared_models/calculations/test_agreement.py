"""Two scorers on the same fruit."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shared_models.calculations.agreement import agreement
from shared_models.calculations.proportions import wilson

marks = st.sampled_from(["clean", "sting", "deep_entry"])


@pytest.mark.needs_scipy
@settings(deadline=None)
@given(st.lists(st.tuples(marks, marks), min_size=5, max_size=60))
def test_kappa_and_its_error_are_those_of_statsmodels(both):
    from statsmodels.stats.inter_rater import cohens_kappa

    first, second = zip(*both, strict=True)
    found = agreement(first, second)
    if len(set(first)) < 2 or len(set(second)) < 2 or found.kappa_low == found.kappa_high:
        return  # statsmodels divides by nothing there
    words = sorted({*first, *second})
    table = [[sum(1 for pair in both if pair == (one, other)) for other in words] for one in words]
    expected = cohens_kappa(table)
    assert found.kappa == pytest.approx(expected.kappa, abs=1e-9)
    assert found.kappa_low is not None and found.kappa_high is not None
    if found.kappa_low > -1 and found.kappa_high < 1:
        assert (found.kappa_low, found.kappa_high) == pytest.approx(
            (expected.kappa_low, expected.kappa_upp), abs=1e-6
        )


def test_the_share_alike_has_its_wilson_range():
    found = agreement("aaab", "aabb")
    assert (found.equal, found.low, found.high) == (0.75, wilson(3, 4).low, wilson(3, 4).high)


def test_two_who_call_everything_clean_agree_by_chance_alone():
    assert agreement(["clean"] * 20, ["clean"] * 20).kappa is None


@given(st.lists(st.tuples(marks, marks), min_size=1, max_size=30), st.integers())
def test_neither_the_order_of_fruit_nor_who_is_first_matters(both, seed):
    again = random.Random(seed).sample(both, len(both))
    one = agreement([a for a, _ in both], [b for _, b in both])
    other = agreement([b for _, b in again], [a for a, _ in again])
    assert (one.equal, one.kappa) == pytest.approx((other.equal, other.kappa))


def test_other_fruit_cannot_be_compared():
    with pytest.raises(ValueError, match="same fruit"):
        agreement(["clean"], [])
