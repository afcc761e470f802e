"""The geometry of charts: marks stand where the data say, and none covers another or leaves the drawing."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.charts import bars, far_enough_apart, range_mark, round_top, stacked

shares = st.floats(0, 1)


@given(st.tuples(shares, shares, shares).map(sorted))
def test_a_share_stands_where_it_is_on_a_scale_to_one(three):
    low, value, high = three
    mark = range_mark(value, low, high)
    assert (mark.left, mark.at, mark.right) == (low, value, high)


@given(st.tuples(*[st.floats(-1e6, 1e6)] * 3).map(sorted), st.floats(1e-3, 1e6))
def test_nothing_leaves_the_drawing_and_nothing_changes_sides(three, full):
    low, value, high = three
    mark = range_mark(value, low, high, full)
    assert 0 <= mark.left <= mark.at <= mark.right <= 1


@pytest.mark.parametrize("three", [(0.5, 0.6, 0.7), (0.5, 0.1, 0.4), (math.nan, 0, 1), (0.5, 0.1, math.inf)])
def test_a_value_outside_its_range_and_what_is_no_number_are_refused(three):
    with pytest.raises(ValueError):
        range_mark(*three)


@pytest.mark.parametrize("full", [0, -1, math.nan])
def test_a_scale_that_ends_at_nothing_is_refused(full):
    with pytest.raises(ValueError, match="scale ends above 0"):
        range_mark(0, 0, 0, full)


@given(st.lists(shares, max_size=40), st.floats(0.001, 0.5))
def test_stacked_dots_keep_their_place_and_never_cover_each_other(values, apart):
    dots = stacked(values, apart)
    assert [dot.at for dot in dots] == values
    for one, other in combinations(dots, 2):
        assert one.lane != other.lane or abs(one.at - other.at) >= apart * (1 - 1e-9)


@given(st.lists(shares, max_size=40), st.floats(0.001, 0.5))
def test_a_lane_is_only_begun_where_those_below_are_taken(values, apart):
    dots = stacked(values, apart)
    for dot in dots:
        for lane in range(dot.lane):
            assert any(other.lane == lane and abs(other.at - dot.at) < apart for other in dots)


def test_twins_stand_above_each_other():
    assert [dot.lane for dot in stacked([0.2, 0.2, 0.2], apart=0.01)] == [0, 1, 2]


@pytest.mark.parametrize("apart", [0, -0.1])
def test_dots_without_any_distance_are_refused(apart):
    with pytest.raises(ValueError, match="apart"):
        stacked([0.1], apart)


@given(st.lists(st.none() | st.floats(0, 100), min_size=1, max_size=53))
def test_bars_share_the_width_evenly_and_their_heights_are_the_data(heights):
    drawn = bars(heights, top=100)
    assert [bar.height for bar in drawn] == [
        None if height is None else pytest.approx(height / 100) for height in heights
    ]
    assert all(bar.width == pytest.approx(0.8 / len(heights)) for bar in drawn)
    edges = [edge for bar in drawn for edge in (bar.left, bar.left + bar.width)]
    assert edges == sorted(edges) and edges[0] >= 0 and edges[-1] <= 1
    assert edges[0] == pytest.approx(1 - edges[-1])


def test_none_caught_and_not_known_are_told_apart():
    none, unknown = bars([0, None], top=5)
    assert none.height == 0 and unknown.height is None


def test_no_steps_are_no_bars():
    assert bars([], top=1) == []


@pytest.mark.parametrize("filled", [0, -0.5, 1.01])
def test_bars_wider_than_their_step_are_refused(filled):
    with pytest.raises(ValueError, match="step"):
        bars([1], top=1, filled=filled)


@given(st.floats(0, 1e9))
def test_a_scale_ends_at_a_round_number_that_holds_the_largest(largest):
    top = round_top(largest)
    assert top >= largest and (top == 1 or top < 2.5 * largest * (1 + 1e-9))
    assert f"{top:.0f}".rstrip("0") in {"1", "2", "5"}


@pytest.mark.parametrize("largest", [math.nan, math.inf])
def test_no_scale_holds_what_is_no_number(largest):
    with pytest.raises(ValueError, match="cannot be drawn"):
        round_top(largest)


@given(st.lists(shares, max_size=20).map(sorted), st.floats(0.01, 0.5))
def test_labels_that_are_written_are_far_enough_apart_and_the_others_are_too_near(places, apart):
    kept = far_enough_apart(places, apart)
    assert all(places[b] - places[a] >= apart for a, b in pairwise(kept))
    for index, place in enumerate(places):
        before = [each for each in kept if each <= index]
        assert index in kept or place - places[before[-1]] < apart
    assert kept[:1] == ([0] if places else [])
