"""How each item does: how hard it is, how well it tells people apart, what wrong answers people give.

Answers are a table of people by items: 1 right, 0 wrong, NaN not asked or not reached. What is not defined is None,
never 0.
Sources: classical item analysis, from memory; the names are those of Crocker and Algina's textbook, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import BadInput, Floats, require, shape_of
from trainer.statistics.simulating import Share

ENDS = 0.27  # of the people at either end are compared


@dataclass(frozen=True)
class Item:
    """How one item does.

    right: how many of those who answered were right, with Wilson's interval
    rest: correlation with the share of right answers on the other items, -1 to 1; None where either does not vary
    difference: share right among the best 27 in 100 less that among the weakest, -1 to 1; None of fewer than two people
    """

    right: Share
    rest: float | None
    difference: float | None


@dataclass(frozen=True)
class Chosen:
    """An option or a slip, by how well its people did on the other items: shares from 0 to 1."""

    name: str
    people: int
    lower: float
    upper: float


def omissions_wrong(in_order: Floats) -> Floats:
    """The table with what was passed over counted wrong; what comes after a person's last answer was not reached.

    in_order: people by places, each person's items in the order in which they met them
    """
    answered = ~np.isnan(in_order)
    later = np.cumsum(answered[:, ::-1], axis=1)[:, ::-1] > 0
    return np.where(later & ~answered, 0.0, in_order)


def item_statistics(given: Floats) -> list[Item]:
    """Each item's figures. Raises BadInput unless the table has people and items and holds 0, 1 and NaN alone."""
    table = _checked(given)
    return [_item(table, at) for at in range(table.shape[1])]


def _checked(given: Floats) -> Floats:
    table = np.asarray(given, dtype=float)
    if table.ndim != 2 or not table.size:
        raise BadInput("given", shape_of(table), "a table of people by items")
    require("given", table, np.isnan(table) | (table == 0) | (table == 1), "0, 1 or NaN")
    return table


def _item(table: Floats, at: int) -> Item:
    mine, rest = table[:, at], rest_share(table, at)
    asked = ~np.isnan(mine)
    both = asked & ~np.isnan(rest)
    right = Share(int(np.nansum(mine)), int(asked.sum()))
    return Item(right, _correlation(mine[both], rest[both]), _difference(mine[asked], _share(table)[asked]))


def rest_share(table: Floats, at: int) -> Floats:
    """Each person's share of right answers on the other items, NaN where they answered none; (people,)."""
    return _share(np.delete(table, at, axis=1))


def _share(table: Floats) -> Floats:
    answered = (~np.isnan(table)).sum(axis=1)
    share = np.full(len(table), np.nan)
    np.divide(np.nansum(table, axis=1), answered, out=share, where=answered > 0)
    return share


def _correlation(one: Floats, other: Floats) -> float | None:
    if len(one) < 2 or np.ptp(one) == 0 or np.ptp(other) == 0:
        return None
    return float(np.corrcoef(one, other)[0, 1])


def _difference(mine: Floats, score: Floats) -> float | None:
    if len(mine) < 2:
        return None
    lower, upper = _ends(score)
    return float(upper @ mine / upper.sum() - lower @ mine / lower.sum())


def _ends(score: Floats) -> tuple[Floats, Floats]:
    """How much each person counts among the weakest and among the best: people of one score count alike."""
    return _first(score), _first(-score)


def _first(score: Floats) -> Floats:
    """The weight of each among the first 27 in 100; those at the border share what is left of it."""
    wanted, weight = ENDS * len(score), np.zeros(len(score))
    for value in np.unique(score):
        tied = score == value
        weight[tied] = min(1.0, wanted / tied.sum())
        wanted -= tied.sum()
        if wanted <= 0:
            break
    return weight


def chosen(names: Sequence[str], score: npt.ArrayLike) -> list[Chosen]:
    """What people chose, the commonest first, and how the weakest and the best of them share it out.

    names: option or slip of each person; score: how each did on the other items, NaN where they answered none: such
    people are left out. A wrong one that the best choose more often than the weakest speaks against the key.
    """
    done = np.asarray(score, dtype=float)
    if done.shape != (len(names),):
        raise BadInput("score", shape_of(done), f"one number for each of {len(names)} people")
    known = ~np.isnan(done)
    told = np.array(names, dtype=object)[known]
    if not told.size:
        return []
    lower, upper = _ends(done[known])
    found = []
    for name in sorted(set(told)):
        mine = (told == name).astype(float)
        shares = (float(end @ mine / end.sum()) for end in (lower, upper))
        found.append(Chosen(name, int(mine.sum()), *shares))
    return sorted(found, key=lambda one: -one.people)


def quartiles(seconds: npt.ArrayLike) -> tuple[float, float, float] | None:
    """Lower quartile, median and upper quartile of times [s], NaN where one is not known; None of nobody."""
    times = np.asarray(seconds, dtype=float)
    times = times[~np.isnan(times)]
    if not times.size:
        return None
    low, middle, high = np.percentile(times, (25, 50, 75))
    return float(low), float(middle), float(high)
