"""The Rasch model by conditional maximum likelihood: how hard items are, whoever has answered them.

P(right) = 1 / (1 + exp(difficulty - place)), both in logits. Given how many items a person has right, which ones these
are no longer depends on the person; the difficulties are those under which the answers are likeliest, and their sum is
0. People need not have answered the same items. Source: Andersen, "Asymptotic properties of conditional
maximum-likelihood estimators", Journal of the Royal Statistical Society B 32 (1970), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require, shape_of
from trainer.statistics.patterns import Patterns, patterns_of
from trainer.statistics.symmetric import Moments, moments

MOST_ITEMS = 400  # beyond, the rarest scores of far spread items come near the smallest number there is
MOST_STEPS, MOST_HALVES = 60, 30
HAIR = 1e-9  # share of the log likelihood that rounding may take from it
CLOSE = 1e-9  # logit
BLOCK = 2_000_000  # numbers that a block of groups may take at a time
Reason = Literal["unanswered", "all_right", "all_wrong", "disconnected"]


class NotFitted(ValueError):  # noqa: N818 - reads as the sentence it says
    """Answers to which no Rasch model can be fitted: why, and the items (columns from 0) that it hangs on.

    unanswered: nobody has answered these beside an item with the other outcome
    all_right, all_wrong: everybody who has answered these and says anything got them so
    disconnected: these and the others never stand against each other both ways, so their distance is anybody's guess
    """

    def __init__(self, reason: Reason, items: tuple[int, ...]) -> None:
        super().__init__(f"{reason}: items {', '.join(map(str, items))}")
        self.reason, self.items = reason, items


@dataclass(frozen=True, eq=False)
class Rasch:
    """A fitted model of k items.

    difficulties, errors: estimate and standard error of each item [logit], (k,)
    covariance: of the difficulties, (k, k); singular, because their sum is fixed
    log_likelihood: conditional, of the answers given the scores
    counted, extreme: people whose answers were used; people with all or nothing right, who say nothing
    steps: of Newton's method
    """

    difficulties: Floats
    errors: Floats
    covariance: Floats
    log_likelihood: float
    counted: int
    extreme: int
    steps: int


@dataclass(frozen=True, eq=False)
class State:
    """The conditional log likelihood at some difficulties, its slope (k,), and the information (k, k)."""

    log_likelihood: float
    slope: Floats
    information: Floats


def fit_rasch(answers: npt.ArrayLike) -> Rasch:
    """Fit the model. answers: people by items, 1 right, 0 wrong, NaN not asked. Raises BadInput, NotFitted."""
    given = checked(answers)
    patterns = patterns_of(given)
    require_connected(given)
    b, at, steps = climb(patterns, start(given))
    b -= b.mean()
    one = np.full_like(at.information, 1 / len(b))
    covariance = np.linalg.inv(at.information + one) - one
    errors = np.sqrt(np.diag(covariance))
    extreme = len(given) - patterns.counted
    return Rasch(b, errors, covariance, at.log_likelihood, patterns.counted, extreme, steps)


def checked(answers: npt.ArrayLike) -> Floats:
    """The answers as floats, people by items; BadInput where they are something else."""
    given = np.asarray(answers, dtype=np.float64)
    if given.ndim != 2 or not 2 <= given.shape[1] <= MOST_ITEMS:
        raise BadInput("answers", shape_of(given), f"people by items, 2 to {MOST_ITEMS} items")
    require("answers", given, np.isnan(given) | (given == 0) | (given == 1), "0, 1 or NaN")
    return given


def require_connected(given: Floats) -> None:
    """Refuse answers that fix no difficulties: each item must lead to each other, step by step, by somebody who has the
    one right and the next wrong (Fischer 1981, from memory).
    """
    right, wrong = (given == 1).astype(float), (given == 0).astype(float)
    beats = right.T @ wrong > 0
    for reason, items in (
        ("unanswered", ~beats.any(axis=0) & ~beats.any(axis=1)),
        ("all_right", ~beats.any(axis=0)),
        ("all_wrong", ~beats.any(axis=1)),
    ):
        if items.any():
            raise NotFitted(reason, _numbers(items))  # type: ignore[arg-type]
    reach = beats | np.eye(len(beats), dtype=bool)
    for _ in range(len(beats).bit_length()):
        reach = reach.astype(float) @ reach.astype(float) > 0
    apart = ~(reach & reach.T)[0]
    if apart.any():
        smaller = apart if apart.sum() * 2 <= len(apart) else ~apart
        raise NotFitted("disconnected", _numbers(smaller))


def _numbers(items: npt.NDArray[np.bool_]) -> tuple[int, ...]:
    return tuple(int(one) for one in np.flatnonzero(items))


def start(given: Floats) -> Floats:
    """Where the climb begins: log odds of a wrong answer, drawn in by half an answer, of mean 0."""
    right, wrong = (given == 1).sum(axis=0) + 0.5, (given == 0).sum(axis=0) + 0.5
    odds = np.log(wrong / right)
    return np.asarray(odds - odds.mean())


def climb(
    patterns: Patterns, b: Floats, prior: tuple[Floats, Floats] | None = None
) -> tuple[Floats, State, int]:
    """Newton's method with the exact second derivative, each step halved until it goes up.

    prior: means and precisions of a normal belief about each difficulty; without one only differences are fixed
    """
    at = _believed(state(patterns, b), b, prior)
    # Nothing says where the difficulties lie together: a stiff spring holds their mean, and changes nothing else.
    held = np.full_like(at.information, 0.0 if prior else np.trace(at.information) / len(b) ** 2)
    steps, moved = 0, np.inf
    while moved > CLOSE and steps < MOST_STEPS:
        step = np.linalg.solve(at.information + held, at.slope)
        level = at.log_likelihood - HAIR * abs(at.log_likelihood)
        for _ in range(MOST_HALVES):
            at = _believed(state(patterns, b + step), b + step, prior)
            if at.log_likelihood >= level:
                break
            step /= 2
        b, steps, moved = b + step, steps + 1, float(np.abs(step).max())
    return b, at, steps


def _believed(at: State, b: Floats, prior: tuple[Floats, Floats] | None) -> State:
    if prior is None:
        return at
    mean, precision = prior
    off = b - mean
    return State(
        at.log_likelihood - float(precision @ off**2) / 2,
        at.slope - precision * off,
        at.information + np.diag(precision),
    )


def conditional_log_likelihood(answers: npt.ArrayLike, difficulties: Floats) -> float:
    """Log of the chance of the answers given the scores, at any difficulties [logit], (k,)."""
    return state(patterns_of(checked(answers)), np.asarray(difficulties, dtype=np.float64)).log_likelihood


def state(patterns: Patterns, b: Floats) -> State:
    """Value, slope and information of the conditional log likelihood at difficulties b [logit], (k,)."""
    information = np.zeros((len(b), len(b)))
    slope, value = -patterns.right, -float(patterns.right @ b)
    items = patterns.items.shape[1]
    block = max(1, BLOCK // (items + 1) ** 3)
    for first in range(0, len(patterns.items), block):
        part = slice(first, first + block)
        found, log_gamma = _of_groups(patterns, b, part)
        value -= log_gamma
        np.add.at(slope, patterns.items[part], found.right)
        at = patterns.items[part]
        np.add.at(information, (at[:, :, None], at[:, None, :]), found.information)
    return State(value, slope, information)


def _of_groups(patterns: Patterns, b: Floats, part: slice) -> tuple[Moments, float]:
    """The moments of some groups, and the sum over their people of the log of the symmetric function."""
    present, people = patterns.present[part], patterns.people[part]
    asked = np.where(present, b[patterns.items[part]], 0)
    # Given the score only differences count, so each group is taken from its own middle: numbers stay near 1.
    middle = asked.sum(axis=1, keepdims=True) / present.sum(axis=1, keepdims=True)
    off = asked - middle
    found = moments(np.where(present, 1 / (1 + np.exp(off)), 0), people)
    common = np.where(present, np.logaddexp(0, -off), 0).sum(axis=1)
    rights = people @ np.arange(people.shape[1])
    logs = np.where(people > 0, found.log_gamma, 0)
    total = (people * logs).sum() + people.sum(axis=1) @ common - rights @ middle[:, 0]
    return found, float(total)
