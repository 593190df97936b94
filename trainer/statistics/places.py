"""Where people stand on the scale of the items, from how many they have right."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require, require_finite, require_one_of, shape_of

Method = Literal["likelihood", "weighted"]
MOST_STEPS = 200
LONGEST_STEP = 1.0  # logit: from far out Newton's method would jump beyond the other end
CLOSE = 1e-10  # logit


@dataclass(frozen=True, eq=False)
class Places:
    """Place and standard error of each person [logit], (n,)."""

    place: Floats
    error: Floats


def score_places(difficulties: npt.ArrayLike, method: Method = "likelihood") -> Places:
    """The place of each score 0 to k on all k items [logit], (k + 1,). Raises BadInput."""
    b = require_finite("difficulties", difficulties)
    right = np.arange(b.size + 1.0)
    return places(b, np.ones((len(right), b.size), dtype=bool), right, method)


def places(
    difficulties: npt.ArrayLike,
    asked: npt.NDArray[np.bool_],
    right: npt.ArrayLike,
    method: Method = "likelihood",
) -> Places:
    """The place of each person.

    difficulties: of all k items [logit], finite, (k,)
    asked: which of them each person was asked, at least one each, (n, k)
    right: how many of these each has right, (n,)
    method: `likelihood` gives -inf and inf, with an error of inf, for nothing and everything right; `weighted` (Warm
        1989, from memory) is finite there, and nearer the truth for few items; where items lie more than 4 logits apart
        with none between, it may have two tops, of which one is taken
    Raises BadInput.
    """
    b, r = require_finite("difficulties", difficulties), np.asarray(right, dtype=np.float64)
    require_one_of("method", method, ("likelihood", "weighted"))
    if asked.shape != (*r.shape, b.size) or b.ndim != 1:
        raise BadInput("asked", shape_of(np.asarray(asked)), f"people by items, {r.size} by {b.size}")
    most = asked.sum(axis=1)
    require("asked", most, most > 0, "one item or more each")
    require(
        "right", r, (r >= 0) & (r <= most) & (r == np.round(r)), "a whole number from 0 to the items asked"
    )
    spread = np.full(r.shape, np.inf)
    theta = np.where(r == 0, -np.inf, np.inf)
    solvable = np.ones(r.shape, dtype=bool) if method == "weighted" else (r > 0) & (r < most)
    if solvable.any():
        found = _solve(b, asked[solvable], r[solvable], warm=method == "weighted")
        theta[solvable] = found
        spread[solvable] = 1 / np.sqrt(_information(b, asked[solvable], found)[1])
    return Places(theta, spread)


def _solve(b: Floats, asked: npt.NDArray[np.bool_], right: Floats, *, warm: bool) -> Floats:
    most = asked.sum(axis=1)
    theta: Floats = (asked @ b) / most + np.log((right + 0.5) / (most - right + 0.5))
    for _ in range(MOST_STEPS):
        expected, information, skew = _information(b, asked, theta)
        off = right - expected
        if warm:
            off = off + skew / (2 * information)
        step = np.clip(off / information, -LONGEST_STEP, LONGEST_STEP)
        theta = theta + step
        if np.abs(step).max() < CLOSE:
            break
    return theta


def _information(b: Floats, asked: npt.NDArray[np.bool_], theta: Floats) -> tuple[Floats, Floats, Floats]:
    """Expected score, its variance (the information) and its third central moment, (n,) each."""
    p = 1 / (1 + np.exp(b - theta[:, None]))
    variance = p * (1 - p) * asked
    return (p * asked).sum(axis=1), variance.sum(axis=1), (variance * (1 - 2 * p)).sum(axis=1)
