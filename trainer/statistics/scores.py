"""How far the scores of a scheme's exams can be trusted: from first sittings, one a person.

Forms differ from person to person and are drawn from one blueprint, so the figures are those that need scores alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require, require_whole, shape_of
from trainer.statistics.consistency import Consistency, huynh
from trainer.statistics.means import Mean, mean_of
from trainer.statistics.reliability import kr21, standard_error, standard_error_at
from trainer.statistics.simulating import NINETY_FIVE, Share

LEAST_SITTINGS = 30  # below, no figure of a whole exam is given; this project's own limit


@dataclass(frozen=True)
class Between:
    """A figure with its 95 % interval, from leaving out each person in turn (the jackknife)."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class Scores:
    """The scores of one version of a scheme, `cut` of `items` right to pass.

    mean: of the scores; deviation: how they spread, both in right answers; passed: who has passed
    reliability: KR-21, which is at most the true one; None where it is not above 0: people do not differ enough
    error, error_at_cut: how far one person's score varies from form to form, on the average and at the cut [answers]
    agreement, kappa: two forms judging a person alike, by Huynh's method; kappa: beyond chance
    """

    people: int
    items: int
    cut: int
    mean: Mean
    deviation: float
    passed: Share
    error_at_cut: float
    reliability: Between | None = None
    error: float | None = None
    agreement: Between | None = None
    kappa: Between | None = None


def scores_of(right: npt.ArrayLike, passed: Sequence[bool], items: int, cut: int) -> Scores | None:
    """The figures; None of fewer than `LEAST_SITTINGS` people.

    right: right answers of each person's first sitting, whole, 0 to items, (n,); passed: whether each passed, for a
    critical area may stand against a pass. Raises BadInput.
    """
    given = require_whole("right", right, 0)
    if given.ndim != 1 or len(passed) != given.size:
        raise BadInput("right", shape_of(given), f"one number for each of {len(passed)} people")
    require("right", given, given <= items, f"at most {items}")
    require("cut", cut, 0 < cut <= items, f"from 1 to {items}")
    if given.size < LEAST_SITTINGS:
        return None
    known = Scores(
        given.size, items, cut, mean_of(given), float(given.std(ddof=1)), Share(int(sum(passed)), len(passed)),
        standard_error_at(cut, items),
    )  # fmt: skip
    reliability = _reliability(given, items)
    if reliability is None:
        return known

    without = _without_each(given, items, cut)
    verdicts = _verdicts(given, items, cut)
    return replace(
        known,
        reliability=_between(reliability, [one.reliability for one in without]),
        error=standard_error(float(given.std()), reliability),
        agreement=_between(verdicts.agreement if verdicts else None, [one.agreement for one in without]),
        kappa=_between(verdicts.kappa if verdicts else None, [one.kappa for one in without]),
    )


@dataclass(frozen=True)
class _Left:
    """What each person leaves behind, one a person."""

    reliability: float | None
    agreement: float | None
    kappa: float | None


def _without_each(scores: Floats, items: int, cut: int) -> list[_Left]:
    """People of one score leave the same behind, so each score is left out once."""
    distinct, count = np.unique(scores, return_counts=True)
    found: list[_Left] = []
    for one, times in zip(distinct, count, strict=True):
        left = np.delete(scores, np.flatnonzero(scores == one)[0])
        verdicts = _verdicts(left, items, cut)
        said = (verdicts.agreement, verdicts.kappa) if verdicts else (None, None)
        found += [_Left(_reliability(left, items), *said)] * int(times)
    return found


def _reliability(scores: Floats, items: int) -> float | None:
    """KR-21; None where it is not between 0 and 1, for then nothing that rests on it is defined."""
    variance = float(scores.var())
    found = kr21(items, float(scores.mean()), variance) if variance > 0 and items > 1 else 0.0
    return found if 0 < found < 1 else None


def _verdicts(scores: Floats, items: int, cut: int) -> Consistency | None:
    reliability = _reliability(scores, items)
    return None if reliability is None else huynh(float(scores.mean()), items, cut, reliability)


def _between(value: float | None, without: Sequence[float | None]) -> Between | None:
    """None where the figure, or what is left of it without some person, is not defined."""
    left = [one for one in without if one is not None]
    if value is None or len(left) < len(without):
        return None
    n = len(left)
    reach = NINETY_FIVE * math.sqrt((n - 1) * float(np.var(left)))
    return Between(value, max(-1.0, value - reach), min(1.0, value + reach))
