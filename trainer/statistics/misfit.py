"""Whether answers look as a Rasch model says: fit of each item, and a test of the whole."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, shape_of
from trainer.statistics.chi_square import chi_square_tail
from trainer.statistics.places import places
from trainer.statistics.rasch import checked, fit_rasch


@dataclass(frozen=True, eq=False)
class ItemFit:
    """How far answers are from what is expected, 1 where they are just as scattered as chance makes them, (k,) each.

    infit: squared differences over their variances, summed first; outfit: the mean of the ratios, swayed by the rare
    miss of somebody far above, or luck of somebody far below. NaN where nobody who counts answered an item.
    people: those with neither all nor nothing right
    """

    infit: Floats
    outfit: Floats
    people: int


def item_fit(answers: npt.ArrayLike, difficulties: npt.ArrayLike) -> ItemFit:
    """The fit of each item, with people at their places of greatest likelihood.

    answers: people by items, 1, 0 or NaN; difficulties: conditional ones [logit], (k,). Raises BadInput.
    Both figures hang on how items and people were estimated: a fixed band such as 0.7 to 1.3 means nothing by itself.
    """
    given, b = checked(answers), np.asarray(difficulties, dtype=np.float64)
    asked = ~np.isnan(given)
    score, most = np.nansum(given, axis=1), asked.sum(axis=1)
    tells = (score > 0) & (score < most)
    given, asked = given[tells], asked[tells]
    theta = places(b, asked, score[tells]).place
    p = 1 / (1 + np.exp(b - theta[:, None]))
    variance, square = p * (1 - p) * asked, np.where(asked, given - p, 0) ** 2
    with np.errstate(invalid="ignore"):
        infit = square.sum(axis=0) / variance.sum(axis=0)
        outfit = (square / (p * (1 - p))).sum(axis=0) / asked.sum(axis=0)
    return ItemFit(infit, outfit, len(given))


@dataclass(frozen=True)
class LikelihoodRatio:
    """Twice the log of how much likelier answers are under a wider model; chi-square with `df` if it is no truer."""

    statistic: float
    df: int
    p: float


def andersen_test(answers: npt.ArrayLike, groups: npt.ArrayLike) -> LikelihoodRatio:
    """Whether items are equally hard in each group of people, say those with many and those with few right.

    answers: people by items, 1, 0 or NaN; groups: the group of each person, (n,), two groups or more
    Raises BadInput; NotFitted where one group alone fixes no difficulties.
    Source: Andersen, "A goodness of fit test for the Rasch model", Psychometrika 38 (1973), from memory.
    """
    given, of = checked(answers), np.asarray(groups)
    if of.shape != (len(given),):
        raise BadInput("groups", shape_of(of), f"one group for each of {len(given)} people")
    names = np.unique(of)
    if len(names) < 2:
        raise BadInput("groups", float(len(names)), "two or more")
    together = fit_rasch(given).log_likelihood
    apart = sum(fit_rasch(given[of == name]).log_likelihood for name in names)
    statistic, df = max(0.0, 2 * (apart - together)), (len(names) - 1) * (given.shape[1] - 1)
    return LikelihoodRatio(statistic, df, chi_square_tail(statistic, df))
