"""What people gained from their first attempt to their last."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, require_share, shape_of
from trainer.statistics.means import Mean, mean_of
from trainer.statistics.simulating import Share

LEAST_PEOPLE = 10  # below, a mean gain says nothing; this project's own limit


@dataclass(frozen=True)
class Gain:
    """Shares of right answers at the first and the last attempt of the same people.

    first, last: means; gained: the mean of last less first, person by person
    better, worse: how many of all did better or worse at the last
    of_possible: gain as a share of what was left to gain; None where nothing was (Hake 1998, from memory)
    """

    first: Mean
    last: Mean
    gained: Mean
    better: Share
    worse: Share
    of_possible: float | None


def gain(first: npt.ArrayLike, last: npt.ArrayLike) -> Gain | None:
    """Gain of people with two attempts or more, who alone may be handed in; None below `LEAST_PEOPLE`.

    first, last: share of right answers of each person, 0 to 1, (n,). Raises BadInput.
    It is no proof of learning: who was unlucky first does better later by chance, and who gave up has no last attempt.
    """
    before, after = require_share("first", first), require_share("last", last)
    if before.ndim != 1 or before.shape != after.shape:
        raise BadInput("last", shape_of(after), "one a person, as the first")
    n = before.size
    if n < LEAST_PEOPLE:
        return None
    gained, left = mean_of(after - before), float(np.mean(1 - before))
    return Gain(
        mean_of(before), mean_of(after), gained,
        Share(int((after > before).sum()), n), Share(int((after < before).sum()), n),
        gained.value / left if left else None,
    )  # fmt: skip
