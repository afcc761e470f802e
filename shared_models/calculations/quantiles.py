"""Quantiles and tail shares of the normal, t, chi-squared and beta distributions, for a phone without numpy or scipy.

Knows distributions, not orchards. Compared with scipy to 1e-9 over: t with 1 to 1 000 000 degrees of freedom,
chi-squared with 0.5 to 100 000, beta with both shapes from 0.1 to 10 000, shares from 1e-6 to 1 - 1e-6.
"""

import math
from collections.abc import Callable
from statistics import NormalDist

from shared_models.calculations.incomplete_integrals import Tails, beta_tails, gamma_tails

_STANDARD_NORMAL = NormalDist()
_FARTHEST = 700.0  # exp(700) is the last that a float holds; smaller quantiles than exp(-700) are given as 0
_CLOSE_ENOUGH = 1e-9  # of a Newton step; the error that is left is about its square


def normal_cdf(z: float) -> float:
    """Share of the standard normal distribution below z.

    Args:
        z: the point [standard deviations].
    Returns:
        The share [0..1]; exact in the lower tail. For an upper tail ask for `normal_cdf(-z)`.
    Raises:
        ValueError: z is not a number.

    >>> round(normal_cdf(-1.959964), 6)
    0.025

    Source: the definition; `math.erfc` of the standard library.
    """
    _refuse_unless(not math.isnan(z), f"A point of the normal distribution must be a number, not {z}.")
    return 0.5 * math.erfc(-z / math.sqrt(2))


def normal_quantile(p: float) -> float:
    """The point of the standard normal distribution with the share p below it.

    Args:
        p: share below [0..1, ends excluded].
    Returns:
        The point [standard deviations].
    Raises:
        ValueError: p is not between 0 and 1.

    >>> round(normal_quantile(0.975), 6)
    1.959964

    Source: Wichura 1988, algorithm AS 241, as `statistics.NormalDist` carries it.
    """
    _refuse_share(p)
    return _STANDARD_NORMAL.inv_cdf(p)


def t_cdf(t: float, df: float) -> float:
    """Share of Student's t distribution below t.

    Args:
        t: the point [standard errors].
        df: degrees of freedom [above 0, fractions allowed].
    Returns:
        The share [0..1]; exact in the lower tail, so a two-sided p is `2 * t_cdf(-abs(t), df)`.
    Raises:
        ValueError: t is not a number, or df is not a positive finite number.

    >>> round(t_cdf(-2.228139, 10), 6)
    0.025

    Source: Student 1908; here by the incomplete beta function (Abramowitz & Stegun 26.7.1).
    """
    _refuse_unless(not math.isnan(t), f"A point of the t distribution must be a number, not {t}.")
    _refuse_parameter(df, "The degrees of freedom of a t distribution")
    if t == 0 or math.isinf(t):
        return 0.5 if t == 0 else float(t > 0)
    logit = _held(math.log(df) - 2 * math.log(abs(t)))
    one_tail = 0.5 * math.exp(beta_tails(df / 2, 0.5, logit).log_lower)
    return one_tail if t < 0 else 1 - one_tail


def t_quantile(p: float, df: float) -> float:
    """The point of Student's t distribution with the share p below it.

    Args:
        p: share below [0..1, ends excluded].
        df: degrees of freedom [above 0, fractions allowed].
    Returns:
        The point [standard errors].
    Raises:
        ValueError: p is not between 0 and 1, or df is not a positive finite number.
    Misleads:
        with 1 or 2 degrees of freedom the point is so far out (12.7 and 4.3 at 97.5 %) that the interval built
        on it says little more than "not known".

    >>> round(t_quantile(0.975, 10), 6)
    2.228139

    Source: Student 1908; here by inverting the incomplete beta function.
    """
    _refuse_share(p)
    _refuse_parameter(df, "The degrees of freedom of a t distribution")
    if p == 0.5:
        return 0.0
    tail = min(p, 1 - p)
    start = math.log(df) - 2 * math.log(_rough_t(tail, df))
    logit = _beta_logit(2 * tail, 1 - 2 * tail, df / 2, 0.5, start)
    return math.copysign(math.sqrt(df) * math.exp(-logit / 2), p - 0.5)


def chi_squared_quantile(p: float, df: float) -> float:
    """The point of the chi-squared distribution with the share p below it.

    Args:
        p: share below [0..1, ends excluded].
        df: degrees of freedom [above 0, fractions allowed].
    Returns:
        The point [no unit]; 0 where it is smaller than a float can hold.
    Raises:
        ValueError: p is not between 0 and 1, or df is not a positive finite number.

    >>> round(chi_squared_quantile(0.95, 1), 6)
    3.841459

    Source: Pearson 1900; here by inverting the incomplete gamma function.
    """
    _refuse_share(p)
    _refuse_parameter(df, "The degrees of freedom of a chi-squared distribution")
    a = df / 2
    log_x = _gamma_lower_point(p, a) if p <= 0.5 else _gamma_upper_point(1 - p, a)
    return 0.0 if log_x <= -_FARTHEST else 2 * math.exp(log_x)


