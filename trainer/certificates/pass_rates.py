"""Whether one examiner passes people oddly often or seldom: an exact test of each against all the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.statistics.chances import fisher, holm

LEAST = 10  # judgements on each side before anything is said; common practice, no source
LEVEL = 0.05  # the chance that a house of honest examiners raises an alarm, at most, on one look

Verdict = Literal["too_few", "usual", "often", "seldom"]


@dataclass(frozen=True)
class Judged:
    """How many one examiner judged, and how many of those passed; `examiner` is the public id."""

    examiner: str
    name: str
    passed: int
    judged: int


@dataclass(frozen=True)
class PassRate:
    """One examiner beside all the others.

    chance: that examiners who judge alike differ as much or more, after Holm; None where there are too few to say
    """

    mine: Judged
    others: Judged
    verdict: Verdict
    chance: float | None = None

    @property
    def odd(self) -> bool:
        """Whether somebody should look into it."""
        return self.verdict in ("often", "seldom")


def compare(everyone: Sequence[Judged], least: int = LEAST, level: float = LEVEL) -> tuple[PassRate, ...]:
    """Each examiner against all the others, in the order given. One line an examiner.

    Whoever has too few judgements, or too few to stand against, is not tested and takes no share of the level.
    A second try of the same candidate counts once more, so the chance is a guide, not a proof.
    """
    pairs = [(one, _others(everyone, one)) for one in everyone]
    chances = {
        mine.examiner: fisher(mine.passed, mine.judged, others.passed, others.judged)
        for mine, others in pairs
        if min(mine.judged, others.judged) >= least
    }
    adjusted = holm(chances)
    return tuple(_rate(mine, others, adjusted.get(mine.examiner), level) for mine, others in pairs)


def _others(everyone: Sequence[Judged], one: Judged) -> Judged:
    passed, judged = sum(any_.passed for any_ in everyone), sum(any_.judged for any_ in everyone)
    return Judged("", "", passed - one.passed, judged - one.judged)


def _rate(mine: Judged, others: Judged, chance: float | None, level: float) -> PassRate:
    if chance is None:
        return PassRate(mine, others, "too_few")
    if chance > level:
        return PassRate(mine, others, "usual", chance)
    more = mine.passed * others.judged > others.passed * mine.judged
    return PassRate(mine, others, "often" if more else "seldom", chance)
