"""Incomplete beta and gamma functions, both tails at once on a log scale; knows no distribution and no orchard.

Every p value and interval of the season comparison rests on these two integrals. They are written here because a
phone carries no numerical library. Tails are kept as logarithms, so a tail of 1e-400 is as exact as one of 0.4.
"""

import math
from dataclasses import dataclass

_HALF_LOG_TWO_PI = 0.5 * math.log(2.0 * math.pi)
_STIRLING = (1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188)  # Abramowitz & Stegun 6.1.41 (from memory)
_ENOUGH = 1e-16  # a term smaller than this changes no digit
_MOST_TERMS = 100_000  # about sqrt(a) terms are needed; more than this means that something is wrong
_ALMOST_ZERO = 1e-300  # stands in for a zero denominator, as in the modified method of Lentz


@dataclass(frozen=True, slots=True)
class Tails:
    """Logs of the share below and above a point, and of the density there on the scale of the argument."""

    log_lower: float
    log_upper: float
    log_density: float


def beta_tails(a: float, b: float, logit: float) -> Tails:
    """Both tails of the beta(a, b) distribution at x = 1/(1+exp(-logit)); the density is that of the logit.

    The logit and not x is the argument because x near 1 cannot be written down without losing 1-x.

    >>> round(math.exp(beta_tails(2, 2, 0.0).log_lower), 12)
    0.5
    """
    x, y = 1 / (1 + math.exp(-logit)), 1 / (1 + math.exp(logit))
    log_density = _log_beta_weight(a, b, x, y)
    if x * (a + b + 2) < a + 1:
        lower = log_density - math.log(_beta_fraction(a, b, x, y))
        return Tails(lower, _log_rest(lower), log_density)
    upper = log_density - math.log(_beta_fraction(b, a, y, x))
    return Tails(_log_rest(upper), upper, log_density)


def gamma_tails(a: float, log_x: float) -> Tails:
    """Both tails of the gamma(a) distribution (scale 1) at x = exp(log_x); the density is that of log x.

    >>> round(math.exp(gamma_tails(1, math.log(2)).log_upper), 12) == round(math.exp(-2), 12)
    True
    """
    x = math.exp(log_x)
    log_density = math.log(a) - _stirling_error(a) - _deviance(a, x) - _HALF_LOG_TWO_PI - 0.5 * math.log(a)
    if x < a + 1:
        lower = log_density + math.log(_gamma_series(a, x))
        return Tails(lower, _log_rest(lower), log_density)
    upper = log_density - math.log(_gamma_fraction(a, x))
    return Tails(_log_rest(upper), upper, log_density)


def _log_rest(log_share: float) -> float:
    """log(1 - share); a share that was rounded to 1 leaves the smallest rest that can be told from none."""
    return math.log(-math.expm1(min(log_share, -1e-17)))


def _log_beta_weight(a: float, b: float, x: float, y: float) -> float:
    """log of x^a y^b / B(a, b).

    Differences of three large log-gammas would cost six digits at a = 500 000; the deviance form of
    Loader (2000, "Fast and accurate computation of binomial probabilities") costs none.
    """
    n = a + b
    log_binomial = (
        _stirling_error(n)
        - _stirling_error(a)
        - _stirling_error(b)
        - _deviance(a, n * x)
        - _deviance(b, n * y)
        - _HALF_LOG_TWO_PI
    )
    return log_binomial + 0.5 * math.log(a * b / n)


def _stirling_error(z: float) -> float:
    """log Γ(z+1) minus Stirling's approximation of it."""
    if z < 15:
        return math.lgamma(z + 1) - (z + 0.5) * math.log(z) + z - _HALF_LOG_TWO_PI
    inverse_square = 1 / (z * z)
    total = 0.0
    for coefficient in reversed(_STIRLING):
        total = total * inverse_square + coefficient
    return total / z


def _deviance(x: float, mean: float) -> float:
    """x log(x/mean) + mean - x, without cancellation where x is near the mean."""
    difference = x - mean
    if abs(difference) >= 0.1 * (x + mean):
        return x * math.log(x / mean) - difference
    v = difference / (x + mean)
    total, term, k = difference * v, 2 * x * v, 1
    while True:
        term *= v * v
        longer = total + term / (2 * k + 1)
        if longer == total:
            return total
        total, k = longer, k + 1


def _beta_fraction(a: float, b: float, x: float, y: float) -> float:
    """The continued fraction F of I_x(a, b) = x^a y^b / (B(a, b) F), quick for x below the mean.

    Didonato & Morris (1992, ACM TOMS 18:360-373; form from memory, checked against scipy), summed by the
    modified method of Lentz. `a*y - b*x` keeps its digits where a - (a+b)x would not.
    """
    ahead = a * y - b * x + 1
    fraction = c = a * ahead / (a + 1) or _ALMOST_ZERO
    d = 0.0
    for m in range(1, _MOST_TERMS):
        odd = a + 2 * m - 1
        bx = m * (b - m) * x
        alpha = (a + m - 1) * (a + b + m - 1) * bx * x / (odd * odd)
        beta = m + bx / odd + (a + m) * (ahead + m * (1 + y)) / (odd + 2)
        d = 1 / (beta + alpha * d or _ALMOST_ZERO)
        c = beta + alpha / c or _ALMOST_ZERO
        fraction *= c * d
        if abs(c * d - 1) <= 4 * _ENOUGH:
            return fraction
    raise ArithmeticError(f"The incomplete beta function did not settle for a={a}, b={b}, x={x}.")


def _gamma_series(a: float, x: float) -> float:
    """Lower tail divided by the density of log x, as a sum of positive terms; quick for x below a."""
    term = total = 1 / a
    for k in range(1, _MOST_TERMS):
        term *= x / (a + k)
        total += term
        if term <= _ENOUGH * total:
            return total
    raise ArithmeticError(f"The incomplete gamma function did not settle for a={a}, x={x}.")


def _gamma_fraction(a: float, x: float) -> float:
    """Density of log x divided by the upper tail, as a continued fraction (Abramowitz & Stegun 6.5.31); x above a."""
    b = x + 1 - a
    fraction = c = b
    d = 0.0
    for k in range(1, _MOST_TERMS):
        numerator = -k * (k - a)
        b += 2
        d = 1 / (b + numerator * d or _ALMOST_ZERO)
        c = b + numerator / c or _ALMOST_ZERO
        fraction *= c * d
        if abs(c * d - 1) <= 4 * _ENOUGH:
            return fraction
    raise ArithmeticError(f"The incomplete gamma function did not settle for a={a}, x={x}.")
