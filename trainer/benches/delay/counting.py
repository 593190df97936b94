"""What two delays make of a recording, for one setting or for all of them at once, and what that is worth.

Times are whole readings of the controller, as it runs its timers, so that nothing hangs on the last bit of a float.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from trainer.benches.delay.task import STEP, Block, Event, Facts, Task
from trainer.solver.numbers import Floats

PARTS = ("people", "spray", "whole", "apart", "nose")
WEIGHTS = (25, 10, 20, 20, 25)
_ROUNDING = 1e-9
_DECIMALS = 9

Begun = npt.NDArray[np.bool_]


def readings(delay: float, scan: float) -> int:
    """A delay as a scanned controller runs it: whole readings, rounded up."""
    return math.ceil(delay / scan - _ROUNDING)


def begun(blocks: Sequence[Block], on_delay: npt.ArrayLike, off_delay: npt.ArrayLike) -> Begun:
    """Which blocks begin an output, for many settings at once; shape (blocks, ...).

    blocks: sorted [readings]; on_delay, off_delay: [readings], broadcast. It is `timers.debounce`, for arrays.
    """
    on, off = np.broadcast_arrays(on_delay, off_delay)
    held = np.full(on.shape, -np.inf)
    found = np.zeros((len(blocks), *on.shape), dtype=np.bool_)
    for i, (start, end) in enumerate(blocks):
        bridged = start <= held + off
        found[i] = ~bridged & (end - start > on)
        held = np.where(bridged | found[i], end, held)
    return found


def lateness(facts: Facts, event: Event, block: Block, on_delay: npt.ArrayLike) -> Floats:
    """How far a car's nose is past the beam when an output begins at one of its blocks [m]; on_delay: [readings]."""
    declared = (block[0] + np.asarray(on_delay, dtype=np.float64)) * facts.scan
    return np.asarray(event.speed * (declared - event.nose))


@dataclass(frozen=True)
class _Told:
    """What the counter tells of one event: how often it began a car, and whether in time; shape (...)."""

    event: Event
    times: npt.NDArray[np.int64]
    in_time: Begun


def _tell(facts: Facts, events: Sequence[Event], on: npt.ArrayLike, off: npt.ArrayLike) -> list[_Told]:
    """What settings [readings] make of each event."""
    blocks = [block for event in events for block in event.blocks]
    begins = begun(blocks, on, off)
    told, at = [], 0
    for event in events:
        mine = begins[at : at + len(event.blocks)]
        at += len(event.blocks)
        in_time = np.zeros(begins.shape[1:], dtype=np.bool_)
        for block, began in zip(event.blocks, mine, strict=True):
            in_time |= began & (lateness(facts, event, block, on) <= facts.nose_error + _ROUNDING)
        told.append(_Told(event, mine.sum(axis=0), in_time))
    return told


@dataclass(frozen=True)
class Tally:
    """How many events of each part came out right, of how many; in the order of PARTS."""

    right: tuple[int, ...]
    of: tuple[int, ...]


def _right(facts: Facts, told: Sequence[_Told]) -> tuple[list[npt.NDArray[np.int64]], tuple[int, ...]]:
    """For each part how many events came out right, shape (...), and how many there are.

    Where light comes through no vehicle, every car must be told once.
    """
    cars = [one for one in told if one.event.kind == "car"]
    asked: list[list[Begun]] = [
        [one.times == 0 for one in told if one.event.kind in ("person", "cart")],
        [one.times == 0 for one in told if one.event.kind == "spray"],
        [one.times == 1 for one in cars if one.event.holed or not facts.holed],
        [(ahead.times >= 1) & (one.times >= 1) for ahead, one in pairwise(cars) if one.event.close],
        [one.in_time for one in cars],
    ]
    return [np.sum(one, axis=0, dtype=np.int64) for one in asked], tuple(len(one) for one in asked)


def tally(task: Task, events: Sequence[Event], on_delay: float, off_delay: float) -> Tally:
    """What one setting [s] makes of some of the events."""
    scan = task.facts.scan
    told = _tell(task.facts, events, readings(on_delay, scan), readings(off_delay, scan))
    right, of = _right(task.facts, told)
    return Tally(tuple(int(one) for one in right), of)


@dataclass(frozen=True)
class Outcome:
    """What one setting makes of one event: how often it was told as a car, and how late its nose [m]; NaN: never."""

    event: Event
    times: int
    late: float


def outcomes(task: Task, events: Sequence[Event], on_delay: float, off_delay: float) -> tuple[Outcome, ...]:
    """What one setting [s] makes of each event."""
    facts = task.facts
    on, off = readings(on_delay, facts.scan), readings(off_delay, facts.scan)
    begins = iter(begun([block for event in events for block in event.blocks], on, off).tolist())
    found = []
    for event in events:
        mine = [block for block in event.blocks if next(begins)]
        late = float(lateness(facts, event, mine[0], on)) if mine and event.kind == "car" else math.nan
        found.append(Outcome(event, len(mine), late))
    return tuple(found)


@dataclass(frozen=True)
class Worth:
    """What every setting of the grid is worth: raw points by part, and in all.

    on_delays, off_delays: the grid [s]; parts: shape (parts, on-delays, off-delays); raw: their sum, rounded
    """

    on_delays: Floats
    off_delays: Floats
    parts: Floats
    raw: Floats

    @property
    def most(self) -> float:
        """What the best setting is worth."""
        return float(self.raw.max())

    @cached_property
    def tops(self) -> Floats:
        """The raw points by part of the best settings, each once; shape (settings, parts)."""
        found: Floats = np.unique(np.round(self.parts[:, self.raw == self.most].T, _DECIMALS), axis=0)
        return found

    def at(self, on_delay: float, off_delay: float) -> tuple[int, int]:
        """The place of a setting in the grid."""
        return round(on_delay / STEP), round(off_delay / STEP)


@lru_cache(maxsize=128)
def worth(task: Task) -> Worth:
    """Every setting of the grid, on the whole recording."""
    ons, offs = grid(task.on_most), grid(task.off_most)
    scan = task.facts.scan
    on = np.array([readings(one, scan) for one in ons.tolist()])[:, np.newaxis]
    off = np.array([readings(one, scan) for one in offs.tolist()])[np.newaxis]
    right, of = _right(task.facts, _tell(task.facts, task.events, on, off))
    parts = np.array([weight * one / whole for weight, one, whole in zip(WEIGHTS, right, of, strict=True)])
    return Worth(ons, offs, parts, np.round(parts.sum(axis=0), _DECIMALS))


def grid(most: float) -> Floats:
    """What a delay can be set to [s]."""
    steps: Floats = np.arange(round(most / STEP) + 1, dtype=np.float64)
    return np.asarray(steps * STEP)
