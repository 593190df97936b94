"""A mean with its interval, by Student's t."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, require_finite, require_from_zero, require_whole, shape_of

_WIDEST = 1e6  # t beyond which nobody asks


@dataclass(frozen=True)
class Mean:
    """The mean of n values, with the 95 % interval low to high of the mean that they come from."""

    value: float
    low: float
    high: float
    n: int


def mean_of(values: npt.ArrayLike) -> Mean:
    """The mean of independent values, (n,), two or more. Values that are all equal give an interval without width.

    Raises BadInput. The interval leans on the values being many or about normal.
    """
    given = require_finite("values", values)
    if given.ndim != 1 or given.size < 2:
        raise BadInput("values", shape_of(given), "a list of two or more")
    value = float(given.mean())
    reach = t_quantile(0.05, given.size - 1) * float(np.std(given, ddof=1)) / math.sqrt(given.size)
    return Mean(value, value - reach, value + reach, given.size)


def t_tails(t: float, df: int) -> float:
    """The chance that Student's t is as far from 0 as t, 0 or more, or farther; df: whole, 1 or more. Raises BadInput.

    Source: Abramowitz and Stegun 26.7.3 (odd) and 26.7.4 (even), from memory.
    """
    require_from_zero("t", t)
    require_whole("df", df)
    angle = math.atan2(t, math.sqrt(df))
    square = df / (df + t * t)
    # Each term is the one before times cos^2 and a ratio of neighbours: 2/3, 4/5 ... odd, 1/2, 3/4 ... even.
    first = 2 if df % 2 else 1
    ratios = square * np.arange(first, df - 2, 2) / np.arange(first + 1, df - 1, 2)
    terms = float(np.concatenate([[1.0], ratios]).cumprod().sum())
    if df % 2 == 0:
        within = math.sin(angle) * terms
    else:
        within = 2 / math.pi * (angle + (math.sin(angle) * math.cos(angle) * terms if df > 1 else 0.0))
    return min(1.0, max(0.0, 1 - within))


def t_quantile(chance: float, df: int) -> float:
    """The t that is passed, both ways together, with this chance, from 0.0001 to below 1. Raises BadInput."""
    if not 1e-4 <= chance < 1:
        raise BadInput("chance", chance, "from 0.0001 to below 1")
    low, high = 0.0, _WIDEST
    for _ in range(100):
        middle = (low + high) / 2
        if t_tails(middle, df) > chance:
            low = middle
        else:
            high = middle
    return high
