"""Families of instances: how hard a family is, and what is said of it while answers are few.

An instance of a family is a question with its own numbers. Instances are related siblings: their difficulties are
normal around the family's place (Glas and van der Linden 2003, from memory), and a wider spread flattens its curve.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, Numbers
from trainer.statistics.log_odds import log_odds_of_beta
from trainer.statistics.patterns import patterns_of
from trainer.statistics.rasch import checked, climb

LEAST_ANSWERS = 30  # below, a family's own answers say less than a judgement does; this project's own limit
_AT, _WEIGHT = np.polynomial.hermite.hermgauss(21)


def response(theta: Numbers, place: Numbers, spread: Numbers) -> Numbers:
    """Chance of a right answer over the instances of a family: the mean of 1 / (1 + exp(b - theta)), b normal.

    theta: of the person [logit]; place, spread: mean and standard deviation of b [logit]. Inputs broadcast. By
    Gauss-Hermite quadrature with 21 nodes; NaN goes through.
    """
    at, mean, sd = np.broadcast_arrays(theta, place, spread)
    b = mean[..., None] + math.sqrt(2) * sd[..., None] * _AT
    found: Floats = np.sum(_WEIGHT / (1 + np.exp(b - at[..., None])), axis=-1) / math.sqrt(math.pi)
    return found


@dataclass(frozen=True)
class Prior:
    """What is believed of a family before its answers: the chance of the person at the border to get it right.

    chance: from its level or from judges, between 0 and 1; weight: how many answers that belief is worth, above 0
    """

    chance: float
    weight: float

    def __post_init__(self) -> None:
        if not (0 < self.chance < 1 and 0 < self.weight < math.inf):
            raise BadInput(
                "prior", (self.chance, self.weight), "a chance between 0 and 1 and a weight above 0"
            )

    @cached_property
    def place_and_error(self) -> tuple[float, float]:
        """Mean and standard deviation of the difficulty [logit], where the chance has a Beta distribution."""
        mean, sd = log_odds_of_beta(self.chance * self.weight, (1 - self.chance) * self.weight)
        return -mean, sd


@dataclass(frozen=True)
class FamilyPlace:
    """How hard a family is on the scale whose 0 is the person only just competent [logit].

    source: `prior` where there were too few answers, and then place and error are the belief's own
    answers: how many say something: those of people with neither all nor nothing right
    """

    place: float
    error: float
    answers: int
    source: Literal["answers", "prior"]


def family_places(
    answers: npt.ArrayLike, priors: Sequence[Prior], least: int = LEAST_ANSWERS
) -> tuple[FamilyPlace, ...]:
    """How hard each family is: the conditional Rasch fit with a normal belief about each family, its prior.

    answers: people by families, 1, 0 or NaN, two families or more; priors: one a family
    The belief fixes the scale, holds what few answers leave open, and fades as answers come; answers that fix no
    difficulties by themselves are no obstacle. The error leaves out that families spread. Raises BadInput.
    """
    given = checked(answers)
    if len(priors) != given.shape[1]:
        raise BadInput("priors", float(len(priors)), f"one for each of {given.shape[1]} families")
    belief = np.array([one.place_and_error for one in priors])
    mean, precision = belief[:, 0], belief[:, 1] ** -2
    b, at, _ = climb(patterns_of(given), mean, (mean, precision))
    error = np.sqrt(np.diag(np.linalg.inv(at.information)))
    score, most = np.nansum(given, axis=1), (~np.isnan(given)).sum(axis=1)
    telling = (~np.isnan(given[(score > 0) & (score < most)])).sum(axis=0)
    return tuple(
        FamilyPlace(float(b[one]), float(error[one]), int(telling[one]), "answers")
        if telling[one] >= least
        else FamilyPlace(*priors[one].place_and_error, int(telling[one]), "prior")
        for one in range(len(priors))
    )
