"""How hard a form is expected to be: the curve of its score, and the chance to pass near the cut. A model, not data.

The border stands at 0: that is the person who is only just competent. A family's place on the same scale [logit] is a
prior, from its level and steps or from what judges said of it; nobody's answers are in it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from trainer.statistics.families import response

# Chance of the person at the border, by level: this project's own judgement; common practice, no source.
BORDER_BY_LEVEL = {1: 0.85, 2: 0.75, 3: 0.65}
PER_STEP = 0.1  # logit a worked step beyond two; the same judgement
SPREAD = 0.4  # logit between the instances of a family
FIXED_SPREAD = 0.0  # a fixed question has one instance
NEAR = (-0.5, 0.0, 0.5)  # where forms are compared [logit from the border]


@dataclass(frozen=True)
class Difficulty:
    """Where a family stands on the scale, and how far its instances spread around that [logit]."""

    place: float
    spread: float


def logit(chance: float) -> float:
    """ln(p / (1 - p)). chance: between 0 and 1, neither of them. Raises ValueError."""
    if not 0 < chance < 1:
        raise ValueError(f"chance is {chance}; it must be between 0 and 1")
    return math.log(chance / (1 - chance))


def prior(level: int, steps: int, *, family: bool) -> Difficulty:
    """What is assumed of a question before anybody has answered it."""
    place = -logit(BORDER_BY_LEVEL[level]) + PER_STEP * max(0, steps - 2)
    return Difficulty(place, SPREAD if family else FIXED_SPREAD)


def judged(chance: float, *, family: bool) -> Difficulty:
    """From what judges expect of the person at the border; a rating of nothing or all is drawn in by half a percent."""
    spread = SPREAD if family else FIXED_SPREAD
    return Difficulty(-logit(min(max(chance, 0.005), 0.995)), spread)


@lru_cache(maxsize=4096)
def chance_right(one: Difficulty, theta: float) -> float:
    """Chance of a right answer at a place on the scale, over the instances of a family."""
    return float(response(theta, one.place, one.spread))


def expected_score(form: Sequence[Difficulty], theta: float) -> float:
    """Expected right answers of a form at a place on the scale: one point of its test characteristic curve."""
    return math.fsum(chance_right(one, theta) for one in form)


def score_chances(chances: Sequence[float]) -> list[float]:
    """The chance of each number right, 0 to all, of items that are right independently (Lord and Wingersky 1984)."""
    found = [1.0]
    for chance in chances:
        wrong = [one * (1 - chance) for one in found] + [0.0]
        right = [0.0] + [one * chance for one in found]
        found = [a + b for a, b in zip(wrong, right, strict=True)]
    return found


def pass_chance(chances: Sequence[float], critical: Sequence[float], cut: int) -> float:
    """The chance to pass: at least `cut` right in all, and every critical item right.

    chances: those of the items that are not critical; critical: those that are
    """
    rest = score_chances(chances)[max(0, cut - len(critical)) :]
    return math.prod(critical) * math.fsum(rest)


def spread_of_score(form: Sequence[Difficulty], theta: float) -> float:
    """Standard error of the number right at a place on the scale: sqrt of the sum of p (1 - p)."""
    return math.sqrt(math.fsum(p * (1 - p) for p in (chance_right(one, theta) for one in form)))
