"""Minutes of people, and of each fruit saved."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.costs import Session, per_fruit_saved, worked

spans = st.lists(st.tuples(st.integers(0, 600), st.integers(0, 120)), max_size=8)


@given(spans)
def test_overlaps_count_once_as_minute_by_minute(made):
    sessions = [Session(start, start + long) for start, long in made]
    minutes = {minute for start, long in made for minute in range(start, start + long)}
    found = worked(sessions)
    assert found.minutes == pytest.approx(len(minutes))
    assert len(found.each) == len(sessions) and min(found.each, default=0) >= 0


@given(spans, st.integers())
def test_the_order_of_sessions_changes_nothing(made, seed):
    sessions = [Session(start, start + long if long else None) for start, long in made]
    again = worked(random.Random(seed).sample(sessions, len(sessions)))
    assert again.minutes == worked(sessions).minutes and sorted(again.each) == sorted(worked(sessions).each)


def test_a_session_that_was_never_ended_lasts_a_quarter_of_an_hour_at_most():
    found = worked([Session(0, None), Session(60, 70)])
    assert (found.minutes, found.each, found.open_ends) == (25, (15, 10), 1)


def test_it_lasts_until_the_next_one_where_that_comes_sooner():
    assert worked([Session(0, None), Session(5, 10)]).minutes == 10


def test_nothing_done_is_no_minute():
    assert worked([]).minutes == 0


def test_an_end_before_the_beginning_is_refused():
    with pytest.raises(ValueError, match="before it begins"):
        worked([Session(10, 5)])


def test_no_fruit_saved_has_no_cost_and_no_upper_limit():
    found = per_fruit_saved(60, 100, -0.05, -0.2, 0.1)
    assert (found.cost, found.low, found.high) == (None, 6.0, math.inf)
    assert per_fruit_saved(60, 100, -0.2, -0.3, -0.1).low == math.inf


@pytest.mark.parametrize("wrong", [(-1, 100), (60, 0), (math.inf, 100)])
def test_an_impossible_cost_is_refused(wrong):
    with pytest.raises(ValueError, match="cost"):
        per_fruit_saved(wrong[0], wrong[1], 0.1, 0.05, 0.2)
