"""The sun that a placement lets into its receiver, through the opening in the wall that the receiver looks at."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from trainer.benches.beam.passing import rows
from trainer.benches.beam.task import Placed, Task
from trainer.sites.placing.light import suns
from trainer.sites.sheet import EyePair, Side
from trainer.sites.survey.bay_axes import receiver_looks

YEAR = 2026  # which year it is changes little: every year has the same sun to within a quarter of a day
_OTHER: dict[Side, Side] = {"driver": "passenger", "passenger": "driver"}


@dataclass(frozen=True)
class Looks:
    """Where a receiver looks: azimuth, clockwise from north, and elevation [rad]."""

    azimuth: float
    elevation: float


def across(side: Side) -> Side:
    """The other side of the bay."""
    return _OTHER[side]


@lru_cache(maxsize=4096)
def sun_minutes_of(task: Task, placed: Placed) -> int:
    """Minutes a year with the sun in the receiver's view; none at a solid wall."""
    eye = _turned(task, placed)
    if eye.opening is None:
        return 0
    some = rows(np.array([placed.driver]), np.array([placed.passenger]), placed.receiver)
    *_, (_, found) = suns(task.sheet, replace(eye, position=0.0), YEAR, some)
    return int(found[0])


def looks(task: Task, placed: Placed) -> Looks:
    """Where the receiver looks."""
    return Looks(*receiver_looks(task.sheet, _turned(task, placed)))


def _turned(task: Task, placed: Placed) -> EyePair:
    """The pair as it is placed, with the opening that its receiver looks at."""
    own, other = (
        (placed.driver, placed.passenger)
        if placed.receiver == "driver"
        else (placed.passenger, placed.driver)
    )
    return replace(
        task.eye, low=min(own, other), high=max(own, other), receiver_side=placed.receiver,
        high_head="receiver" if own >= other else "emitter", opening=task.wall(across(placed.receiver)),
    )  # fmt: skip
