"""Answers sorted by who was asked what: people who answered the same items, by their score."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import Floats


@dataclass(frozen=True, eq=False)
class Patterns:
    """All that a conditional likelihood needs. g groups of people, m items at the most in a group, k items in all.

    items: the items of each group, filled up with 0, (g, m); present: whether a place is filled in earnest, (g, m)
    people: how many of each group have each score, (g, m + 1); those with all or nothing right are left out
    right: right answers on each item, of the people who count, (k,)
    counted: people who count
    """

    items: npt.NDArray[np.intp]
    present: npt.NDArray[np.bool_]
    people: Floats
    right: Floats
    counted: int


def patterns_of(given: Floats) -> Patterns:
    """Sort the answers. given: people by items, 1, 0 or NaN."""
    asked = ~np.isnan(given)
    score, most = np.nansum(given, axis=1), asked.sum(axis=1)
    tells = (score > 0) & (score < most)
    asked, given, score, most = asked[tells], given[tells], score[tells], most[tells]
    _, first, group = np.unique(np.packbits(asked, axis=1), axis=0, return_index=True, return_inverse=True)
    width = int(most.max(initial=0))
    # A stable sort by "not asked" brings each group's items to the front, in their order.
    items = np.argsort(~asked[first], axis=1, kind="stable")[:, :width]
    present = np.arange(width) < most[first, None]
    people = np.zeros((len(first), width + 1))
    np.add.at(people, (group.reshape(-1), score.astype(int)), 1)
    right = np.nansum(given, axis=0)
    return Patterns(np.where(present, items, 0), present, people, right, int(tells.sum()))
