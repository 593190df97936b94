"""How sure a verdict is: would the same people be judged the same on another form, and as their true share deserves?

Scores are whole numbers of right answers out of `items`; whoever has `cut` or more passes. Each method answers from one
sitting, and each assumes something else, so the method stands beside its figure. Raises BadInput where the figure is
not defined: no spread of scores, or a reliability that is not between 0 and 1.
Sources: Subkoviak 1976, Peng and Subkoviak 1980, Huynh 1976, Livingston and Lewis 1995, all from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import (
    BadInput,
    Floats,
    require,
    require_above_zero,
    require_between,
    require_finite,
    require_whole,
)

_NODES = 64  # of each piece of a quadrature


@dataclass(frozen=True)
class Consistency:
    """Verdicts of two forms, or of one form and the truth; chances from 0 to 1.

    agreement: the chance that two forms judge a person alike (p0); passing: the chance to pass one form
    accuracy: the chance that one form judges a person as the true share deserves; None where the method has no truth
    """

    agreement: float
    passing: float
    accuracy: float | None = None

    @property
    def by_chance(self) -> float:
        """The agreement of two forms that know nothing of each other."""
        return self.passing**2 + (1 - self.passing) ** 2

    @property
    def kappa(self) -> float | None:
        """Agreement beyond chance, as a share of what is possible; None where everybody passes or nobody does."""
        return None if self.by_chance == 1 else (self.agreement - self.by_chance) / (1 - self.by_chance)


@dataclass(frozen=True)
class TrueShares:
    """People's true shares of right answers: Beta(a, b), a and b above 0, stretched over `low` to `high`."""

    a: float
    b: float
    low: float = 0.0
    high: float = 1.0

    def __post_init__(self) -> None:
        require_above_zero("a", self.a)
        require_above_zero("b", self.b)
        require("low", self.low, 0 <= self.low < self.high <= 1, "from 0 to below high, which is at most 1")


def subkoviak(scores: npt.ArrayLike, items: int, cut: int, reliability: float) -> Consistency:
    """Each person's share drawn to the mean by the reliability, then binomial. scores: (n,), one person or more."""
    given = _scores(scores, items, cut)
    _reliable(reliability)
    share = (reliability * given + (1 - reliability) * given.mean()) / items
    passing = _binomial_tail(share, items, cut)
    return Consistency(float(np.mean(passing**2 + (1 - passing) ** 2)), float(passing.mean()))


def peng_subkoviak(mean: float, deviation: float, cut: int, reliability: float) -> Consistency:
    """Scores of two forms are bivariate normal, correlated by the reliability; the cut is taken half a point lower.

    mean, deviation: of the scores; deviation above 0
    """
    _reliable(reliability)
    require("deviation", deviation, deviation > 0, "above 0")
    z = (cut - 0.5 - float(require_finite("mean", mean))) / deviation
    below = 0.5 * math.erfc(-z / math.sqrt(2))
    return Consistency(1 - 2 * (below - _both_below(z, reliability)), 1 - below)


def huynh(mean: float, items: int, cut: int, reliability: float) -> Consistency:
    """True shares have a Beta distribution, scores are binomial. mean: between 0 and items; reliability: KR-21."""
    _reliable(reliability)
    _cut(items, cut)
    require("mean", mean, 0 < mean < items, "between 0 and items")
    a = mean * (1 / reliability - 1)
    b = items / reliability - items - a
    return _of_beta(TrueShares(a, b), items, cut, None)


def livingston_lewis(true: TrueShares, length: int, cut: int, true_cut: float | None = None) -> Consistency:
    """True shares have a Beta distribution; scores are binomial over an effective length.

    cut: right answers needed of `length`; true_cut: the share that deserves to pass, cut / length where None
    """
    _cut(length, cut)
    return _of_beta(true, length, cut, cut / length if true_cut is None else true_cut)


def livingston_lewis_of(
    mean: float, variance: float, items: int, cut: int, reliability: float
) -> Consistency:
    """The same from scores, with this rule of fit: 0 to 1 as the ends, so two parameters; the Beta has the mean of the
    scores' shares and the reliability times their variance; the effective length is rounded to the nearest whole
    number, at least 1; its cut is the same share of it, rounded up.

    mean: between 0 and items; variance: of the scores
    """
    _reliable(reliability)
    _cut(items, cut)
    length = effective_length(mean, variance, items, reliability)
    share, true_variance = mean / items, reliability * variance / items**2
    size = share * (1 - share) / true_variance - 1
    require("variance", variance, size > 0, "less than that of people who get all or nothing right")
    # A whole cut stays whole: the last bit of a product is not another question.
    needed = math.ceil(round(length * cut / items, 9))
    return livingston_lewis(TrueShares(share * size, (1 - share) * size), length, needed, cut / items)


def effective_length(mean: float, variance: float, items: int, reliability: float) -> int:
    """How many equal, independent items would give scores as reliable, rounded, at least 1."""
    require("mean", mean, 0 < mean < items, "between 0 and items")
    require("variance", variance, variance > 0, "above 0")
    found = (mean * (items - mean) - reliability * variance) / (variance * (1 - reliability))
    return max(1, round(found))


