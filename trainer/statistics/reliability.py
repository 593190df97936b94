"""How far a score can be trusted: reliability, and by how much one person's score would vary from form to form.

Answers are a whole table of people by items, 1 right and 0 wrong. Raises BadInput where a figure is not defined: fewer
than two items or people, or scores that do not vary. Sources: Kuder and Richardson 1937, Cronbach 1951, Lord 1957,
Feldt 1965, Livingston 1972, Brennan and Kane 1977, all from memory.
"""

from __future__ import annotations

import math

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Floats,
    require,
    require_above_zero,
    require_between,
    require_from_zero,
    require_share,
    shape_of,
)
from trainer.statistics.beta import f_quantile


def kr20(given: Floats) -> float:
    """Kuder and Richardson's formula 20, at most 1; with the spread of these very people, as each p(1 - p) has."""
    table = _whole(given)
    share = table.mean(axis=0)
    return _of_items(table.shape[1], float((share * (1 - share)).sum()), _spread(table))


def kr21(items: int, mean: float, variance: float) -> float:
    """Formula 21, from mean and variance of the scores alone, as if all items were equally hard: at most 20's."""
    _need_items(items)
    require_above_zero("variance", variance)
    return _of_items(items, mean * (items - mean) / items, variance)


def alpha(given: Floats) -> float:
    """Cronbach's alpha, at most 1; for answers of 0 and 1 the same as KR-20."""
    table = np.asarray(given, dtype=float)
    if table.ndim != 2 or len(table) < 2:
        raise BadInput("given", shape_of(table), "a table of two people or more by items")
    _need_items(table.shape[1])
    return _of_items(table.shape[1], float(table.var(axis=0, ddof=1).sum()), _spread(table, ddof=1))


def alpha_interval(given: Floats) -> tuple[float, float]:
    """The 95 % interval of alpha, lower end first; it may begin below 0, and never ends above 1.

    It leans on people and items drawn by chance and on errors that are alike and about normal; for answers of 0 and 1
    it is a guide.
    """
    found, (people, items) = alpha(given), np.asarray(given).shape
    high, low = (
        1 - (1 - found) * f_quantile(one, people - 1, (people - 1) * (items - 1)) for one in (0.025, 0.975)
    )
    return low, high


def standard_error(deviation: float, reliability: float) -> float:
    """By how much scores of one person vary from form to form, on the average of all people [points]."""
    return deviation * math.sqrt(1 - float(require_between("reliability", reliability, 0, 1, "from 0 to 1")))


def standard_error_at(score: float, items: int) -> float:
    """The same for people who have this very score, by Lord's binomial error [points]; use it at the cut."""
    _need_items(items)
    require_between("score", score, 0, items, f"from 0 to {items}")
    return math.sqrt(score * (items - score) / (items - 1))


def livingston(reliability: float, mean: float, variance: float, cut: float, items: int) -> float:
    """How well scores are told from the cut, at most 1: the farther the cut from the mean, the nearer to 1.

    mean, cut: from 0 to items; variance: of the scores, 0 or more
    """
    for name, value in (("mean", mean), ("cut", cut)):
        require_between(name, value, 0, items, f"from 0 to {items}")
    require_from_zero("variance", variance)
    off = (mean - cut) ** 2
    if not variance + off > 0:
        raise BadInput("variance", variance, "above 0 where the cut is the mean")
    return (reliability * variance + off) / (variance + off)


def phi(items: int, mean: float, variance: float, cut: float) -> float:
    """Brennan and Kane's index for a cut, the short way; mean, variance and cut are of shares from 0 to 1."""
    _need_items(items)
    require_share("mean", mean)
    require_share("cut", cut)
    require_from_zero("variance", variance)
    off = (mean - cut) ** 2
    if not variance + off > 0:
        raise BadInput("variance", variance, "above 0 where the cut is the mean")
    return 1 - (mean * (1 - mean) - variance) / ((items - 1) * (off + variance))


def _of_items(items: int, within: float, spread: float) -> float:
    return items / (items - 1) * (1 - within / spread)


def _whole(given: Floats) -> Floats:
    table = np.asarray(given, dtype=float)
    if table.ndim != 2 or len(table) < 2:
        raise BadInput("given", shape_of(table), "a table of two people or more by items")
    require("given", table, (table == 0) | (table == 1), "0 or 1")
    _need_items(table.shape[1])
    return table


def _spread(table: Floats, ddof: int = 0) -> float:
    spread = float(table.sum(axis=1).var(ddof=ddof))
    if not spread > 0:
        raise BadInput("given", "the same score for everybody", "scores that vary")
    return spread


def _need_items(items: int) -> None:
    if items < 2:
        raise BadInput("items", items, "two or more")
