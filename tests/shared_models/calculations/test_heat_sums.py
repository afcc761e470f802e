"""Totals over days: complete or not, filled or not, in either unit, over leap days and New Year.

Seattle 2012-2015 is a public record of the United States weather service (see tests/reference/SOURCES.md).
"""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.degree_days import Method, daily, in_fahrenheit_days, to_fahrenheit
from shared_models.calculations.heat_line import HeatLine
from shared_models.calculations.heat_sums import (
    Extremes,
    Filled,
    Reckoning,
    days_of,
    filled_from,
    heat_by_day,
    heat_sum,
    interpolated,
)
from tests.shared_models.calculations.seattle import YEARS, seattle_days, seattle_heat
from tests.strategies import law

IN_FAHRENHEIT = Reckoning(lower=50, upper=88)
# Seven days [°F], computed by the closed form and by numeric integration: 84.538 in all.
WEEK = [(44, 66), (48, 72), (52, 79), (55, 91), (41, 58), (38, 55), (60, 95)]
EACH = [6.370, 10.247, 15.500, 22.629, 2.460, 1.188, 26.143]
FIRST = date(2026, 5, 1)


def week(*without: int) -> dict[date, Extremes]:
    """The seven days but for some."""
    return {FIRST + timedelta(n): Extremes(*day) for n, day in enumerate(WEEK) if n not in without}


def test_seven_days_give_84_538():
    found = heat_sum(week(), FIRST, FIRST + timedelta(6), IN_FAHRENHEIT)
    assert found.total == pytest.approx(84.538, abs=0.0005) and found.complete
    assert list(heat_by_day(week(), IN_FAHRENHEIT).values()) == pytest.approx(EACH, abs=0.0005)


def test_a_missing_day_makes_the_total_incomplete_and_is_named():
    found = heat_sum(week(2, 5), FIRST, FIRST + timedelta(6), IN_FAHRENHEIT)
    assert found.missing == (date(2026, 5, 3), date(2026, 5, 6)) and not found.complete
    assert found.total == pytest.approx(84.538 - 15.500 - 1.188, abs=0.001)


def test_a_double_method_lacks_the_day_before_a_missing_one():
    double = Reckoning(Method.DOUBLE_SINE, lower=50, upper=88)
    found = heat_sum(week(3), FIRST, FIRST + timedelta(5), double)
    assert found.missing == (date(2026, 5, 3), date(2026, 5, 4))


def test_a_double_method_looks_at_the_day_behind_the_last_one():
    double = Reckoning(Method.DOUBLE_SINE, lower=50, upper=88)
    assert heat_sum(week(), FIRST, FIRST + timedelta(5), double).complete
    assert heat_sum(week(), FIRST, FIRST + timedelta(6), double).missing == (date(2026, 5, 7),)


def test_a_second_source_fills_only_what_is_missing_and_is_marked():
    second = {day: Extremes(50, 70) for day in days_of(FIRST, FIRST + timedelta(9))}
    whole = filled_from(week(2), second, FIRST, FIRST + timedelta(6))
    found = heat_sum(whole, FIRST, FIRST + timedelta(6), IN_FAHRENHEIT)
    assert found.filled == (date(2026, 5, 3),) and found.complete
    assert found.total == pytest.approx(84.538 - 15.500 + 10.000, abs=0.001)
    assert whole[FIRST].filled is Filled.MEASURED and FIRST + timedelta(7) not in whole


def test_a_short_gap_is_interpolated_and_a_week_is_not():
    whole = interpolated(week(2), FIRST, FIRST + timedelta(6))
    assert whole[FIRST + timedelta(2)] == Extremes(51.5, 81.5, Filled.INTERPOLATED)
    last = FIRST + timedelta(6)
    assert heat_sum(interpolated(week(1, 2, 3, 4), FIRST, last), FIRST, last).missing == tuple(
        days_of(date(2026, 5, 2), date(2026, 5, 5))
    )


def test_an_end_of_a_series_is_never_interpolated():
    whole = interpolated(week(0, 6), FIRST, FIRST + timedelta(6))
    assert FIRST not in whole and FIRST + timedelta(6) not in whole


