"""When a phone exchanges by itself: times in seconds from its start."""

from __future__ import annotations

import pytest

from mobile.sync.pace import BEGIN, EVERY, LEAST, LONGEST_ASKED, MOST, SOON, Pace


def longest(low: float, high: float) -> float:
    """The draw that lets one wait longest."""
    return high


def shortest(low: float, high: float) -> float:
    """The draw that lets one wait least."""
    return low


def next_due(pace: Pace, after: float) -> float:
    """The first whole second at which it is due."""
    return next(second for second in range(int(after), int(after) + 100_000) if pace.is_due(second)) * 1.0


def test_after_a_start_the_first_exchange_waits_a_little() -> None:
    assert next_due(Pace(0.0), 0) == BEGIN


def test_a_run_of_touches_is_one_exchange() -> None:
    pace = Pace(0.0)
    pace.succeeded(20)
    for second in range(30, 34):
        pace.something_new(second)
    assert next_due(pace, 30) == 30 + SOON


def test_without_news_others_are_heard_from_now_and_then() -> None:
    pace = Pace(0.0)
    pace.succeeded(20)
    assert next_due(pace, 20) == 20 + EVERY


def test_waits_grow_to_a_quarter_of_an_hour_and_no_longer() -> None:
    pace, waits = Pace(0.0, longest), []
    for _ in range(14):
        pace.failed(0)
        waits.append(next_due(pace, 0))
    assert waits[:4] == [4, 8, 16, 32] and waits[-1] == MOST == max(waits)


def test_waits_are_drawn_from_two_seconds_on() -> None:
    pace = Pace(0.0, shortest)
    for _ in range(30):
        pace.failed(0)
        assert next_due(pace, 0) == LEAST


def test_touches_do_not_hurry_a_server_that_does_not_answer() -> None:
    pace = Pace(0.0, longest)
    pace.failed(0)
    pace.failed(0)
    pace.something_new(1)
    assert next_due(pace, 1) == 8


def test_whoever_comes_back_tries_at_once_but_not_before_the_server_asked() -> None:
    pace = Pace(0.0, longest)
    for _ in range(9):
        pace.failed(0)
    pace.back_again(10)
    assert next_due(pace, 10) == 10
    pace.failed(10, asked=120)
    pace.back_again(20)
    assert next_due(pace, 20) == 130


@pytest.mark.parametrize(("asked", "kept"), [(10.0**9, LONGEST_ASKED), (0.0, 4.0), (None, 4.0)])
def test_what_a_server_asks_for_has_a_limit(asked: float | None, kept: float) -> None:
    pace = Pace(0.0, longest)
    pace.failed(0, asked)
    assert next_due(pace, 0) == kept


def test_after_success_all_is_forgotten() -> None:
    pace = Pace(0.0, longest)
    for _ in range(5):
        pace.failed(0)
    pace.succeeded(100)
    pace.something_new(101)
    assert next_due(pace, 101) == 101 + SOON
