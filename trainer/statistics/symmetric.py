"""How the rights of a person with a given score spread over the items: elementary symmetric functions, all at once.

Each item stands for a factor (1 - p) + p z with p = e / (1 + e), e = exp(-difficulty); the coefficients of the product
are the elementary symmetric functions over one common divisor, so nothing overflows. Only sums of positive numbers are
taken (the summation algorithm of Andersen 1972; Verhelst, Glas and van der Sluis 1984; both from memory): the faster
difference algorithm loses its digits for many items. A group of people who answered the same items is a row; rows that
are shorter than the longest are filled up with items of p = 0, whose factor is 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import Floats


@dataclass(frozen=True, eq=False)
class Moments:
    """What a model expects of all people of each group, given their scores. g groups, m items.

    log_gamma: log of the coefficient of each score, (g, m + 1)
    right: expected rights on each item, (g, m)
    information: minus the second derivative of the conditional log likelihood by the difficulties, (g, m, m)
    """

    log_gamma: Floats
    right: Floats
    information: Floats


def score_shares(p: Floats) -> Floats:
    """The chance of each score 0 to m of independent items. p: chances, (g, m); the result is (g, m + 1)."""
    found = np.zeros((p.shape[0], p.shape[1] + 1))
    found[:, 0] = 1
    for item in range(p.shape[1]):
        found = _times(found, p[:, item, None])
    return found


def moments(p: Floats, people: Floats) -> Moments:
    """What is expected given the scores, and how it varies.

    p: chances of the items of each group, (g, m), 0 where a row is filled up
    people: how many of the group have each score, (g, m + 1); 0 at scores that the group cannot have
    """
    groups, items = p.shape
    shares = score_shares(p)
    weight = np.divide(people, shares, out=np.zeros_like(shares), where=people > 0)
    # Row i of `without` leaves item i out: its factor there is 1.
    without = np.repeat(p[:, :, None], items, axis=2)
    without[:, np.arange(items), np.arange(items)] = 0
    before = np.zeros((items + 1, groups, items, items + 1))
    before[0, :, :, 0] = 1
    for item in range(items):
        before[item + 1] = _times(before[item], without[:, item, :, None])
    given = p[:, :, None] * before[items, :, :, :-1]  # item i right and the score r + 1
    given = np.divide(given, shares[:, None, 1:], out=np.zeros_like(given), where=people[:, None, 1:] > 0)
    right = np.einsum("gir,gr->gi", given, people[:, 1:])
    both = _both(p, without, before, weight)
    both[:, np.arange(items), np.arange(items)] = right
    return Moments(
        log_gamma=np.log(shares, out=np.full_like(shares, -np.inf), where=shares > 0),
        right=right,
        information=both - np.einsum("gir,glr,gr->gil", given, given, people[:, 1:], optimize=True),
    )


def _both(p: Floats, without: Floats, before: Floats, weight: Floats) -> Floats:
    """Expected number of people with items i and l right, (g, m, m); the diagonal means nothing.

    The coefficients of all items but i and l are those of the items before l times those after it. `after` carries the
    latter already summed with the weights of the scores, so each pair costs one inner product.
    """
    groups, items = p.shape
    found = np.zeros((groups, items, items))
    after = np.zeros((groups, items, items + 1))
    after[:, :, : items - 1] = weight[:, None, 2:]
    for item in reversed(range(items)):
        found[:, :, item] = np.einsum("gid,gid->gi", before[item], after)
        chance = without[:, item, :, None]
        after[:, :, :-1] = (1 - chance) * after[:, :, :-1] + chance * after[:, :, 1:]
    return found * p[:, :, None] * p[:, None, :]


def _times(shares: Floats, p: Floats) -> Floats:
    """The coefficients after one more factor (1 - p) + p z; the last axis is the score."""
    found = shares * (1 - p)
    found[..., 1:] += p * shares[..., :-1]
    return found
