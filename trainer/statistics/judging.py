"""From first answers to the figures of each question. What people answered first is one answer a person and question.

Raises BadInput for arrays that do not fit together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, shape_of
from trainer.statistics.difference import Drift, TwoGroups, drift, strata, two_groups
from trainer.statistics.families import FamilyPlace, Prior, family_places
from trainer.statistics.flags import (
    LEAST,
    OTHER,
    RIGHT,
    Believed,
    Figures,
    Fit,
    Instances,
    Judged,
    Rest,
    judge,
)
from trainer.statistics.items import chosen, item_statistics, quartiles, rest_share
from trainer.statistics.log_odds import log_odds_of_beta
from trainer.statistics.places import places
from trainer.statistics.rasch import MOST_ITEMS
from trainer.statistics.simulating import NINETY_FIVE, Share
from trainer.statistics.spread import family_spread

__all__ = ["OTHER", "RIGHT", "Answered", "Asked", "FirstAnswers", "Judgement", "arrange", "judge_questions"]


@dataclass(frozen=True)
class Asked:
    """What is known of a question before anybody answers it.

    name: its id; prior: what is believed of it; guess: share that guessing alone gets right
    """

    name: str
    prior: Prior
    guess: float = 0.0


@dataclass(frozen=True, eq=False)
class FirstAnswers:
    """First answers of n people to k questions, each (n, k) but the last, (n,).

    right: 1, 0, or NaN where a person has not answered; chose: `RIGHT`, an option, a slip or `OTHER`
    seconds: that the answer took, NaN where nobody knows; later: whether it was given in the later of two periods
    instance: which numbers were drawn, empty where nobody knows
    focal: whether the person reads the second language
    """

    right: Floats
    chose: npt.NDArray[np.object_]
    seconds: Floats
    later: npt.NDArray[np.bool_]
    instance: npt.NDArray[np.object_]
    focal: npt.NDArray[np.bool_]

    def __post_init__(self) -> None:
        shape = np.shape(self.right)
        if len(shape) != 2 or any(
            np.shape(one) != shape for one in (self.chose, self.seconds, self.later, self.instance)
        ):
            raise BadInput("right", shape_of(np.asarray(self.right)), "people by questions, all five alike")
        if np.shape(self.focal) != shape[:1]:
            raise BadInput("focal", shape_of(np.asarray(self.focal, dtype=float)), "one a person")


@dataclass(frozen=True)
class Answered:
    """One first answer. focal: whether the person reads the second language; seconds: None where nobody knows."""

    person: int
    question: str
    right: bool
    chose: str
    later: bool
    focal: bool
    seconds: float | None = None
    instance: str = ""


def arrange(rows: Sequence[Answered], names: Sequence[str]) -> FirstAnswers:
    """Rows as arrays, one column a name; rows about other questions are left out."""
    column = {name: at for at, name in enumerate(names)}
    told = [one for one in rows if one.question in column]
    line = {person: at for at, person in enumerate(dict.fromkeys(one.person for one in told))}
    shape = len(line), len(names)
    at = (
        np.array([line[one.person] for one in told], dtype=int),
        np.array([column[one.question] for one in told], dtype=int),
    )
    found = FirstAnswers(
        np.full(shape, np.nan), np.full(shape, "", dtype=object), np.full(shape, np.nan),
        np.zeros(shape, dtype=bool), np.full(shape, "", dtype=object), np.zeros(shape[0], dtype=bool),
    )  # fmt: skip
    if told:
        found.right[at] = [one.right for one in told]
        found.chose[at] = [one.chose for one in told]
        found.seconds[at] = [np.nan if one.seconds is None else one.seconds for one in told]
        found.later[at] = [one.later for one in told]
        found.instance[at] = [one.instance for one in told]
        found.focal[at[0]] = [one.focal for one in told]
    return found


@dataclass(frozen=True)
class Judgement:
    """A question with its figures and the verdict on it."""

    name: str
    figures: Figures
    judged: Judged


def judge_questions(
    answers: FirstAnswers, asked: Sequence[Asked], *, drifts: bool = True
) -> tuple[Judgement, ...]:
    """Figures and verdict of each question, in the order given.

    asked: one a column of the answers; drifts: whether the two periods are held against each other, which is dear
    """
    if len(asked) != answers.right.shape[1]:
        raise BadInput("asked", float(len(asked)), f"one for each of {answers.right.shape[1]} questions")
    figures = (
        _figures(answers, asked, drifts=drifts) if answers.right.size else [_empty(one) for one in asked]
    )
    verdicts = judge(figures)
    return tuple(Judgement(*one) for one in zip((one.name for one in asked), figures, verdicts, strict=True))


def _figures(answers: FirstAnswers, asked: Sequence[Asked], *, drifts: bool) -> list[Figures]:
    stand = _places(answers.right, asked)
    people = _people(answers.right, stand)
    known = zip(
        asked, item_statistics(answers.right), stand, _fits(answers.right, stand, people),
        _drifts(answers, asked) if drifts else [None] * len(asked), strict=True,
    )  # fmt: skip
    found = []
    for at, (one, item, place, fit, moved) in enumerate(known):
        plain = replace(_empty(one), right=item.right, believed=_believed(one.prior, item.right), place=place)
        given = ~np.isnan(answers.right[:, at])
        plain = replace(plain, seconds=quartiles(answers.seconds[given, at]))
        if item.right.of < LEAST:
            found.append(plain)
            continue
        score = rest_share(answers.right, at)[given]
        found.append(
            replace(
                plain, difference=item.difference, fit=fit, drift=moved, groups=_groups(answers, at, given),
                rest=_rest(item.rest, int((~np.isnan(score)).sum())),
                chosen=tuple(chosen(list(answers.chose[given, at]), score)),
                instances=_instances(answers, at, people),
            )
        )  # fmt: skip
    return found


def _empty(one: Asked) -> Figures:
    """What is known before anybody answers."""
    mean, error = one.prior.place_and_error
    nobody = Share(0, 0)
    return Figures(
        nobody, _believed(one.prior, nobody), one.guess, mean, FamilyPlace(mean, error, 0, "prior")
    )


def _believed(prior: Prior, right: Share) -> Believed:
    """The Beta of prior and answers: its mean, and an interval that is normal on the scale of log odds."""
    a, b = (
        prior.chance * prior.weight + right.count,
        (1 - prior.chance) * prior.weight + right.of - right.count,
    )
    mean, error = log_odds_of_beta(a, b)
    low, high = (1 / (1 + math.exp(-(mean + side * NINETY_FIVE * error))) for side in (-1, 1))
    return Believed(a / (a + b), low, high, prior.chance, prior.weight)


def _rest(value: float | None, people: int) -> Rest | None:
    """Fisher's z; None where it is not defined. Source: Fisher 1921, from memory."""
    if value is None or people <= 3:
        return None
    if abs(value) >= 1:
        return Rest(value, value, value)
    z, reach = math.atanh(value), NINETY_FIVE / math.sqrt(people - 3)
    return Rest(value, math.tanh(z - reach), math.tanh(z + reach))


