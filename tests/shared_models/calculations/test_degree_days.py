"""Degree-days of a day: against tables, published examples, numeric integration, and laws on random days.

Origins are in `tests/reference/SOURCES.md`; *computed* tables were integrated numerically, not published.
"""

import csv
import math
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.calculations.degree_days import (
    Cutoff,
    Method,
    daily,
    in_fahrenheit_days,
    single_days,
    to_celsius,
    to_fahrenheit,
)
from tests.strategies import law

REFERENCE = Path(__file__).parents[2] / "reference"
LOWER, UPPER = 50.0, 88.0  # °F


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of a reference table."""
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_all_856_rows_of_the_codling_moth_table_agree_to_a_thousandth():
    rows = rows_of("degree_days_cm_50_88F.csv")
    assert len(rows) == 856
    worst = max(
        abs(daily(float(row["tmin_F"]), float(row["tmax_F"]), LOWER, UPPER) - float(row["dd_F"]))
        for row in rows
    )
    assert worst <= 0.0005 + 1e-9  # the table is printed to three decimals


COLUMNS: dict[str, tuple[Method, Cutoff, float]] = {
    "sine_none": (Method.SINGLE_SINE, Cutoff.HORIZONTAL, math.inf),
    "triangle_none": (Method.SINGLE_TRIANGLE, Cutoff.HORIZONTAL, math.inf),
    "avg_plain_no_upper": (Method.AVERAGE, Cutoff.HORIZONTAL, UPPER),
    "avg_clip_minmax": (Method.AVERAGE_CLIPPED, Cutoff.HORIZONTAL, UPPER),
    **{f"sine_{cutoff}": (Method.SINGLE_SINE, cutoff, UPPER) for cutoff in Cutoff},
    **{f"triangle_{cutoff}": (Method.SINGLE_TRIANGLE, cutoff, UPPER) for cutoff in Cutoff},
}


@pytest.mark.parametrize("row", rows_of("degree_day_method_vectors.csv"), ids=lambda row: row["case"])
def test_every_method_and_cutoff_agrees_on_days_of_every_case(row: dict[str, str]):
    assert set(COLUMNS) == set(row) - {"case", "tmin_F", "tmax_F"}
    for column, (method, cutoff, upper) in COLUMNS.items():
        found = daily(float(row["tmin_F"]), float(row["tmax_F"]), LOWER, upper, method, cutoff)
        assert found == pytest.approx(float(row[column]), abs=0.00005 + 1e-9), column


@pytest.mark.parametrize("row", rows_of("degree_day_double_vectors.csv"), ids=lambda row: str(dict(row)))
def test_double_methods_take_the_minimum_of_the_next_day(row: dict[str, str]):
    low, high, following = (float(row[name]) for name in ("tmin_F", "tmax_F", "tmin_next_F"))
    for method, column in (
        (Method.DOUBLE_SINE, "double_sine_horizontal"),
        (Method.DOUBLE_TRIANGLE, "double_triangle_horizontal"),
    ):
        found = daily(low, high, LOWER, UPPER, method, next_minimum=following)
        assert found == pytest.approx(float(row[column]), abs=0.00005 + 1e-9)


@pytest.mark.parametrize("row", rows_of("degree_day_published_examples.csv")[:2], ids=lambda row: row["dd_F"])
def test_examples_published_for_the_average(row: dict[str, str]):
    low, high, lower = (float(row[name]) for name in ("tmin_F", "tmax_F", "lower_F"))
    assert daily(low, high, lower, UPPER, "average") == pytest.approx(float(row["dd_F"]))
    sine = daily(low, high, lower, UPPER)
    assert sine == pytest.approx(float(row["single_sine_horizontal_50_88_computed"]), abs=0.0005)


def test_the_published_example_of_a_mean_of_64_over_53_is_11():
    assert daily(64, 64, 53, 95, "average") == 11  # a citrus guideline of California: mean 64 less 53


def test_the_published_rule_of_raising_and_lowering_is_the_clipped_average():
    # "raise the minimum to 50, lower the maximum to 85, mean minus 50" (Foster, Purdue 2017): 40/95 gives 17.5.
    assert daily(40, 95, 50, 85, "average-clipped") == (50 + 85) / 2 - 50


def test_the_four_averages_differ_and_are_named():
    found = [daily(45, 95, LOWER, UPPER, method) for method in Method if method.value.startswith("average")]
    assert found == [20, 19, 20, 20]
    cool = [daily(30, 48, LOWER, UPPER, method) for method in Method if method.value.startswith("average")]
    assert cool == [0, 0, 0, -11]


@pytest.mark.parametrize(("flat", "expected"), [(65, 15), (95, 38), (40, 0), (50, 0), (88, 38)])
def test_a_flat_day_is_the_same_by_every_wave(flat: float, expected: float):
    for method in (Method.SINGLE_SINE, Method.SINGLE_TRIANGLE, Method.DOUBLE_SINE, Method.DOUBLE_TRIANGLE):
        assert daily(flat, flat, LOWER, UPPER, method, next_minimum=flat) == pytest.approx(expected)


def test_the_defaults_are_those_of_codling_moth_in_celsius():
    assert daily(to_celsius(60), to_celsius(95)) == pytest.approx(26.143 / 1.8, abs=0.006)
    assert daily(60, 95, 50, 88) - 1.8 * daily(to_celsius(60), to_celsius(95)) == pytest.approx(
        0.006, abs=0.001
    )


# ---------------------------------------------------------------- what is refused
@pytest.mark.parametrize(
    "given_day",
    [
        (20, 10, 10, 31),
        (math.nan, 20, 10, 31),
        (10, math.inf, 10, 31),
        (10, 20, 31, 10),
        (10, 20, 10, 10),
        (10, 20, 10, math.nan),
        (10, 20, 10, 31, "sine"),
        (10, 20, 10, 31, "single-sine", "flat"),
        (10, 20, 10, 31, "double-sine"),
    ],
)
def test_what_cannot_be_reckoned_is_refused_in_a_sentence(given_day: tuple[Any, ...]):
    with pytest.raises(ValueError, match=r"\.$"):
        daily(*given_day)


# ---------------------------------------------------------------- laws
temperatures = st.floats(-60, 140)
waves = st.sampled_from([method for method in Method if not method.value.startswith("average")])
methods = st.sampled_from([method for method in Method if method is not Method.AVERAGE_SIGNED])
cutoffs = st.sampled_from(Cutoff)


@st.composite
def days(draw: st.DrawFn) -> tuple[float, float]:
    """Minimum and maximum."""
    low, high = sorted((draw(temperatures), draw(temperatures)))
    return low, high


@law
@given(day=days(), method=methods, cutoff=cutoffs, following=temperatures)
def test_a_day_gives_between_none_and_the_span_of_the_thresholds(
    day: tuple[float, float], method: Method, cutoff: Cutoff, following: float
):
    found = daily(*day, LOWER, UPPER, method, cutoff, next_minimum=following)
    most = UPPER - LOWER if method is not Method.AVERAGE else 140 - LOWER
    assert 0 <= found <= most + 1e-9


@law
@given(day=days(), method=methods, warmer=st.floats(0, 20), following=temperatures)
def test_a_warmer_day_never_gives_less_under_a_horizontal_cutoff(
    day: tuple[float, float], method: Method, warmer: float, following: float
):
    low, high = day
    before = daily(low, high, LOWER, UPPER, method, next_minimum=following)
    for changed in ((low, high + warmer), (min(low + warmer, high), high), (low + warmer, high + warmer)):
        assert daily(*changed, LOWER, UPPER, method, next_minimum=following) >= before - 1e-9


@law
@given(day=days(), method=methods, cutoff=cutoffs, following=temperatures)
def test_celsius_and_fahrenheit_give_the_same(
    day: tuple[float, float], method: Method, cutoff: Cutoff, following: float
):
    in_fahrenheit = daily(*day, LOWER, UPPER, method, cutoff, next_minimum=following)
    low, high, after, lower, upper = map(to_celsius, (*day, following, LOWER, UPPER))
    in_celsius = daily(low, high, lower, upper, method, cutoff, next_minimum=after)
    # A day that only just reaches the upper threshold stops by rounding or does not: a square root of rounding.
    assert in_fahrenheit_days(in_celsius) == pytest.approx(in_fahrenheit, abs=1e-4)


@law
@given(day=days(), method=waves)
def test_the_cutoffs_stand_in_their_order(day: tuple[float, float], method: Method):
    horizontal, intermediate, vertical = (
        daily(*day, LOWER, UPPER, method, cutoff, next_minimum=day[0]) for cutoff in Cutoff
    )
    assert intermediate <= horizontal + 1e-9 and vertical <= horizontal + 1e-9


@law
@given(day=days(), cutoff=cutoffs)
def test_a_double_wave_back_to_its_own_minimum_is_the_single_one(day: tuple[float, float], cutoff: Cutoff):
    for single, double in (
        (Method.SINGLE_SINE, Method.DOUBLE_SINE),
        (Method.SINGLE_TRIANGLE, Method.DOUBLE_TRIANGLE),
    ):
        once = daily(*day, LOWER, UPPER, single, cutoff)
        assert daily(*day, LOWER, UPPER, double, cutoff, next_minimum=day[0]) == pytest.approx(once)


@law
@given(day=days(), lower=st.floats(-40, 40), span=st.floats(1, 60), method=waves)
def test_warmth_above_and_cold_below_mirror_each_other(
    day: tuple[float, float], lower: float, span: float, method: Method
):
    """Turned upside down about the middle of the thresholds, a day gives what is missing to the whole span."""
    low, high = day
    upper = lower + span
    upright = daily(low, high, lower, upper, method, next_minimum=low)
    turned_low, turned_high = lower + upper - high, lower + upper - low
    turned = daily(turned_low, turned_high, lower, upper, method, next_minimum=turned_low)
    assert upright + turned == pytest.approx(span, abs=1e-6)


@law
@given(celsius=st.floats(-60, 60))
def test_temperatures_turn_there_and_back(celsius: float):
    assert to_celsius(to_fahrenheit(celsius)) == pytest.approx(celsius, abs=1e-9)


# ---------------------------------------------------------------- an independent judge
@pytest.fixture(scope="module")
def quad() -> Any:
    """Numeric integration of scipy."""
    from scipy.integrate import quad

    return quad


def _wave(method: Method, low: float, high: float) -> Callable[[float], float]:
    """The temperature over the day as a function of its share 0..1, from minimum to minimum."""
    if method is Method.SINGLE_SINE:
        return lambda t: (low + high) / 2 - (high - low) / 2 * math.cos(2 * math.pi * t)
    return lambda t: low + (high - low) * (1 - abs(2 * t - 1))


def _rate(cutoff: Cutoff, temperature: float, lower: float, upper: float) -> float:
    """Development at one moment, as the glossary of the University of California words the cutoffs."""
    if temperature <= lower:
        return 0.0
    if temperature <= upper:
        return temperature - lower
    if cutoff is Cutoff.HORIZONTAL:
        return upper - lower
    return 0.0 if cutoff is Cutoff.VERTICAL else 2 * upper - lower - temperature


@pytest.mark.needs_scipy
@law
@given(
    day=days(),
    method=st.sampled_from([Method.SINGLE_SINE, Method.SINGLE_TRIANGLE]),
    cutoff=st.sampled_from([Cutoff.HORIZONTAL, Cutoff.VERTICAL, Cutoff.INTERMEDIATE]),
)
def test_random_days_agree_with_numeric_integration(
    quad: Any, day: tuple[float, float], method: Method, cutoff: Cutoff
):
    wave = _wave(method, *day)
    # Both halves of the day are mirror images, so half of it is integrated, piece by piece between the kinks.
    crossed = [_crossing(method, *day, at) for at in (LOWER, UPPER)]
    edges = sorted({0.0, 0.5, *(one for one in crossed if one is not None)})
    whole = 2 * sum(
        quad(lambda t: _rate(cutoff, wave(t), LOWER, UPPER), start, end, limit=200)[0]
        for start, end in pairwise(edges)
    )
    assert daily(*day, LOWER, UPPER, method, cutoff) == pytest.approx(max(0.0, whole), abs=1e-4)


def _crossing(method: Method, low: float, high: float, at: float) -> float | None:
    """The share of the day at which the rising wave passes a temperature, found by bisection."""
    if not low < at < high:
        return None
    wave, start, end = _wave(method, low, high), 0.0, 0.5
    for _ in range(60):
        middle = (start + end) / 2
        start, end = (middle, end) if wave(middle) < at else (start, middle)
    return end


# ---------------------------------------------------------------- many days at once
@law
@given(
    day=days(),
    method=st.sampled_from([method for method in Method if not method.is_double]),
    cutoff=st.sampled_from(list(Cutoff)),
)
def test_many_days_at_once_give_what_each_gives_by_itself(
    day: tuple[float, float], method: Method, cutoff: Cutoff
):
    assert single_days(method, cutoff, LOWER, UPPER)(*day) == daily(*day, LOWER, UPPER, method, cutoff)


def test_many_days_at_once_refuse_what_each_refuses():
    of_day = single_days("single-sine", "horizontal", LOWER, UPPER)
    for low, high in ((70, 60), (math.nan, 60), (40, math.inf)):
        with pytest.raises(ValueError):
            of_day(low, high)
    with pytest.raises(ValueError, match="next day"):
        single_days("double-sine", "horizontal")
    with pytest.raises(ValueError, match="does not lie below"):
        single_days("single-sine", "horizontal", 88, 50)