@pytest.mark.parametrize("year", YEARS)
def test_a_station_year_is_the_same_in_celsius_and_fahrenheit(year: int):
    first, last = date(year, 1, 1), date(year, 12, 31)
    in_fahrenheit = {
        day: Extremes(to_fahrenheit(low), to_fahrenheit(high))
        for day, (low, high, _) in seattle_days().items()
    }
    celsius = heat_sum(seattle_days(), first, last)
    fahrenheit = heat_sum(
        in_fahrenheit, first, last, Reckoning(lower=to_fahrenheit(10), upper=to_fahrenheit(31.1))
    )
    assert celsius.complete and fahrenheit.complete
    assert in_fahrenheit_days(celsius.total) == pytest.approx(fahrenheit.total, abs=0.01)


def test_a_leap_day_is_a_day_like_any_other():
    spring = heat_sum(seattle_days(), date(2012, 2, 28), date(2012, 3, 1))
    assert spring.complete and len(days_of(spring.first, spring.last)) == 3
    without = {day: found for day, found in seattle_days().items() if day != date(2012, 2, 29)}
    assert heat_sum(without, spring.first, spring.last).missing == (date(2012, 2, 29),)


def test_a_southern_season_runs_over_new_year():
    """Seattle's days moved by half a year stand for a southern garden; the sum does not mind New Year's Eve."""
    southern = {day + timedelta(182): found for day, found in seattle_days().items()}
    found = heat_sum(southern, date(2012, 7, 1), date(2013, 6, 30))
    parts = [(date(2012, 7, 1), date(2012, 12, 31)), (date(2013, 1, 1), date(2013, 6, 30))]
    assert found.complete
    assert found.total == pytest.approx(sum(heat_sum(southern, *part).total for part in parts))
    assert all(heat_sum(southern, *part).total > 100 for part in parts)


def test_a_year_with_a_gap_of_a_week_names_the_week():
    gap = days_of(date(2014, 6, 10), date(2014, 6, 16))
    without = {day: found for day, found in seattle_days().items() if day not in gap}
    found = heat_sum(without, date(2014, 1, 1), date(2014, 12, 31))
    whole = heat_sum(seattle_days(), date(2014, 1, 1), date(2014, 12, 31))
    assert found.missing == tuple(gap)
    assert 0 < whole.total - found.total <= 7 * 21.1


def test_another_order_of_the_days_gives_the_same_sum():
    backwards = dict(reversed(week().items()))
    assert heat_sum(backwards, FIRST, FIRST + timedelta(6)) == heat_sum(week(), FIRST, FIRST + timedelta(6))


def test_a_span_that_ends_before_it_begins_is_no_day():
    found = heat_sum(week(), FIRST, FIRST - timedelta(1))
    assert (found.total, found.missing) == (0, ())


# ---------------------------------------------------------------- the line of days
spans = st.tuples(st.integers(-400, 1900), st.integers(-5, 500))


@law
@given(span=spans)
def test_any_span_of_the_line_is_the_sum_of_its_days(span: tuple[int, int]):
    heat = seattle_heat()
    line = HeatLine(heat)
    first = date(2012, 1, 1) + timedelta(span[0])
    last = first + timedelta(span[1])
    days = days_of(first, last)
    assert line.sum(first, last) == pytest.approx(sum(heat.get(day, 0) for day in days))
    assert line.missing(first, last) == sum(day not in heat for day in days)


@law
@given(start=st.integers(0, 1460), target=st.floats(0.001, 2000))
def test_a_total_is_reached_on_the_first_day_that_has_it(start: int, target: float):
    heat, first = seattle_heat(), date(2012, 1, 1) + timedelta(start)
    found = HeatLine(heat).reached(first, target)
    if found is None:
        assert sum(heat[day] for day in heat if day >= first) < target + 1e-6
    else:
        assert sum(heat[day] for day in days_of(first, found)) >= target - 1e-6
        assert sum(heat[day] for day in days_of(first, found - timedelta(1))) < target + 1e-6


def test_sums_that_fall_again_are_searched_day_by_day():
    heat = {FIRST + timedelta(n): value for n, value in enumerate([5.0, -4.0, 4.0, 4.0])}
    assert HeatLine(heat).reached(FIRST, 5) == FIRST
    assert HeatLine(heat).reached(FIRST, 6) == FIRST + timedelta(3)


def test_an_empty_line_has_no_last_day_and_reaches_nothing():
    line = HeatLine({})
    assert line.last is None and line.sum(FIRST, FIRST) == 0 and line.reached(FIRST, 1) is None
    assert line.missing(FIRST, FIRST + timedelta(1)) == 2


def test_a_reckoning_of_another_method_is_used():
    triangle = Reckoning(Method.SINGLE_TRIANGLE, lower=50, upper=88)
    assert heat_by_day(week(), triangle)[FIRST] == daily(44, 66, 50, 88, "single-triangle")
