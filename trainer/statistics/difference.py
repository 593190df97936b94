"""Is a question another one for another group, or in another period? And how often is it met?

A difference is a reason to read the question, never by itself a proof of unfairness. Below the stated numbers nothing
is said. Raises BadInput for arrays that do not fit together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require_from_zero, require_share, shape_of
from trainer.statistics.chi_square import chi_square_tail
from trainer.statistics.families import FamilyPlace
from trainer.statistics.simulating import NINETY_FIVE

LEAST_A_GROUP = 100  # people of the smaller group; common practice, no source
LEAST_ANCHORS = 3  # families that hold the scale while one is looked at; this project's own limit
DELTA = -2.35  # of a log odds ratio to the delta scale; from memory
SMALL, LARGE = 1.0, 1.5  # delta; from memory
Class = Literal["A", "B", "C"]


@dataclass(frozen=True)
class TwoGroups:
    """How a question does for people of the focal group beside people of the reference group who know as much.

    odds: Mantel and Haenszel's common odds ratio, above 1 where the reference group does better
    delta: -2.35 ln(odds), with its 95 % interval low to high; chance: of the corrected chi-square, df 1
    size: A negligible, B moderate, C large; None where a group is too small to class
    people: of the reference and the focal group that counted
    """

    odds: float
    delta: float
    low: float
    high: float
    chi_square: float
    chance: float
    size: Class | None
    people: tuple[int, int]


def strata(right: npt.ArrayLike, score: npt.ArrayLike, focal: npt.ArrayLike) -> Floats:
    """Right and wrong answers by level of score: (levels, 2 groups, 2), reference first, right first.

    right: of each person to the question, 1 or 0, (n,); score: in the whole exam, this question included, (n,)
    focal: whether the person is of the focal group, (n,)
    """
    answer, level, group = np.asarray(right), np.asarray(score), np.asarray(focal, dtype=bool)
    if answer.ndim != 1 or not answer.shape == level.shape == group.shape:
        raise BadInput(
            "score", shape_of(np.asarray(level, dtype=np.float64)), "one a person, as the answers and groups"
        )
    if not np.isin(answer, (0, 1)).all():
        raise BadInput("right", "another value", "1 or 0")
    found = np.zeros((len(np.unique(level)), 2, 2))
    np.add.at(found, (np.unique(level, return_inverse=True)[1], group.astype(int), 1 - answer.astype(int)), 1)
    return found


def two_groups(tables: npt.ArrayLike) -> TwoGroups | None:
    """Differential item functioning by Mantel and Haenszel; None where no level lets the groups be compared.

    tables: as `strata` gives them. Levels without people of both groups count for nothing.
    Source: Mantel and Haenszel 1959; error of the log odds by Robins, Breslow and Greenland 1986; classes as large
    testing programs use them (A: below 1, or not surely off 0; C: 1.5 or more and surely beyond 1): all from memory.
    """
    given = require_from_zero("tables", tables)
    if given.ndim != 3 or given.shape[1:] != (2, 2):
        raise BadInput("tables", shape_of(given), "of shape (levels, 2, 2)")
    used = given[(given.sum(axis=2) > 0).all(axis=1)]
    a, b, c, d = used[:, 0, 0], used[:, 0, 1], used[:, 1, 0], used[:, 1, 1]
    n = used.sum(axis=(1, 2))
    with_odds, against = a * d / n, b * c / n
    if with_odds.sum() == 0 or against.sum() == 0:
        return None
    odds = float(with_odds.sum() / against.sum())
    delta, error = DELTA * math.log(odds), -DELTA * _log_error(a, b, c, d)
    chi_square, chance = _corrected(a, b, c, d)
    people = int((a + b).sum()), int((c + d).sum())
    return TwoGroups(
        odds, delta, delta - NINETY_FIVE * error, delta + NINETY_FIVE * error, chi_square, chance,
        _size(delta, error, chance) if min(people) >= LEAST_A_GROUP else None, people,
    )  # fmt: skip


def _log_error(a: Floats, b: Floats, c: Floats, d: Floats) -> float:
    n = a + b + c + d
    alike, unlike, r, s = (a + d) / n, (b + c) / n, a * d / n, b * c / n
    all_r, all_s = r.sum(), s.sum()
    mixed = (alike * s + unlike * r).sum() / (2 * all_r * all_s)
    return math.sqrt((alike * r).sum() / (2 * all_r**2) + mixed + (unlike * s).sum() / (2 * all_s**2))


def _corrected(a: Floats, b: Floats, c: Floats, d: Floats) -> tuple[float, float]:
    n = a + b + c + d
    expected = (a + b) * (a + c) / n
    many = n > 1  # one person alone varies in nothing
    variance = ((a + b) * (c + d) * (a + c) * (b + d))[many] / (n**2 * (n - 1))[many]
    off = max(0.0, abs(float((a - expected).sum())) - 0.5)
    statistic = off**2 / float(variance.sum())
    return statistic, chi_square_tail(statistic, 1)


def _size(delta: float, error: float, chance: float) -> Class:
    if abs(delta) < SMALL or chance >= 0.05:
        return "A"
    surely_beyond = (abs(delta) - SMALL) / error > 1.6448536269514722  # one-sided 5 %
    return "C" if abs(delta) >= LARGE and surely_beyond else "B"


@dataclass(frozen=True)
class Drift:
    """How much harder a family has become beside the others [logit], with its 95 % interval; chance: that of none."""

    moved: float
    low: float
    high: float
    chance: float


def drift(before: Sequence[FamilyPlace], after: Sequence[FamilyPlace]) -> tuple[Drift | None, ...]:
    """Of each family, between two periods; the same families in the same order.

    None where either place is a belief and not answers, or where fewer than three others hold the scale. The scale is
    moved by the median of the others, so that one family that drifts does not move it; the median's own error is left
    out. Nothing is adjusted for how many families there are: one in 20 lies beyond its interval by chance.
    """
    if len(before) != len(after):
        raise BadInput("after", float(len(after)), f"one for each of {len(before)} families")
    moved = np.array([new.place - old.place for old, new in zip(before, after, strict=True)])
    known = np.array(
        [old.source == new.source == "answers" for old, new in zip(before, after, strict=True)], bool
    )
    found: list[Drift | None] = []
    for one, (old, new) in enumerate(zip(before, after, strict=True)):
        others = known & (np.arange(len(moved)) != one)
        if not known[one] or others.sum() < LEAST_ANCHORS:
            found.append(None)
            continue
        change, error = float(moved[one] - np.median(moved[others])), math.hypot(old.error, new.error)
        reach = NINETY_FIVE * error
        chance = chi_square_tail((change / error) ** 2, 1)
        found.append(Drift(change, change - reach, change + reach, chance))
    return tuple(found)


def exposure(forms: npt.ArrayLike) -> Floats:
    """The share of forms that held each family, (families,). forms: whether each form held it, (forms, families)."""
    given = np.asarray(forms, dtype=bool)
    if given.ndim != 2 or len(given) == 0:
        raise BadInput("forms", shape_of(given.astype(float)), "of shape (forms, families), one form or more")
    rates: Floats = given.mean(axis=0)
    return rates


def overlap(rates: npt.ArrayLike) -> float:
    """The share of a form that another one is expected to hold too: sum of squared rates over their sum.

    rates: exposure of each family, 0 to 1, not all 0. Source: Chen, Ankenmann and Spray 2003, from memory.
    """
    given = require_share("rates", rates)
    if not given.any():
        raise BadInput("rates", 0.0, "above 0 for one family or more")
    return float((given**2).sum() / given.sum())
