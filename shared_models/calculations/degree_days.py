"""Degree-days of one day from its lowest and highest temperature. Knows no calendar, no garden and no insect.

The day is taken for a sine wave or a triangle between lowest and highest. Everything follows from S(T), the day's
mean of the warmth above a threshold T:

    horizontal    S(L) − S(U)                above the upper threshold U development goes on at its full rate
    intermediate  S(L) − 2 S(U), at least 0  it slows down as much as it had sped up
    vertical      S(L) − S(U) − (U−L) F      it stops for the share F of the day above U
"""

import math
from collections.abc import Callable
from enum import StrEnum
from functools import cache
from typing import TypeVar

LOWER_C, UPPER_C = 10.0, 31.1
"""Codling moth, horizontal cutoff [°C]: Jones, Doerr & Brunner 2008, J Econ Entomol 101:1651-1657 (abstract)."""


class Method(StrEnum):
    """How the hours of a day are guessed from two readings. The averages are four readings that must not be mixed."""

    SINGLE_SINE = "single-sine"
    DOUBLE_SINE = "double-sine"
    SINGLE_TRIANGLE = "single-triangle"
    DOUBLE_TRIANGLE = "double-triangle"
    AVERAGE = "average"  # the mean less the lower threshold, none below 0; no upper threshold
    AVERAGE_CLIPPED = (
        "average-clipped"  # both readings are moved between the thresholds before the mean is taken
    )
    AVERAGE_MEAN_CLIPPED = "average-mean-clipped"  # the mean alone is moved between the thresholds
    AVERAGE_SIGNED = "average-signed"  # as average, but cool days are subtracted

    @property
    def is_double(self) -> bool:
        """Whether the second half of the day falls to the minimum of the next day."""
        return self in (Method.DOUBLE_SINE, Method.DOUBLE_TRIANGLE)


class Cutoff(StrEnum):
    """What warmth above the upper threshold does. An average has its own way with it and asks for none."""

    HORIZONTAL = "horizontal"
    INTERMEDIATE = "intermediate"
    VERTICAL = "vertical"


Mean = Callable[[float, float, float], float]
Word = TypeVar("Word", bound=StrEnum)


def daily(
    minimum: float,
    maximum: float,
    lower: float = LOWER_C,
    upper: float = UPPER_C,
    method: str = "single-sine",
    cutoff: str = "horizontal",
    *,
    next_minimum: float | None = None,
) -> float:
    """Degree-days of one day.

    Args:
        minimum: lowest temperature of the day [°C or °F, like all the others].
        maximum: highest temperature of the day [°].
        lower: threshold below which nothing develops [°].
        upper: threshold above which the cutoff holds; `math.inf` is none [°].
        method: a `Method`, or its word.
        cutoff: a `Cutoff`, or its word; the averages do not look at it.
        next_minimum: lowest temperature of the next day, which double sine and double triangle need [°].
    Returns:
        Degree-days in the unit of the temperatures [°·day]; below 0 for `average-signed` only.
    Raises:
        ValueError: a temperature that is no finite number, a minimum above the maximum, a lower threshold that is
            not below the upper one, a method or cutoff of another name, or a double method without next minimum.
    Misleads:
        where thresholds of one unit meet temperatures of the other: the defaults are °C. A total of degree-days
        turns from °C into °F by 1.8, without the 32. Totals of two methods are not to be compared: on a day from
        35 to 60 °F the sine gives 2.8, the triangle 2.0, the average 0 and the clipped average 5.0 °F-days.

    >>> round(daily(40, 65, 50, 88), 3), daily(40, 65, 50, 88, method="average")
    (5.309, 2.5)

    Source: Baskerville & Emin 1969, Ecology 50:514-517; Allen 1976, Environ Entomol 5:388-396 and Zalom et al. 1983
    (both from memory); averages as read in extension notes of Michigan and Indiana. Checked by numeric integration.
    """
    way, cut = _named(Method, method), _named(Cutoff, cutoff)
    _refuse_impossible(minimum, maximum, lower, upper)
    if way is Method.SINGLE_SINE and cut is Cutoff.HORIZONTAL:
        return _usual(minimum, maximum, lower, upper)
    if way in _AVERAGES:
        return _AVERAGES[way](minimum, maximum, lower, upper)
    first = _of_wave(minimum, maximum, lower, upper, way, cut)
    if not way.is_double:
        return first
    if next_minimum is None:
        raise ValueError(f"{way} needs the minimum of the next day.")
    _refuse_impossible(next_minimum, max(maximum, next_minimum), lower, upper)
    # A next minimum above today's maximum would be a warm front in the night; the second half is then flat there.
    second = _of_wave(next_minimum, max(maximum, next_minimum), lower, upper, way, cut)
    return (first + second) / 2


def single_days(
    method: str, cutoff: str, lower: float = LOWER_C, upper: float = UPPER_C
) -> Callable[[float, float], float]:
    """The same for many days, for a method that looks at one day alone: words and thresholds are looked at once.

    >>> round(single_days("single-sine", "horizontal", 50, 88)(40, 65), 3)
    5.309
    """
    way, cut = _named(Method, method), _named(Cutoff, cutoff)
    if way.is_double:
        raise ValueError(f"{way} looks at the next day too; ask for each day by itself.")
    _refuse_impossible(0.0, 0.0, lower, upper)

    def usual(minimum: float, maximum: float) -> float:
        if not -math.inf < minimum <= maximum < math.inf:
            _refuse_impossible(minimum, maximum, lower, upper)
        return _usual(minimum, maximum, lower, upper)

    def other(minimum: float, maximum: float) -> float:
        return daily(minimum, maximum, lower, upper, way, cut)

    return usual if way is Method.SINGLE_SINE and cut is Cutoff.HORIZONTAL else other


