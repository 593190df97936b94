"""Where a person stands on a skill, and how one answer changes it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from trainer.learning import parameters
from trainer.learning.parameters import GUESS_WITH_HELP, TRACING, Tracing
from trainer.learning.reviews import after_review

Support = Literal["worked", "last_step", "alone"]
MORE_ALONE: dict[Support, Support] = {"worked": "last_step", "last_step": "alone", "alone": "alone"}


@dataclass(frozen=True)
class Standing:
    """One person on one skill. `known` is the chance that they have it; `card` is the review schedule's state."""

    skill: str
    known: float = parameters.KNOWN
    answered: int = 0
    right_alone: int = 0
    wrong_run: int = 0
    support: Support = "worked"
    card: str | None = None
    due_at: datetime | None = None
    last_slip: str | None = None
    mastered_at: datetime | None = None


@dataclass(frozen=True)
class Answered:
    """One answer: the question's kind, whether it was right, with what help, at what moment."""

    kind: str
    right: bool
    support: Support
    at: datetime
    slip: str | None = None


def traced(known: float, right: bool, t: Tracing) -> float:
    """The chance that the skill is there after one more answer.

    known: share from 0 to 1. Source: Corbett & Anderson, "Knowledge tracing", User Modeling and User-Adapted
    Interaction 4 (1995): Bayes' rule on the answer, then one chance to learn.
    """
    if right:
        there, absent = known * (1 - t.slip), (1 - known) * t.guess
    else:
        there, absent = known * t.slip, (1 - known) * (1 - t.guess)
    posterior = there / (there + absent)
    return posterior + (1 - posterior) * t.learn


def after(standing: Standing, answer: Answered, *, hazard: bool) -> Standing:
    """Where the person stands after the answer, and when the skill is to be asked again."""
    card, due = after_review(
        standing.card, right=answer.right, helped=answer.support != "alone", at=answer.at
    )
    return replace(practised(standing, answer, hazard=hazard), card=card, due_at=due)


def practised(standing: Standing, answer: Answered, *, hazard: bool) -> Standing:
    """Where the person stands after the answer; the review schedule is left as it was."""
    t = TRACING[answer.kind]
    if answer.support != "alone":
        t = replace(t, guess=max(t.guess, GUESS_WITH_HELP))
    alone = answer.support == "alone"
    moved = replace(
        standing,
        known=min(traced(standing.known, answer.right, t), parameters.CEILING),
        answered=standing.answered + 1,
        right_alone=(standing.right_alone + alone) if answer.right else 0,
        wrong_run=0 if answer.right else standing.wrong_run + 1,
        last_slip=None if answer.right else (answer.slip or standing.last_slip),
    )
    moved = replace(moved, support=_support_after(moved, answer))
    mastered_at = (standing.mastered_at or answer.at) if _meets(moved, hazard) else None
    return replace(moved, mastered_at=mastered_at)


def _support_after(moved: Standing, answer: Answered) -> Support:
    if answer.right:
        return MORE_ALONE[answer.support]
    if answer.support == "alone" and moved.wrong_run >= parameters.WRONG_BEFORE_HELP:
        return "last_step"
    return answer.support


def _meets(standing: Standing, hazard: bool) -> bool:
    if hazard:
        bar, run = parameters.HAZARD_MASTERY, parameters.HAZARD_RIGHT_ALONE
    else:
        bar, run = parameters.MASTERY, parameters.RIGHT_ALONE
    held = standing.mastered_at is not None and standing.wrong_run == 0
    return standing.known >= bar and (held or standing.right_alone >= run)


def is_due(standing: Standing, now: datetime) -> bool:
    """Whether a mastered skill is due for review."""
    return standing.mastered_at is not None and standing.due_at is not None and standing.due_at <= now


State = Literal["open", "started", "proven", "due"]


def state_of(standing: Standing | None, now: datetime) -> State:
    """One word for where a skill stands."""
    if standing is None or standing.answered == 0:
        return "open"
    if standing.mastered_at is None:
        return "started"
    return "due" if is_due(standing, now) else "proven"
