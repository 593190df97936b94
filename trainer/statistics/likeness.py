"""Whether instances of a family, or two forms, are as hard as one another: from counts of right answers."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require, require_above_zero, require_whole, shape_of
from trainer.statistics.chi_square import chi_square_tail

LEAST_EXPECTED, MANY_EXPECTED, FEW_SMALL = 1, 5, 0.2


@dataclass(frozen=True)
class Homogeneity:
    """Pearson's test of one share of right answers for all instances; p is the chance of as much by luck alone.

    least_expected: of the counts of right and of wrong answers
    small: share of those counts from which fewer than five are expected
    """

    statistic: float
    df: int
    p: float
    least_expected: float
    small: float

    @property
    def trusted(self) -> bool:
        """Whether p is what it says: no expected count below 1, at most a fifth below 5 (Cochran 1954, from memory)."""
        return self.least_expected >= LEAST_EXPECTED and self.small <= FEW_SMALL


def homogeneity(right: npt.ArrayLike, asked: npt.ArrayLike) -> Homogeneity:
    """Whether the instances of a family are alike.

    right, asked: answers of each instance, whole, right from 0 to asked, asked 1 or more, (m,), two or more; those who
    answered must be alike too, for only shares are compared. All right or all wrong is a statistic of 0. BadInput.
    """
    r, n = _counts(right, asked)
    if r.ndim != 1 or len(r) < 2:
        raise BadInput("right", shape_of(r), "of two instances or more")
    share = r.sum() / n.sum()
    df = len(r) - 1
    if share in (0, 1):
        return Homogeneity(0.0, df, 1.0, 0.0, 0.5)
    expected = np.concatenate([n * share, n * (1 - share)])
    statistic = float(((r - n * share) ** 2 / (n * share * (1 - share))).sum())
    small = float((expected < MANY_EXPECTED).mean())
    return Homogeneity(statistic, df, chi_square_tail(statistic, df), float(expected.min()), small)


@dataclass(frozen=True)
class Equivalence:
    """Two one-sided tests that two shares of right answers differ by less than a margin.

    difference: of the shares; above, below: z of the difference over minus the margin and under the margin
    p: the larger of both; low, high: interval of the difference that holds 90 of 100; equivalent at p below 0.05
    """

    difference: float
    above: float
    below: float
    p: float
    low: float
    high: float

    @property
    def equivalent(self) -> bool:
        """Whether they are shown to be alike. Not to have been shown to be alike is no proof of a difference."""
        return self.p < 0.05


NINETY = 1.6448536269514722  # z that 95 of 100 lie below


def equivalence(right: tuple[int, int], asked: tuple[int, int], margin: float) -> Equivalence:
    """Whether two forms, or two families, are as hard as one another within a margin.

    right, asked: of each, whole; margin: of the share, above 0. Raises BadInput, also where all answers are alike.
    Source: Schuirmann's two one-sided tests with Wald's error, from memory.
    """
    r, n = _counts(right, asked)
    require_above_zero("margin", margin)
    shares = r / n
    error = math.sqrt(float((shares * (1 - shares) / n).sum()))
    require("right", r, error > 0, "neither all nor nothing in both")
    difference = float(shares[0] - shares[1])
    above, below = (difference + margin) / error, (difference - margin) / error
    p = max(_above(above), _above(-below))
    return Equivalence(difference, above, below, p, difference - NINETY * error, difference + NINETY * error)


def _above(z: float) -> float:
    """The chance that a standard normal lies above z."""
    return math.erfc(z / math.sqrt(2)) / 2


def _counts(right: npt.ArrayLike, asked: npt.ArrayLike) -> tuple[Floats, Floats]:
    n = require_whole("asked", asked)
    r = require_whole("right", right, 0)
    if r.shape != n.shape:
        raise BadInput("right", shape_of(r), f"as many as asked, {n.size}")
    return require("right", r, r <= n, "no more than asked"), n
