"""What a placement is worth, and the one that nothing beats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from trainer.benches.acts import Act
from trainer.benches.beam.passing import ONCE, passings, row_of
from trainer.benches.beam.playing import FINISH, place_act, play
from trainer.benches.beam.sunlight import sun_minutes_of
from trainer.benches.beam.task import Placed, Task
from trainer.benches.beam.told import PART_LABELS, part_found
from trainer.benches.frame import Best, Part, Score
from trainer.sites.sheet import SIDES, Side
from trainer.solver.numbers import Floats

# Points of each part: without sun, and with it.
WEIGHTS = {"whole": 40.0, "nose": 30.0, "tail": 25.0, "sun": 0.0, "signal": 5.0}
SUNNY_WEIGHTS = {"whole": 40.0, "nose": 20.0, "tail": 15.0, "sun": 20.0, "signal": 5.0}
HALF_SUN = 60  # minutes of sun a year at which half of its points are gone
_GRAIN, ALL_LOST = 0.5, 2.0  # of a step: errors count by the inch; four inches cost all of a share
_LIGHT_GRAIN = 0.05  # finer than this nobody reads a signal in steam


@dataclass(frozen=True)
class Worth:
    """How well a placement does in each part, from 0 to 1, and all of it weighed: its merit."""

    shares: dict[str, float]
    merit: float


def weights(task: Task) -> dict[str, float]:
    """Points of each part that counts in this task; they add up to 100."""
    chosen = SUNNY_WEIGHTS if task.sunny else WEIGHTS
    return {part: points for part, points in chosen.items() if points}


def score(task: Task, acts: Sequence[Act]) -> Score:
    """What the placement that stands is worth, against the best one."""
    placed = play(task, acts).stands.placed
    own, full = worth(task, placed), worth(task, _best_placed(task))
    got = {part: _got(part, own.shares[part], full.shares[part]) for part in weights(task)}
    parts = [
        Part(PART_LABELS[part], got[part] * of, of, part_found(task, placed, part))
        for part, of in weights(task).items()
    ]
    return Score(tuple(parts), own.merit)


def points_of(task: Task, placed: Placed) -> int:
    """The points of a placement alone."""
    return score(task, [place_act(task, placed)]).points


def best(task: Task) -> Best:
    """The placement with the most merit, handed in.

    A list of acts has the merit of the placement that it ends with, and placements are finitely many: `_best_placed`
    tries all of them. A part of the best may be beaten only where another falls short by more, so it alone is full.
    """
    acts = (place_act(task, _best_placed(task)), Act(FINISH, {}))
    return Best(acts, score(task, acts))


@lru_cache(maxsize=4096)
def worth(task: Task, placed: Placed) -> Worth:
    """The shares and the merit of one placement."""
    row, side = row_of(task, placed), SIDES.index(placed.receiver)
    shares = {part: float(values[row, side]) for part, values in _shares(task).items()}
    if task.sunny:
        shares["sun"] = 1 / (1 + sun_minutes_of(task, placed) / HALF_SUN)
    return Worth(shares, sum(weights(task)[part] * shares[part] for part in weights(task)))


@lru_cache(maxsize=32)
def _best_placed(task: Task) -> Placed:
    """The placement with the most merit; of several with as much and no sun, the one nearest to the sheet's.

    With its sun a placement is worth at most what it would be worth without. In order of that, once none is left that
    could be worth more than the best so far, the best of all is found: few years of sun have to be worked out.
    """
    most, found = -1.0, task.start
    for bound, placed in _by_bound(task):
        if bound <= most:
            break
        merit = worth(task, placed).merit
        if merit > most:
            most, found = merit, placed
    return found


def _by_bound(task: Task) -> list[tuple[float, Placed]]:
    """Every placement with the merit that it would have without sun, the most first, then the nearest."""
    shares = {**_shares(task), "sun": np.ones(1)}
    bounds = sum((weights(task)[part] * shares[part] for part in weights(task)), np.zeros(1))
    all_of = passings(task)
    sides: tuple[Side, ...] = SIDES if task.sunny else (task.start.receiver,)
    order = [
        (float(bounds[row, SIDES.index(side)]), Placed(driver, passenger, side))
        for row, (driver, passenger) in enumerate(
            zip(all_of.driver.tolist(), all_of.passenger.tolist(), strict=True)
        )
        for side in sides
    ]
    return sorted(order, key=lambda one: (-one[0], _change(task, one[1])))


@lru_cache(maxsize=32)
def _shares(task: Task) -> dict[str, Floats]:
    """Everything but the sun, of every placement with the receiver on either side: shape (placements, 2)."""
    seen = passings(task)
    kept = {
        "whole": (seen.fates == ONCE).mean(axis=2), "nose": _kept(task, seen.nose), "tail": _kept(task, seen.tail)
    }  # fmt: skip
    shares = {part: _of_fleet(one)[:, None] * ~seen.blinded for part, one in kept.items()}
    light = np.round(np.minimum(seen.margin, 1.0) / _LIGHT_GRAIN) * _LIGHT_GRAIN
    return {**shares, "signal": light[:, None] * np.ones(2)}


def _of_fleet(kept: Floats) -> Floats:
    """What vehicles keep of their shares (placements, vehicles): a quarter for all, the rest for the worst alone."""
    return np.asarray((kept.mean(axis=1) + 3 * kept.min(axis=1)) / 4)


def _kept(task: Task, errors: Floats) -> Floats:
    """What an error leaves of a vehicle's share: all at 0, nothing from four inches up."""
    grain = _GRAIN * task.step
    return np.maximum(0.0, 1 - np.round(np.abs(errors) / grain) * grain / (ALL_LOST * task.step))


def _got(part: str, own: float, full: float) -> float:
    """The share of a part's points; a part in which the best has nothing takes nothing away.

    Whoever loses a vehicle that need not be lost keeps at most half of `whole`, which is too little to pass.
    """
    if full <= 0:
        return 1.0
    kept = min(1.0, own / full)
    return kept / 2 if part == "whole" and kept < 1 else kept


def _change(task: Task, placed: Placed) -> tuple[float, float, float]:
    """How far a placement is from the sheet's: heads moved, then swapped; the lower one of two alike."""
    eye = task.eye
    own, other = (eye.high, eye.low) if eye.high_head == "receiver" else (eye.low, eye.high)
    today = {eye.receiver_side: own}
    driver, passenger = today.get("driver", other), today.get("passenger", other)
    way = abs(placed.driver - driver) + abs(placed.passenger - passenger)
    return round(way, 6), float(placed.receiver != eye.receiver_side), placed.driver
