"""What a question's figures say: fine, to be watched, or out of scored use until somebody has read it.

A flag is a reason to read the question. It is never by itself a proof that the question is wrong, and no flag changes
anybody's result. The limits are this project's own; docs/statistics.md says how often good questions are flagged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.statistics.chances import holm
from trainer.statistics.difference import Drift, TwoGroups
from trainer.statistics.families import FamilyPlace
from trainer.statistics.items import Chosen
from trainer.statistics.simulating import NINETY_FIVE, Share

Verdict = Literal["too_few", "fine", "watch", "out"]
Weight = Literal["watch", "out"]
RIGHT, OTHER = (
    "right",
    "other",
)  # names among what was chosen: the right answer, and a wrong one that nothing knows

LEAST = 30  # answers below which nothing is said but the model's value
HARD, EASY = 0.2, 0.95  # share right that the whole interval lies below, or above
WEAK = 0.1  # correlation with the rest that is too little to tell people apart
SCATTER, SCATTER_ERRORS = 1.25, 3.0  # infit, and how many of its errors above 1
OFF_LEVEL = 1.5  # logit between where a question stands and where its level puts it
MOVED, MOVED_FAR = 0.5, 1.0  # logit between two periods
LEVEL = 0.05  # the chance of a drift flag on any good question of a look


@dataclass(frozen=True)
class Rest:
    """Correlation with the share right on the other questions, -1 to 1, with its 95 % interval (Fisher's z)."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Believed:
    """The chance that an answer is right by the model: the prior and the answers together, with its 95 % interval.

    prior: of the person at the border before any answer; weight: how many answers that belief is worth
    """

    value: float
    low: float
    high: float
    prior: float
    weight: float


@dataclass(frozen=True)
class Fit:
    """How scattered answers are beside the model, 1 as expected; error: how far chance alone carries it."""

    infit: float
    error: float


@dataclass(frozen=True)
class Instances:
    """How far the instances of a family spread around its place [logit], with the 95 % interval; 3 is an open end."""

    spread: float
    low: float
    high: float


@dataclass(frozen=True)
class Figures:
    """Everything that is known of how a question does.

    guess: share that guessing alone gets right; expected: where its level puts it [logit]
    seconds: lower quartile, median and upper quartile of the time an answer takes
    instances: None where too few people had the same numbers
    """

    right: Share
    believed: Believed
    guess: float
    expected: float
    place: FamilyPlace
    rest: Rest | None = None
    difference: float | None = None
    chosen: tuple[Chosen, ...] = ()
    seconds: tuple[float, float, float] | None = None
    fit: Fit | None = None
    instances: Instances | None = None
    drift: Drift | None = None
    groups: TwoGroups | None = None


@dataclass(frozen=True)
class Reason:
    """Why a question is flagged: a key that both languages have a sentence for, and the numbers in it."""

    key: str
    weight: Weight
    numbers: Mapping[str, float | str]


@dataclass(frozen=True)
class Judged:
    """The verdict on a question, with its reasons, the heaviest first."""

    verdict: Verdict
    reasons: tuple[Reason, ...] = ()


def judge(figures: Sequence[Figures]) -> tuple[Judged, ...]:
    """The verdict on each question of one look, in the order given.

    Drift is adjusted by Holm for how many questions are looked at together. The others are not: a good question lies
    far from their limits, so that looking at many of them seldom flags one.
    """
    drifting = {
        at: one.drift.chance for at, one in enumerate(figures) if one.drift is not None and _many(one)
    }
    adjusted = holm(drifting)
    return tuple(_judged(one, adjusted.get(at)) for at, one in enumerate(figures))


def _many(one: Figures) -> bool:
    return one.right.of >= LEAST


def _judged(one: Figures, drift_chance: float | None) -> Judged:
    if not _many(one):
        return Judged("too_few")
    found = sorted(
        _reasons(one, drift_chance), key=lambda reason: reason.weight
    )  # "out" sorts before "watch"
    return Judged(found[0].weight if found else "fine", tuple(found))


def _reasons(one: Figures, drift_chance: float | None) -> Iterator[Reason]:
    yield from _how_hard(one)
    yield from _how_telling(one)
    yield from _what_is_chosen(one)
    yield from _off_the_model(one)
    yield from _changed(one, drift_chance)
    yield from _of_two_groups(one)


def _how_hard(one: Figures) -> Iterator[Reason]:
    low, high = one.right.interval
    numbers = {"right": one.right.count, "of": one.right.of}
    if high < one.guess:
        yield Reason("under_guessing", "out", numbers | {"guess": one.guess})
    elif high < HARD:
        yield Reason("hardly_anybody", "out", numbers)
    elif low > EASY:
        yield Reason("nearly_everybody", "watch", numbers)


def _how_telling(one: Figures) -> Iterator[Reason]:
    if one.rest is None:
        return
    numbers = {"rest": one.rest.value, "low": one.rest.low, "high": one.rest.high}
    if one.rest.high < 0:
        yield Reason("the_better_miss_it", "out", numbers)
    elif one.rest.value < 0:
        yield Reason("maybe_the_better_miss_it", "watch", numbers)
    elif one.rest.high < WEAK:
        yield Reason("tells_nobody_apart", "watch", numbers)


def _what_is_chosen(one: Figures) -> Iterator[Reason]:
    """A wrong answer that rises with ability, and that the best give more often than the right one."""
    right = next((each for each in one.chosen if each.name == RIGHT), Chosen(RIGHT, 0, 0.0, 0.0))
    best = 0.27 * sum(each.people for each in one.chosen)
    for wrong in one.chosen:
        if wrong.name == RIGHT or wrong.upper <= wrong.lower:
            continue
        ahead = (wrong.upper - right.upper) * best
        both = (wrong.upper + right.upper) * best
        numbers: dict[str, float | str] = {
            "chosen": wrong.name,
            "upper": wrong.upper,
            "right": right.upper,
        }
        if both > 0 and ahead > NINETY_FIVE * math.sqrt(both):
            yield Reason("the_best_choose_wrong", "out", numbers)
        elif ahead > 0:
            yield Reason("maybe_the_best_choose_wrong", "watch", numbers)


def _off_the_model(one: Figures) -> Iterator[Reason]:
    if one.fit is not None and one.fit.infit > max(SCATTER, 1 + SCATTER_ERRORS * one.fit.error):
        yield Reason("scattered", "watch", {"infit": one.fit.infit})
    off = one.place.place - one.expected
    if one.place.source == "answers" and abs(off) > max(OFF_LEVEL, NINETY_FIVE * one.place.error):
        yield Reason("harder_than_level" if off > 0 else "easier_than_level", "watch", {"off": abs(off)})


def _changed(one: Figures, chance: float | None) -> Iterator[Reason]:
    if one.drift is None or chance is None or chance > LEVEL or abs(one.drift.moved) < MOVED:
        return
    key = "became_harder" if one.drift.moved > 0 else "became_easier"
    weight: Weight = "out" if abs(one.drift.moved) >= MOVED_FAR else "watch"
    yield Reason(key, weight, {"moved": abs(one.drift.moved), "chance": chance})


def _of_two_groups(one: Figures) -> Iterator[Reason]:
    if one.groups is None or one.groups.size not in ("B", "C"):
        return
    key = "harder_in_spanish" if one.groups.delta < 0 else "harder_in_english"
    yield Reason(key, "out" if one.groups.size == "C" else "watch", {"delta": abs(one.groups.delta)})
