"""Which lesson precedes which slip: do those who have just read it make the slip more often, or less, than others?

It shows what came after what, never what caused it: people choose what they read and when, and who reads a lesson is at
another place of the course. A pair that stands out is a reason to read that lesson again. Raises BadInput.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, shape_of
from trainer.statistics.chances import fisher, holm
from trainer.statistics.simulating import Share

LEAST_PEOPLE = 10  # on either side, below which a pair is not judged; this project's own limit
SOON = 14.0  # days after the reading in which the answer must come
LEVEL = 0.05  # the chance that any pair is named where no lesson has to do with any slip
Mask = npt.NDArray[np.bool_]
_chance = lru_cache(maxsize=4096)(fisher)


@dataclass(frozen=True)
class Pair:
    """A lesson and a slip, by their columns, and how many people made it at their first chance.

    after: of those who had just read the lesson; without: of those who had not read it
    chance: that as great a difference comes by luck in any of all the pairs, after Holm
    """

    lesson: int
    slip: int
    after: Share
    without: Share
    chance: float

    @property
    def sure(self) -> bool:
        """Whether luck alone hardly makes it."""
        return self.chance <= LEVEL

    @property
    def more(self) -> bool:
        """Whether the slip comes more often after the lesson."""
        return self.after.count * self.without.of > self.without.count * self.after.of


@dataclass(frozen=True)
class Preceding:
    """All pairs that could be judged, the least likely to be luck first; too_few: pairs with people, but too few."""

    pairs: tuple[Pair, ...]
    too_few: int


def preceding(
    read: npt.ArrayLike, answered: npt.ArrayLike, made: npt.ArrayLike, teaches: npt.ArrayLike
) -> Preceding:
    """Judge each lesson with each slip by Fisher's exact test, Holm's step-down over all that are judged.

    read: the day of each person's first reading of each lesson, NaN for none, (n, l)
    answered: the day on which each person first answered a question that can show the slip, NaN for none, (n, s)
    made: whether that answer showed it, (n, s); teaches: whether a lesson teaches what the slip is about, (s, l)
    A person counts once for a pair. After the lesson: the answer came within `SOON` of reading it, and no other lesson
    that teaches the subject was read between. Without it: the answer came before it was read, if ever. Else not at all.
    """
    readings, answers = np.asarray(read, dtype=np.float64), np.asarray(answered, dtype=np.float64)
    slipped, subject = np.asarray(made, dtype=bool), np.asarray(teaches, dtype=bool)
    if readings.ndim != 2 or answers.ndim != 2 or len(readings) != len(answers):
        raise BadInput("answered", shape_of(answers), "a row for each person, as `read` has")
    if slipped.shape != answers.shape or subject.shape != (answers.shape[1], readings.shape[1]):
        raise BadInput("teaches", shape_of(subject.astype(float)), "of shape (slips, lessons)")
    few, shares = 0, dict[tuple[int, int], tuple[Share, Share]]()
    for slip in range(answers.shape[1]):
        groups = _groups(readings, answers[:, slip], subject[slip])
        after, without = (_shares(group, slipped[:, slip]) for group in groups)
        for lesson, pair in enumerate(zip(after, without, strict=True)):
            if min(pair[0].of, pair[1].of) >= LEAST_PEOPLE:
                shares[lesson, slip] = pair
            else:
                few += pair[0].of > 0
    chances = {
        pair: _chance(after.count, after.of, without.count, without.of)
        for pair, (after, without) in shares.items()
    }
    adjusted = holm(chances)
    order = sorted(chances, key=lambda pair: (chances[pair], pair))
    return Preceding(tuple(Pair(*pair, *shares[pair], adjusted[pair]) for pair in order), few)


def _shares(group: Mask, made: Mask) -> list[Share]:
    """Of each lesson's people, how many made the slip."""
    hits, people = (group & made[:, None]).sum(axis=0), group.sum(axis=0)
    return [Share(*one) for one in zip(hits.tolist(), people.tolist(), strict=True)]


def _groups(read: Floats, answered: Floats, teaches: Mask) -> tuple[Mask, Mask]:
    """Who answered just after each lesson, and who answered without it, (n, l) each."""
    at = answered[:, None]
    before = read <= at  # not where either is NaN
    newest = np.where(before & teaches, read, -np.inf).max(axis=1, initial=-np.inf, keepdims=True)
    return before & (at - read <= SOON) & (newest <= read), ~before & ~np.isnan(at)