def beta_cdf(x: float, a: float, b: float) -> float:
    """Share of the beta(a, b) distribution below x: the regularised incomplete beta function.

    Args:
        x: the point [0..1].
        a, b: the two shapes [above 0].
    Returns:
        The share [0..1]. The chance of at most k successes in n tries at p is `beta_cdf(1 - p, n - k, k + 1)`.
    Raises:
        ValueError: x is outside 0..1, or a shape is not a positive finite number.

    >>> round(beta_cdf(0.25, 2, 3), 6)
    0.261719

    Source: Abramowitz & Stegun 26.5.1.
    """
    _refuse_unless(0 <= x <= 1, f"A point of a beta distribution must lie between 0 and 1, not {x}.")
    _refuse_shapes(a, b)
    if x in (0, 1):
        return float(x)
    return math.exp(beta_tails(a, b, _held(math.log(x) - math.log1p(-x))).log_lower)


def beta_quantile(p: float, a: float, b: float) -> float:
    """The point of the beta(a, b) distribution with the share p below it.

    Args:
        p: share below [0..1, ends excluded].
        a, b: the two shapes [above 0].
    Returns:
        The point [0..1]; 0 where it is smaller than a float can hold.
    Raises:
        ValueError: p is not between 0 and 1, or a shape is not a positive finite number.

    The exact upper limit of 3 damaged in 60 fruit (Clopper & Pearson 1934):

    >>> round(beta_quantile(0.975, 3 + 1, 60 - 3), 6)
    0.139243

    Source: Abramowitz & Stegun 26.5; here by Newton steps on the logit.
    """
    _refuse_share(p)
    _refuse_shapes(a, b)
    start = math.log(a / b) + normal_quantile(p) * math.sqrt(1 / a + 1 / b)
    logit = _beta_logit(p, 1 - p, a, b, start)
    return 0.0 if logit <= -_FARTHEST else 1 / (1 + math.exp(-logit))


def _beta_logit(lower: float, upper: float, a: float, b: float, start: float) -> float:
    """logit of the point with these shares of beta(a, b) on its sides, found from the smaller one."""
    if lower <= upper:
        return _beta_lower_logit(lower, a, b, start)
    return -_beta_lower_logit(upper, b, a, -start)


def _beta_lower_logit(p: float, a: float, b: float, start: float) -> float:
    """logit of the point with the share p of beta(a, b) below it."""
    # The share below is at most exp(a·logit)/(a·B(a,b)), so the point cannot lie left of where that equals p.
    log_beta = math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)
    leftmost = (math.log(p) + math.log(a) + log_beta) / a
    return _solve(lambda logit: beta_tails(a, b, logit), math.log(p), start, leftmost)


def _gamma_lower_point(p: float, a: float) -> float:
    """log of the point with the share p of gamma(a) below it."""
    # The share below x is at most x^a/Γ(a+1), so the point cannot lie left of where that equals p.
    leftmost = (math.log(p) + math.lgamma(a + 1)) / a
    return _solve(lambda log_x: gamma_tails(a, log_x), math.log(p), _rough_log_gamma(p, a), leftmost)


def _gamma_upper_point(q: float, a: float) -> float:
    """log of the point with the share q of gamma(a) above it."""
    # Laurent & Massart 2000, lemma 1 (from memory): the point cannot lie right of a + 2·sqrt(a·t) + 2·t.
    t = -math.log(q)
    rightmost = math.log(a + 2 * math.sqrt(a * t) + 2 * t)
    start = -_rough_log_gamma(1 - q, a)
    return -_solve(lambda minus: _mirrored(gamma_tails(a, -minus)), math.log(q), start, -rightmost)


def _solve(tails: Callable[[float], Tails], log_share: float, start: float, leftmost: float) -> float:
    """The point with a given share below it, by Newton steps on the log of the share.

    The log of the share is concave in the point for every distribution used here. So a step ends left of the
    solution, where all further steps go right and never beyond it: the search cannot run away.
    """
    lowest = leftmost - 1e-6 * (1 + abs(leftmost))  # room for the rounding of the bound itself
    point = _held(max(start, lowest))
    for _ in range(200):
        here = tails(point)
        slope = max(math.exp(here.log_density - here.log_lower), 1e-300)
        before, point = point, _held(max(point - (here.log_lower - log_share) / slope, lowest))
        if abs(point - before) <= _CLOSE_ENOUGH:
            return point
    raise ArithmeticError(f"No quantile was found for a share of {math.exp(log_share)}.")


def _mirrored(tails: Tails) -> Tails:
    return Tails(tails.log_upper, tails.log_lower, tails.log_density)


def _held(point: float) -> float:
    return max(-_FARTHEST, min(_FARTHEST, point))


def _rough_t(tail: float, df: float) -> float:
    """First terms of the Cornish-Fisher expansion (Abramowitz & Stegun 26.7.5): a start, not an answer."""
    z = -normal_quantile(tail)
    return z + z * (z * z + 1) / (4 * df) + z * (5 * z**4 + 16 * z * z + 3) / (96 * df * df)


def _rough_log_gamma(p: float, a: float) -> float:
    """Wilson & Hilferty 1931: a start, not an answer."""
    root = 1 - 1 / (9 * a) + normal_quantile(p) / (3 * math.sqrt(a))
    return math.log(a) + 3 * math.log(root) if root > 0.01 else math.log(a) - 14


def _refuse_share(p: float) -> None:
    _refuse_unless(0 < p < 1, f"A share must lie between 0 and 1, ends excluded, not {p}.")


def _refuse_shapes(a: float, b: float) -> None:
    _refuse_parameter(a, "The first shape of a beta distribution")
    _refuse_parameter(b, "The second shape of a beta distribution")


def _refuse_parameter(value: float, name: str) -> None:
    _refuse_unless(0 < value < math.inf, f"{name} must be a positive number, not {value}.")


def _refuse_unless(holds: bool, sentence: str) -> None:
    if not holds:
        raise ValueError(sentence)
