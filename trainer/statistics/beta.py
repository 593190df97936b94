"""The Beta distribution, and Fisher and Snedecor's F by it."""

from __future__ import annotations

import math

from trainer.solver.numbers import require_above_zero, require_between, require_share

_TINY = 1e-300
_MOST_TERMS = 10_000


def beta_share(x: float, a: float, b: float) -> float:
    """The chance of a value up to x, 0 to 1: the regularised incomplete beta function; a, b above 0. Raises BadInput.

    Source: the continued fraction of Abramowitz and Stegun 26.5.8, worked out by Lentz's way; both from memory.
    """
    require_share("x", x)
    require_above_zero("a", a)
    require_above_zero("b", b)
    if x in (0, 1):
        return float(x)
    # The fraction settles fast on this side of the mean only.
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(1 - x, b, a)
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return min(1.0, math.exp(log_front) / a * _fraction(x, a, b))


def _fraction(x: float, a: float, b: float) -> float:
    front, back = 1.0, 1 / _off_zero(1 - (a + b) * x / (a + 1))
    found = back
    for m in range(1, _MOST_TERMS):
        for term in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            back = 1 / _off_zero(1 + term * back)
            front = _off_zero(1 + term / front)
            found *= front * back
        if abs(front * back - 1) < 1e-15:
            break
    return found


def _off_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


def f_quantile(share: float, df: float, df_below: float) -> float:
    """The F that this share of all values do not pass, by halving; share from 0.0001 to 0.9999. Raises BadInput.

    df, df_below: degrees of freedom of the upper and the lower mean square, above 0
    """
    require_between("share", share, 1e-4, 1 - 1e-4, "from 0.0001 to 0.9999")
    low, high = 0.0, 1.0
    for _ in range(200):
        middle = (low + high) / 2
        if beta_share(middle, df / 2, df_below / 2) < share:
            low = middle
        else:
            high = middle
    return df_below * high / (df * (1 - high))