def _of_beta(true: TrueShares, length: int, cut: int, true_cut: float | None) -> Consistency:
    split = 0.0 if true_cut is None else (true_cut - true.low) / (true.high - true.low)
    at, weight = _nodes(true.a, true.b, split)
    passing = _binomial_tail(true.low + (true.high - true.low) * at, length, cut)
    right = np.where(at >= split, passing, 1 - passing)
    return Consistency(
        float(weight @ (passing**2 + (1 - passing) ** 2)),
        float(weight @ passing),
        None if true_cut is None else float(weight @ right),
    )


def _nodes(a: float, b: float, split: float) -> tuple[Floats, Floats]:
    """Nodes and weights of total 1 over Beta(a, b); at `split` the integrand may jump.

    Pieces end at the split and around the mean, so that a narrow peak is met. At 0 and 1 the broken part of the power
    goes into the rule; what is left is a polynomial there.
    """
    mean = a / (a + b)
    reach = 8 * math.sqrt(mean * (1 - mean) / (a + b + 1))
    inner = {one for one in (mean - reach, mean, mean + reach, split) if 0 < one < 1}
    nodes, logs = [], []
    for low, high in pairwise(sorted({0.0, 1.0, *inner})):
        p, q = _broken(a) if low == 0 else 1.0, _broken(b) if high == 1 else 1.0
        u, weight = _jacobi(p, q)
        u = np.clip(u, 1e-15, 1 - 1e-15)  # a node rounded into the end would have no logarithm
        t = low + (high - low) * u
        ln_whole = math.lgamma(p) + math.lgamma(q) - math.lgamma(p + q) + math.log(high - low)
        ln_left = (a - 1) * np.log(t) + (b - 1) * np.log1p(-t) - (p - 1) * np.log(u) - (q - 1) * np.log1p(-u)
        nodes.append(t)
        logs.append(np.log(weight) + ln_left + ln_whole)
    found = np.exp(np.concatenate(logs) - max(one.max() for one in logs))
    return np.concatenate(nodes), found / found.sum()


def _broken(power: float) -> float:
    """What differs from the power by a whole number that is not negative, near 1 where it can be."""
    return power - max(math.floor(power + 0.5), 1) + 1


def _jacobi(a: float, b: float) -> tuple[Floats, Floats]:
    """Gauss-Jacobi nodes in 0 to 1 and weights of total 1, for the density of Beta(a, b).

    Source: Golub and Welsch 1969, from memory; the recurrence of Jacobi's polynomials is moved to 0 to 1.
    """
    n = np.arange(_NODES, dtype=np.float64)
    p, q = b - 1, a - 1
    s = 2 * n + p + q
    diagonal = np.full(_NODES, (q - p) / (p + q + 2))
    diagonal[1:] = (q * q - p * p) / (s[1:] * (s[1:] + 2))
    k, t = n[1:], s[1:]
    square = np.empty(_NODES - 1)
    square[0] = 4 * (1 + p) * (1 + q) / ((2 + p + q) ** 2 * (3 + p + q))
    k, t = k[1:], t[1:]
    square[1:] = 4 * k * (k + p) * (k + q) * (k + p + q) / (t * t * (t + 1) * (t - 1))
    off = np.sqrt(square)
    at, vectors = np.linalg.eigh(np.diag(diagonal) + np.diag(off, 1) + np.diag(off, -1))
    return (1 + at) / 2, vectors[0] ** 2


def _both_below(z: float, r: float) -> float:
    """The chance that two standard normal values, correlated by r, are both below z.

    Source: Plackett 1954, from memory: the derivative by r is the density at (z, z); put r = sin t and integrate.
    """
    x, weight = np.polynomial.legendre.leggauss(_NODES)
    end = math.asin(r)
    inner = np.exp(-z * z / (1 + np.sin(end * (1 + x) / 2)))
    return (0.5 * math.erfc(-z / math.sqrt(2))) ** 2 + float(weight @ inner) * end / (4 * math.pi)


def _binomial_tail(share: Floats, items: int, cut: int) -> Floats:
    """The chance of `cut` right answers or more, of each share."""
    x = np.arange(cut, items + 1)
    ways = np.array(
        [math.lgamma(items + 1) - math.lgamma(one + 1) - math.lgamma(items - one + 1) for one in x]
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        # 0 times minus infinity is the power 0 of 0, which is 1.
        logs = [
            np.where(power == 0, 0.0, power * np.log(base)[..., None])
            for power, base in ((x, share), (items - x, 1 - share))
        ]
    found: Floats = np.minimum(1.0, np.exp(ways + logs[0] + logs[1]).sum(axis=-1))
    return found


def _scores(scores: npt.ArrayLike, items: int, cut: int) -> Floats:
    _cut(items, cut)
    given = require_finite("scores", scores)
    if given.ndim != 1 or given.size == 0:
        raise BadInput("scores", float(given.size), "a list of one score or more")
    return require_between("scores", given, 0, items, f"from 0 to {items}")


def _cut(items: int, cut: int) -> None:
    require_whole("items", items)
    require("cut", cut, 0 < cut <= items, f"from 1 to {items}")


def _reliable(reliability: float) -> None:
    require("reliability", reliability, 0 < reliability < 1, "between 0 and 1")