def to_celsius(fahrenheit: float) -> float:
    """A temperature [°F] in °C. Not for degree-days, which have no zero to move.

    >>> to_celsius(50), round(to_celsius(88), 3)
    (10.0, 31.111)
    """
    return (fahrenheit - 32) / 1.8


def to_fahrenheit(celsius: float) -> float:
    """A temperature [°C] in °F. Not for degree-days, which have no zero to move.

    >>> to_fahrenheit(10)
    50.0
    """
    return celsius * 1.8 + 32


def in_fahrenheit_days(celsius_days: float) -> float:
    """A degree-day total [°C·day] in °F·day: times 1.8, without the 32.

    >>> round(in_fahrenheit_days(138.9))
    250
    """
    return celsius_days * 1.8


# ---------------------------------------------------------------- waves
def _usual(low: float, high: float, lower: float, upper: float) -> float:
    """Single sine with horizontal cutoff, of which decades are summed: most days need no cutoff."""
    warmth = _sine_mean(low, high, lower)
    return max(0.0, warmth - _sine_mean(low, high, upper)) if high > upper else warmth


def _of_wave(low: float, high: float, lower: float, upper: float, method: Method, cutoff: Cutoff) -> float:
    mean, share = _WAVES[method]
    warmth, above = mean(low, high, lower), mean(low, high, upper)
    if cutoff is Cutoff.HORIZONTAL:
        return max(0.0, warmth - above)
    if cutoff is Cutoff.INTERMEDIATE:
        return max(0.0, warmth - 2 * above)
    stopped = share(low, high, upper)
    return max(0.0, warmth - above - (upper - lower) * stopped) if stopped else warmth


def _beyond(low: float, high: float, threshold: float) -> float | None:
    """The mean warmth above a threshold that the day does not cross; None where it does."""
    if high <= threshold:
        return 0.0
    return (low + high) / 2 - threshold if low >= threshold else None


def _sine_mean(low: float, high: float, threshold: float) -> float:
    if high <= threshold:  # as `_beyond`, without the call: decades of days pass here
        return 0.0
    if low >= threshold:
        return (low + high) / 2 - threshold
    middle, half = (high + low) / 2, (high - low) / 2
    angle = _angle(middle, half, threshold)
    return ((middle - threshold) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi


def _sine_share(low: float, high: float, threshold: float) -> float:
    """The share of the day above a threshold."""
    if high <= threshold:
        return 0.0
    if low >= threshold:
        return 1.0
    return 0.5 - _angle((high + low) / 2, (high - low) / 2, threshold) / math.pi


def _angle(middle: float, half: float, threshold: float) -> float:
    """When the wave passes a threshold; rounding must not carry the sine beyond 1."""
    sine = (threshold - middle) / half
    return math.asin(sine) if -1.0 <= sine <= 1.0 else math.copysign(math.pi / 2, sine)


def _triangle_mean(low: float, high: float, threshold: float) -> float:
    flat = _beyond(low, high, threshold)
    return (high - threshold) ** 2 / (2 * (high - low)) if flat is None else flat


def _triangle_share(low: float, high: float, threshold: float) -> float:
    if high <= threshold:
        return 0.0
    return 1.0 if low >= threshold else (high - threshold) / (high - low)


_WAVES: dict[Method, tuple[Mean, Mean]] = {
    Method.SINGLE_SINE: (_sine_mean, _sine_share),
    Method.DOUBLE_SINE: (_sine_mean, _sine_share),
    Method.SINGLE_TRIANGLE: (_triangle_mean, _triangle_share),
    Method.DOUBLE_TRIANGLE: (_triangle_mean, _triangle_share),
}


# ---------------------------------------------------------------- averages
def _average(low: float, high: float, lower: float, upper: float) -> float:
    return max(0.0, (low + high) / 2 - lower)


def _average_clipped(low: float, high: float, lower: float, upper: float) -> float:
    return (_between(low, lower, upper) + _between(high, lower, upper)) / 2 - lower


def _average_mean_clipped(low: float, high: float, lower: float, upper: float) -> float:
    return _between((low + high) / 2, lower, upper) - lower


def _average_signed(low: float, high: float, lower: float, upper: float) -> float:
    return (low + high) / 2 - lower


def _between(value: float, least: float, most: float) -> float:
    return max(least, min(most, value))


_AVERAGES: dict[Method, Callable[[float, float, float, float], float]] = {
    Method.AVERAGE: _average,
    Method.AVERAGE_CLIPPED: _average_clipped,
    Method.AVERAGE_MEAN_CLIPPED: _average_mean_clipped,
    Method.AVERAGE_SIGNED: _average_signed,
}


# ---------------------------------------------------------------- what is refused
@cache
def _named(kind: type[Word], word: str) -> Word:
    try:
        return kind(word)
    except ValueError:
        known = ", ".join(one.value for one in kind)
        raise ValueError(
            f"“{word}” is no {kind.__name__.lower()} of degree-days; it is one of {known}."
        ) from None


def _refuse_impossible(minimum: float, maximum: float, lower: float, upper: float) -> None:
    if not (math.isfinite(minimum) and math.isfinite(maximum) and math.isfinite(lower)):
        raise ValueError(
            "A temperature that is not a finite number gives no degree-days; a missing day is missing."
        )
    if minimum > maximum:
        raise ValueError(
            f"The minimum {minimum} lies above the maximum {maximum}; one of them is a typing error."
        )
    if not lower < upper:
        raise ValueError(f"The lower threshold {lower} does not lie below the upper one, {upper}.")
