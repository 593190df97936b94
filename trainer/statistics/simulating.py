"""Invented people with known ability sit forms: how often the wrong ones pass and the right ones fail.

The model is that of the forms: a family's instances are normal around its place; P(right) = 1 / (1 + exp(b - place)).
Randomness is handed in; nothing that is scored for a real person comes from here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import Floats

Whole = npt.NDArray[np.int_]
Flags = npt.NDArray[np.bool_]
BANDS = (-1.0, -0.5, 0.0, 0.5, 1.0)  # logit from the border
NINETY_FIVE = 1.959963984540054  # z that all but 5 of 100 lie within, both ways


@dataclass(frozen=True, eq=False)
class Forms:
    """f forms of m slots each, as a model knows them.

    place, spread: of each slot's family [logit], (f, m); skill, area: numbers of each slot's skill and area, (f, m)
    critical: of each area, whether every answer in it must be right; cut: right answers needed
    """

    place: Floats
    spread: Floats
    skill: Whole
    area: Whole
    critical: Flags
    cut: int


def sit(places: Floats, forms: Forms, which: Whole, rng: np.random.Generator) -> Flags:
    """Whether each answer is right, (n, m). places: of each person in each skill [logit], (n, s); which: form, (n,)."""
    b = forms.place[which] + forms.spread[which] * rng.standard_normal((len(which), forms.place.shape[1]))
    theta = np.take_along_axis(places, forms.skill[which], axis=1)
    right: Flags = rng.random(b.shape) < 1 / (1 + np.exp(b - theta))
    return right


def passed(right: Flags, forms: Forms, which: Whole) -> Flags:
    """Whether each person has passed, (n,): enough right in all, and everything in the critical areas."""
    missed = (~right & forms.critical[forms.area[which]]).any(axis=1)
    return np.asarray((right.sum(axis=1) >= forms.cut) & ~missed)


def margins(places: Floats, weights: Floats) -> Floats:
    """How far each person stands above what is asked [logit], (n,): the least of several means over their skills.

    places: of each person in each skill, (n, s); weights: of the skills in each mean, (w, s), not all 0 in a row
    """
    means: Floats = places @ (weights / weights.sum(axis=1, keepdims=True)).T
    return np.asarray(means.min(axis=1))


@dataclass(frozen=True)
class Share:
    """How many of how many, with Wilson's 95 % interval of the share; without anybody the interval is open."""

    count: int
    of: int

    @property
    def value(self) -> float | None:
        """The share; None of nobody."""
        return self.count / self.of if self.of else None

    @property
    def interval(self) -> tuple[float, float]:
        """Source: Wilson, Journal of the American Statistical Association 22 (1927), from memory."""
        if not self.of:
            return 0.0, 1.0
        n, p, z2 = self.of, self.count / self.of, NINETY_FIVE**2
        middle, reach = p + z2 / (2 * n), NINETY_FIVE * math.sqrt(p * (1 - p) / n + z2 / (4 * n * n))
        low, high = (middle - reach) / (1 + z2 / n), (middle + reach) / (1 + z2 / n)
        return (0.0 if self.count == 0 else low), (1.0 if self.count == n else high)

    @property
    def plain(self) -> dict[str, float | None]:
        """All of it as plain values, for JSON."""
        low, high = self.interval
        return {"count": self.count, "of": self.of, "value": self.value, "low": low, "high": high}


@dataclass(frozen=True, eq=False)
class Sat:
    """What happened to n people in up to k tries.

    margin: how far each stood above what is asked, at each try [logit], (k, n); NaN where there was no such try
    passed: whether each passed at that try, (k, n)
    """

    margin: Floats
    passed: Flags


@dataclass(frozen=True)
class AfterTries:
    """Where things stand once everybody has had so many tries.

    false_pass: of those who were not up to it at their first try, who has passed while still not up to it
    false_fail: of those who were up to it at their first try, who has not passed
    among_passed: of all who have passed, who was not up to it when passing
    """

    tries: int
    false_pass: Share
    false_fail: Share
    among_passed: Share


@dataclass(frozen=True)
class Band:
    """Those whose margin at the first try was from `low` to below `high` [logit]: who passed at once, in the end."""

    low: float
    high: float
    at_once: Share
    in_the_end: Share


def after_tries(sat: Sat) -> tuple[AfterTries, ...]:
    """False passes and false fails by number of tries."""
    first_up = sat.margin[0] >= 0
    begun = ~np.isnan(sat.margin[0])
    wrongly = sat.passed & (sat.margin < 0)
    return tuple(
        AfterTries(
            tries,
            _share(wrongly[:tries].any(axis=0), begun & ~first_up),
            _share(~sat.passed[:tries].any(axis=0), first_up),
            _share(wrongly[:tries].any(axis=0), sat.passed[:tries].any(axis=0)),
        )
        for tries in range(1, len(sat.passed) + 1)
    )


def near_the_border(sat: Sat, edges: Sequence[float] = BANDS) -> tuple[Band, ...]:
    """Who passes, by how far from the border they stood at their first try."""
    return tuple(
        Band(low, high, _share(sat.passed[0], inside), _share(sat.passed.any(axis=0), inside))
        for low, high in pairwise(edges)
        for inside in [(sat.margin[0] >= low) & (sat.margin[0] < high)]
    )


def _share(who: npt.NDArray[Any] | np.bool_, among: npt.NDArray[Any] | np.bool_) -> Share:
    return Share(int((who & among).sum()), int(among.sum()))
