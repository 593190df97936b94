"""How much light a pair of crooked heads passes, and what a string or a reading tells of it: all by the solver."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from trainer.benches.aiming.task import FINE, KNOCK_STEPS, Task
from trainer.sites.survey.light import CONTRAST
from trainer.solver.signal import spot_width
from trainer.solver.signal_budget import Aim, SignalBudget, Weather, signal_budget

Turned = tuple[int, int, int, int]
FLOOR = 0.1  # the least excess gain that a reading tells from none; ours


@dataclass(frozen=True)
class Heads:
    """How the heads stand: steps that each axis was turned since mounting, and the film on each lens."""

    turned: Turned
    film: tuple[float, float] = (0.0, 0.0)


def angles(task: Task, turned: Turned) -> Turned:
    """How far each axis looks past the other lens, in fine steps."""
    off = task.hidden.off
    return tuple(a + FINE * t for a, t in zip(off, turned, strict=True))  # type: ignore[return-value]


def angle(task: Task, axis: int, fine: float) -> float:
    """Fine steps of an axis as an angle [rad]."""
    return fine * task.steps[axis // 2] / FINE


def budget(
    task: Task, heads: Heads, visibility: float | None = None, knocked: int | None = None
) -> SignalBudget:
    """The signal budget of the heads as they stand, before what the surroundings require.

    knocked: the axis that a knock has turned further away
    Pan and tilt are small, so the angle off the line is the third side of their right triangle.
    """
    off = [abs(one) for one in angles(task, heads.turned)]
    if knocked is not None:
        off[knocked] += FINE * KNOCK_STEPS
    return _budget(task, (off[0], off[1]), (off[2], off[3]), heads.film, visibility)


@lru_cache(maxsize=4096)
def _budget(
    task: Task,
    emitter: tuple[int, int],
    receiver: tuple[int, int],
    film: tuple[float, float],
    visibility: float | None,
) -> SignalBudget:
    # The solver puts the same film on both lenses: one that lets as much pass as the two films together.
    both = 1 - math.sqrt((1 - film[0]) * (1 - film[1]))
    return signal_budget(
        task.site_gain * task.hidden.strength,
        task.distance,
        weather=Weather(dirt=both, visibility=visibility, contrast=CONTRAST),
        emitter_aim=_aim(task, 0, emitter),
        receiver_aim=_aim(task, 1, receiver),
    )


def _aim(task: Task, head: int, off: tuple[int, int]) -> Aim:
    away = math.hypot(*off) * task.steps[head] / FINE
    return Aim(min(away, math.pi), task.half_angles[head])


def margin(task: Task, heads: Heads, knocked: int | None = None) -> float:
    """What is left in clear air over what the surroundings require: the gain is taken as measured on the spot."""
    return budget(task, heads, knocked=knocked).gain / task.required


def gain(task: Task, heads: Heads, minute: int) -> float:
    """Excess gain at a minute, mist and all."""
    mist = task.hidden.mist
    inside = mist is not None and mist.start <= minute < mist.end
    return budget(task, heads, mist.visibility if mist is not None and inside else None).gain


def reading(task: Task, heads: Heads, minute: int, number: int) -> float:
    """The excess gain that a reading shows, its wobble with it; 0 where it shows no light."""
    shown = gain(task, heads, minute) * 2 ** task.hidden.wobble[number]
    return shown if shown >= FLOOR else 0.0


def misses(task: Task, turned: Turned, head: int) -> tuple[float, float]:
    """How far a head's housing looks past the other lens, forward and up [m], as coarsely as a string tells."""
    pan, tilt = (_miss(task, turned, axis) for axis in (2 * head, 2 * head + 1))
    return pan, tilt


def _miss(task: Task, turned: Turned, axis: int) -> float:
    step = task.string_steps[axis // 2]
    fine = angles(task, turned)[axis] - task.hidden.squint[axis]
    return round(wall_miss(task, angle(task, axis, fine)) / step) * step


def wall_miss(task: Task, off: float) -> float:
    """How far an axis that is off by an angle [rad] passes the other lens [m], with its sign."""
    return math.copysign(float(spot_width(abs(off), task.distance)) / 2, off) if off else 0.0