def _places(right: Floats, asked: Sequence[Asked]) -> list[FamilyPlace]:
    """Where each question stands; only what somebody answered goes into the fit, the rest keeps its prior."""
    found = [FamilyPlace(*one.prior.place_and_error, 0, "prior") for one in asked]
    met = np.flatnonzero((~np.isnan(right)).any(axis=0))[:MOST_ITEMS]
    if len(met) < 2:
        return found
    for at, one in zip(met, family_places(right[:, met], [asked[at].prior for at in met]), strict=True):
        found[at] = one
    return found


def _people(right: Floats, stand: Sequence[FamilyPlace]) -> Floats:
    """The likeliest place of each person [logit], (n,); NaN of those with all or nothing right, who say nothing."""
    score, most = np.nansum(right, axis=1), (~np.isnan(right)).sum(axis=1)
    telling = (score > 0) & (score < most)
    found = np.full(len(right), np.nan)
    if telling.any():
        b = np.array([one.place for one in stand])
        found[telling] = places(b, ~np.isnan(right[telling]), score[telling]).place
    return found


def _fits(right: Floats, stand: Sequence[FamilyPlace], people: Floats) -> list[Fit | None]:
    """Infit of each question, None where nobody says anything of it.

    The error is that of answers that follow the model (Wright and Masters 1982, from memory).
    """
    told = ~np.isnan(people)
    telling, asked = right[told], ~np.isnan(right[told])
    p = 1 / (1 + np.exp(np.array([one.place for one in stand]) - people[told, None]))
    variance = p * (1 - p) * asked
    squares = (np.where(asked, telling - p, 0) ** 2).sum(axis=0)
    fourth = (variance * (1 - 3 * p * (1 - p)) - variance**2).sum(axis=0)
    total = variance.sum(axis=0)
    return [
        Fit(float(squares[at] / total[at]), math.sqrt(max(0.0, fourth[at])) / float(total[at]))
        if total[at] > 0
        else None
        for at in range(len(stand))
    ]


def _instances(answers: FirstAnswers, at: int, people: Floats) -> Instances | None:
    """The spread of a family, of which two or more people had the same numbers `LEAST` times or more."""
    right, names = answers.right[:, at], answers.instance[:, at].astype(str)
    told = ~np.isnan(right) & ~np.isnan(people) & (names != "")
    _, of, count = np.unique(names[told], return_inverse=True, return_counts=True)
    if len(count) < 2 or (count[of] > 1).sum() < LEAST or len(np.unique(right[told])) < 2:
        return None
    found = family_spread(names[told], people[told], right[told])
    return Instances(found.spread, found.low, found.high)


def _drifts(answers: FirstAnswers, asked: Sequence[Asked]) -> Sequence[Drift | None]:
    earlier, later = (
        _places(np.where(answers.later == period, answers.right, np.nan), asked) for period in (False, True)
    )
    return drift(earlier, later)


def _groups(answers: FirstAnswers, at: int, given: npt.NDArray[np.bool_]) -> TwoGroups | None:
    """By the level of the share right, in tenths: people who were asked different questions have no common score."""
    if not 0 < answers.focal[given].sum() < given.sum():
        return None
    right = answers.right[given]
    share = np.nanmean(right, axis=1)
    return two_groups(strata(right[:, at], np.round(share, 1), answers.focal[given]))
