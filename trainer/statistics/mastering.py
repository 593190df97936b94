"""How long people take to master a skill. Whoever has not yet is counted for as long as they were seen: the curve of
Kaplan and Meier.

Time is anything that only grows: days, or answers given. Raises BadInput.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require_from_zero, shape_of
from trainer.statistics.simulating import NINETY_FIVE, Share

LEAST_PEOPLE = 10  # below, nothing is said; this project's own limit


@dataclass(frozen=True)
class Portion:
    """The share who have mastered by a time, 0 to 1, with its 95 % interval.

    followed: people whose own time reaches so far
    """

    value: float
    low: float
    high: float
    followed: int


@dataclass(frozen=True)
class Half:
    """The time within which half of the people master: the first one by which half or more have.

    low, high: its 95 % interval, the times by which the interval's upper and lower end of the share reach a half
    value, high: None where nobody was seen for so long
    """

    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, eq=False)
class Mastering:
    """The curve: a step at each time when somebody mastered.

    times: rising, (k,); open_: the share that has not mastered after it, (k,); low, high: its 95 % interval, (k,)
    at_risk, mastered: people still open just before it, and who mastered then, (k,)
    until: for each person the time that they were seen, (n,), rising
    """

    times: Floats
    open_: Floats
    low: Floats
    high: Floats
    at_risk: npt.NDArray[np.int_]
    mastered: npt.NDArray[np.int_]
    until: Floats

    @property
    def people(self) -> int:
        """Everybody who began."""
        return self.until.size

    @property
    def half(self) -> Half:
        """The median. Source: Brookmeyer and Crowley 1982, with the log-log interval, from memory."""
        value, low, high = (_first(self.times, one) for one in (self.open_, self.low, self.high))
        return Half(value, low, high)

    def by(self, time: float) -> Portion | None:
        """The share who have mastered by a time; None where it was not seen: nobody was followed so long.

        Once everybody who was followed has mastered, the curve stays at all.
        """
        followed = int(self.until.size - np.searchsorted(self.until, time))
        at = int(np.searchsorted(self.times, time, side="right")) - 1
        if at < 0:
            return _at_an_end(0, followed)
        if followed == 0 and self.open_[at] > 0:
            return None
        low, high = 1 - float(self.high[at]), 1 - float(self.low[at])
        return Portion(1 - float(self.open_[at]), low, high, followed)


def mastering(time: npt.ArrayLike, mastered: npt.ArrayLike) -> Mastering | None:
    """Kaplan and Meier's curve; None below `LEAST_PEOPLE`.

    time: until they mastered, or until they were last seen, 0 or more, (n,); mastered: 1 or 0, (n,)
    It takes those who are no longer seen for people like the others: who leaves because it is hard makes it look easy.
    Somebody who is last seen at the very time when others master counts as still open then.
    Source: Kaplan and Meier 1958; variance by Greenwood 1926; the interval is that of log(-log) of the share
    (Kalbfleisch and Prentice 1980), all from memory. Where nobody or everybody has mastered that one has no width;
    Wilson's of the people who were followed, or of those who mastered, stands there: this project's own rule.
    """
    seen, done = require_from_zero("time", time), np.asarray(mastered, dtype=np.float64)
    if seen.ndim != 1 or seen.shape != done.shape:
        raise BadInput("mastered", shape_of(done), "one a time")
    if not np.isin(done, (0, 1)).all():
        raise BadInput("mastered", "another value", "1 or 0")
    if seen.size < LEAST_PEOPLE:
        return None
    until = np.sort(seen)
    times, counts = np.unique(seen[done == 1], return_counts=True)
    at_risk = seen.size - np.searchsorted(until, times)
    share: Floats = np.cumprod(1 - counts / at_risk, dtype=np.float64)
    with np.errstate(divide="ignore"):
        # The last step may take everybody: its variance has no value, and its interval is another one.
        greenwood = np.cumsum(counts / (at_risk * (at_risk - counts)))
    inner = share > 0
    low, high = np.empty_like(share), np.empty_like(share)
    reach = NINETY_FIVE * np.sqrt(greenwood[inner]) / np.abs(np.log(share[inner]))
    low[inner], high[inner] = share[inner] ** np.exp(reach), share[inner] ** np.exp(-reach)
    all_done = Share(int(done.sum()), int(done.sum())).interval
    low[~inner], high[~inner] = 0.0, 1 - all_done[0]
    return Mastering(times, share, low, high, at_risk, counts, until)


def _first(times: Floats, share: Floats) -> float | None:
    """The first time at which a share is a half or less; the last bit of a product is not another person."""
    reached = np.flatnonzero(share <= 0.5 + 1e-12)
    return float(times[reached[0]]) if reached.size else None


def _at_an_end(mastered: int, followed: int) -> Portion | None:
    if followed == 0:
        return None
    low, high = Share(mastered, followed).interval
    return Portion(mastered / followed, low, high, followed)


def whole(time: float | None) -> int | None:
    """A time as it is told: rounded up, so that it is never told shorter than it is; at least 1."""
    return None if time is None else max(1, math.ceil(time - 1e-9))
