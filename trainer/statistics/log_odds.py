"""The log odds of a chance that has a Beta distribution."""

from __future__ import annotations

import math

from trainer.solver.numbers import require_above_zero

_FAR = 10.0  # from here on the asymptotic series below have all digits


def log_odds_of_beta(a: float, b: float) -> tuple[float, float]:
    """Mean and standard deviation of ln(p / (1 - p)), p Beta with parameters a and b, both above 0. Raises BadInput.

    Source: the log odds are the difference of two independent log gammas; series of Abramowitz and Stegun 6.3.18 and
    6.4.12, from memory.
    """
    require_above_zero("a", a)
    require_above_zero("b", b)
    return _digamma(a) - _digamma(b), math.sqrt(_trigamma(a) + _trigamma(b))


def _digamma(x: float) -> float:
    below = 0.0
    while x < _FAR:
        below, x = below - 1 / x, x + 1
    y = 1 / (x * x)
    tail = y * (1 / 12 - y * (1 / 120 - y * (1 / 252 - y * (1 / 240 - y * (1 / 132 - y * 691 / 32760)))))
    return below + math.log(x) - 1 / (2 * x) - tail


def _trigamma(x: float) -> float:
    below = 0.0
    while x < _FAR:
        below, x = below + 1 / (x * x), x + 1
    y = 1 / (x * x)
    return below + 1 / x + y / 2 + y / x * (1 / 6 - y * (1 / 30 - y * (1 / 42 - y * (1 / 30 - y * 5 / 66))))
