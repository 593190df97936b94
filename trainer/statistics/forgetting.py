"""Does the scheduler's forecast of who still knows a skill come true? Brier's score, its parts, and a curve.

A forecast is the chance, said before a review, that the answer will be right. Raises BadInput.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, require, require_share, shape_of
from trainer.statistics.means import Mean, mean_of
from trainer.statistics.simulating import Share

LEAST_REVIEWS = 30  # below, a forecast is not judged; this project's own limit
EDGES = (0.0, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1.0)  # finer where a scheduler that aims at 0.9 forecasts


@dataclass(frozen=True)
class Level:
    """Reviews whose forecast was from `low` to below `high`, the last level with its end.

    forecast: their mean; right: how many came true, with its interval. A forecast outside the interval is off.
    """

    low: float
    high: float
    forecast: float
    right: Share


@dataclass(frozen=True)
class Calibration:
    """How good the forecasts were.

    brier: mean of (forecast - outcome)^2, 0 best; bias: mean of forecast - outcome, above 0 for too hopeful
    reliability: mean square of how far a level's forecast is off its share, 0 best
    resolution: mean square of how far a level's share is off the share of all, the more the better
    uncertainty: Brier's score of always forecasting the share of all
    within: what forecasts that differ within a level add; brier = reliability - resolution + uncertainty + within
    levels: those that hold a review
    """

    brier: Mean
    bias: Mean
    reliability: float
    resolution: float
    uncertainty: float
    within: float
    levels: tuple[Level, ...]

    @property
    def skill(self) -> float | None:
        """How much better than always forecasting the share of all, 1 at most; None where all were alike."""
        return 1 - self.brier.value / self.uncertainty if self.uncertainty else None


def calibration(
    forecasts: npt.ArrayLike, right: npt.ArrayLike, edges: Sequence[float] = EDGES
) -> Calibration | None:
    """Forecasts beside what came; None below `LEAST_REVIEWS`.

    forecasts: 0 to 1, (n,); right: 1 or 0, (n,); edges: of the levels, from 0 to 1, rising
    The intervals of the means take reviews as independent; several of one person make them somewhat too narrow.
    Source: Brier 1950, Murphy 1973, Stephenson, Coelho and Jolliffe 2008 (what is within levels), from memory.
    """
    said, came = require_share("forecasts", forecasts), require_share("right", right)
    require("right", came, (came == 0) | (came == 1), "1 or 0")
    if said.ndim != 1 or said.shape != came.shape:
        raise BadInput("right", shape_of(came), "one a forecast")
    if list(edges[:1]) != [0] or edges[-1] != 1 or any(low >= high for low, high in pairwise(edges)):
        raise BadInput("edges", tuple(edges), "from 0 to 1, rising")
    if said.size < LEAST_REVIEWS:
        return None
    which = np.minimum(np.searchsorted(edges, said, side="right"), len(edges) - 1) - 1
    count = np.bincount(which, minlength=len(edges) - 1)
    held = count > 0
    hits = np.bincount(which, came, len(count))
    mean_said, share = (one[held] / count[held] for one in (np.bincount(which, said, len(count)), hits))
    weight, base = count[held] / said.size, float(came.mean())
    place = (np.cumsum(held) - 1)[which]
    off, surprise = said - mean_said[place], came - share[place]
    return Calibration(
        brier=mean_of((said - came) ** 2),
        bias=mean_of(said - came),
        reliability=float(weight @ (mean_said - share) ** 2),
        resolution=float(weight @ (share - base) ** 2),
        uncertainty=base * (1 - base),
        within=float(np.mean(off**2 - 2 * off * surprise)),
        levels=tuple(
            Level(edges[one], edges[one + 1], float(mean_said[at]), Share(int(hits[one]), int(count[one])))
            for at, one in enumerate(np.flatnonzero(held).tolist())
        ),
    )
