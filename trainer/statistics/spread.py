"""How far the instances of a family spread around its place, from answers to instances that several people had."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, shape_of

NODES = np.linspace(-5, 5, 61)  # of the standard normal; the trapezoid rule is exact to many digits there
WIDEST = 3.0  # logit; no family of one method spreads so far
_GOLDEN = (math.sqrt(5) - 1) / 2
_DROP = (
    3.841458820694124 / 2
)  # of the log likelihood at the ends of a 95 % interval: chi-square with one degree, halved


@dataclass(frozen=True)
class Spread:
    """Place and spread of a family, from answers to instances that several people had. All in logits.

    place, place_error; spread, with its 95 % interval by profile likelihood; an end at 0 or at `WIDEST` is open
    gain: twice the log of how much likelier the answers are than with no spread; p: of that gain without a spread
        (half of chi-square's tail, for the spread lies at its bound; Self and Liang 1987, from memory)
    """

    place: float
    place_error: float
    spread: float
    low: float
    high: float
    gain: float
    p: float
    instances: int
    answers: int


def family_spread(instance: npt.ArrayLike, theta: npt.ArrayLike, right: npt.ArrayLike) -> Spread:
    """How far the instances of one family spread, by marginal likelihood.

    instance: which one each answer is about, two or more; theta: where each person stands [logit], taken as known
    right: 1 or 0. One entry an answer, (n,); both outcomes must occur. Raises BadInput.
    Where each instance was answered once, next to nothing is known of the spread, and the interval says so.
    """
    names, of = np.unique(np.asarray(instance), return_inverse=True)
    at, x = np.asarray(theta, dtype=np.float64), np.asarray(right, dtype=np.float64)
    if not of.shape == at.shape == x.shape or of.ndim != 1:
        raise BadInput("right", shape_of(x), f"as many as instances and places, {of.size}")
    if len(names) < 2 or not np.isfinite(at).all() or set(x.tolist()) != {0.0, 1.0}:
        raise BadInput(
            "right", x.mean() if x.size else 0.0, "both 0 and 1, finite places, instances two or more"
        )
    profile = _Profile(of, at, x, len(names))
    best = _highest(profile)
    top, place, information = profile(best)
    plain = profile(0.0)[0]
    low = 0.0 if top - plain < _DROP else _crossing(profile, 0.0, best, top - _DROP)
    high = WIDEST if top - profile(WIDEST)[0] < _DROP else _crossing(profile, WIDEST, best, top - _DROP)
    gain = max(0.0, 2 * (top - plain))
    p = math.erfc(math.sqrt(gain / 2)) / 2 if gain > 0 else 1.0
    return Spread(place, information**-0.5, best, low, high, gain, p, len(names), len(x))


class _Profile:
    """The log likelihood at a spread, at the place that is likeliest for it."""

    def __init__(self, of: npt.NDArray[np.intp], theta: Floats, x: Floats, instances: int) -> None:
        order = np.argsort(of, kind="stable")
        self._first = np.searchsorted(of[order], np.arange(instances))
        self._odds, self._x = np.exp(-theta[order])[:, None], x[order][:, None]
        weight = np.exp(-(NODES**2) / 2)
        self._log_weight = np.log(weight / weight.sum())
        self._place = float(np.mean(theta) - math.log((x.sum() + 0.5) / (len(x) - x.sum() + 0.5)))

    def __call__(self, spread: float) -> tuple[float, float, float]:
        """Log likelihood, place and its information."""
        place = self._place
        for _ in range(100):
            value, slope, information = self._at(place, spread)
            step = min(max(slope / information, -1.0), 1.0)
            place += step
            if abs(step) < 1e-8:
                break
        self._place = place
        return value, place, information

    def _at(self, place: float, spread: float) -> tuple[float, float, float]:
        """Value, slope and information by the place (Louis 1982, from memory: what is expected less what varies)."""
        odds = self._odds * np.exp(place + spread * NODES)
        p = 1 / (1 + odds)
        logs = np.log(np.where(self._x > 0, p, 1 - p))
        by_instance = np.add.reduceat(logs, self._first) + self._log_weight
        highest = by_instance.max(axis=1, keepdims=True)
        shares = np.exp(by_instance - highest)
        sums = shares.sum(axis=1, keepdims=True)
        shares /= sums
        off = np.add.reduceat(p - self._x, self._first)
        slope = (shares * off).sum(axis=1)
        known = float((shares * np.add.reduceat(p * (1 - p), self._first)).sum())
        varied = float(((shares * off**2).sum(axis=1) - slope**2).sum())
        value = float((np.log(sums) + highest).sum())
        # Far from the top the difference may fall to nothing; then the part that is surely above 0 steps more shortly.
        return value, float(slope.sum()), known - varied if known - varied > known / 10 else known


def _highest(profile: _Profile) -> float:
    """The likeliest spread, by golden section; 0 where none is likelier."""
    low, high = 0.0, WIDEST
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_a, at_b = profile(a)[0], profile(b)[0]
    while high - low > 1e-5:
        if at_a >= at_b:
            high, b, at_b = b, a, at_a
            a = high - _GOLDEN * (high - low)
            at_a = profile(a)[0]
        else:
            low, a, at_a = a, b, at_b
            b = low + _GOLDEN * (high - low)
            at_b = profile(b)[0]
    best = (low + high) / 2
    return best if profile(best)[0] > profile(0.0)[0] else 0.0


def _crossing(profile: _Profile, outside: float, inside: float, level: float) -> float:
    """Where the profile crosses a level between a spread below it and one above it, by halving."""
    while abs(outside - inside) > 1e-4:
        middle = (outside + inside) / 2
        outside, inside = (middle, inside) if profile(middle)[0] < level else (outside, middle)
    return (outside + inside) / 2
