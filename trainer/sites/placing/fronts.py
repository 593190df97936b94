"""Which of many choices nothing beats, when several things count and each is the less the better (Pareto)."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import Floats

Marks = npt.NDArray[np.bool_]


AT_ONCE = 256


def unbeaten(objectives: Floats) -> Marks:
    """Of choices (n, k), those that no other one beats: is as small in every column and smaller in one.

    Equal choices do not beat each other. A choice with an infinite objective is none.
    """
    possible = np.isfinite(objectives).all(axis=1)
    rows, back = np.unique(objectives[possible], axis=0, return_inverse=True)
    kept = np.zeros(len(rows), dtype=np.bool_)
    # In order of the first column, then the second, no two alike: only an earlier one can beat a later one.
    for at in range(0, len(rows), AT_ONCE):
        part = slice(at, at + AT_ONCE)
        left = np.nonzero(~_beaten(rows[part], rows[:at][kept[:at]]))[0]
        block = rows[part][left]
        within = np.asarray((block[:, None] <= block).all(axis=2))
        np.fill_diagonal(within, False)
        kept[at + left[~within.any(axis=0)]] = True
    found = np.zeros(len(objectives), dtype=np.bool_)
    found[possible] = kept[back.reshape(-1)]
    return found


def _beaten(rows: Floats, front: Floats) -> Marks:
    """Which rows any of the front is as small as, in every column."""
    return np.asarray((front[:, None] <= rows).all(axis=2).any(axis=0))
