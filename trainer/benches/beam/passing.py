"""What a pair makes of each vehicle of a task, wherever its heads hang and wherever in the lane the vehicle stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from trainer.benches.beam.task import Placed, Task
from trainer.sites.placing.candidates import Candidates, gain_at
from trainer.sites.placing.light import margins, undisturbed
from trainer.sites.placing.seeing import bridges
from trainer.sites.sheet import HEADS, SIDES, NamedBody, Side
from trainer.sites.survey.seeing import LEAST_GAIN, Speeds
from trainer.solver.detection import Detection, detect
from trainer.solver.numbers import Floats

PLACES = 3  # in the lane at which each vehicle rolls: both ends and the middle
ONCE, TWICE, MISSED, UNDER, OVER = range(5)
Fates = npt.NDArray[np.int8]


@dataclass(frozen=True, eq=False)
class Passings:
    """All vehicles past all placements.

    driver, passenger: heights [m], shape (placements,)
    fates: how each pass ends: ONCE, TWICE, MISSED (too short to count), UNDER, OVER; (placements, vehicles, places)
    nose, tail: error farthest from 0 over the places [m], signed; infinite where a pass sees nothing;
        (placements, vehicles); length: measured minus true, the same way, NaN where never seen
    margin: of the signal, 1 is enough; (placements,)
    blinded: whether another pair's light holds the receiver lit; (placements, sides of the receiver)
    """

    driver: Floats
    passenger: Floats
    fates: Fates
    nose: Floats
    tail: Floats
    length: Floats
    margin: Floats
    blinded: npt.NDArray[np.bool_]


def places(task: Task) -> Floats:
    """Where in the lane each vehicle rolls: offsets of its center line, driver's side positive [m]."""
    reach = task.sheet.bay.lane_offset
    return np.linspace(-reach, reach, PLACES) if reach > 0 else np.zeros(1)


def row_of(task: Task, placed: Placed) -> int:
    """The row of a placement in `passings`."""
    across = len(task.passenger.heights(task.step))
    first, second = (
        round((at - room.low) / task.step)
        for at, room in ((placed.driver, task.driver), (placed.passenger, task.passenger))
    )
    return first * across + second


@lru_cache(maxsize=32)
def passings(task: Task) -> Passings:
    """Every placement of the task's grid, the driver's height slowest."""
    sides = (np.array(room.heights(task.step)) for room in (task.driver, task.passenger))
    driver, passenger = (one.ravel() for one in np.meshgrid(*sides, indexing="ij"))
    seen = [_ends(task, detected(task, driver, passenger, one)) for one in task.vehicles]
    fates, nose, tail, length = (np.stack(parts, axis=1) for parts in zip(*seen, strict=True))
    rise = np.abs(driver - passenger)
    blinded = np.stack([~_undisturbed(task, driver, passenger, side) for side in SIDES], axis=1)
    return Passings(
        driver, passenger, fates, nose, tail, length, margins(task.sheet, task.eye, rise), blinded
    )


def detected(task: Task, driver: Floats, passenger: Floats, vehicle: NamedBody) -> Detection:
    """What placements (n) make of a vehicle at each of `places`: shape (n, places). The pair's line is at x = 0."""
    across = np.full_like(driver, task.sheet.bay.width / 2)
    left, right = (
        np.stack((np.zeros_like(z), y, z), axis=-1)[:, None]
        for y, z in ((across, driver), (-across, passenger))
    )
    gain = np.maximum(gain_at(task.sheet, task.eye, np.abs(driver - passenger)), LEAST_GAIN)
    return detect(
        left, right, vehicle.body, places(task),
        lens_diameter=task.eye.lens_diameter, excess_gain=gain[:, None],
    )  # fmt: skip


def fates_of(task: Task, found: Detection) -> Fates:
    """How each pass ends with the delays that the pair has today, on the slowest and on the fastest chain."""
    speeds, eye = Speeds.of(task.sheet), task.eye
    dark = found.dark.merged()
    longest = np.nan_to_num(dark.lasts - dark.firsts).max(axis=0)
    fates = np.full(longest.shape, ONCE, dtype=np.int8)
    for speed in (speeds.slow, speeds.fast):
        fates[bridges(found, eye.on_delay * speed) > eye.off_delay * speed] = TWICE
    fates[longest <= eye.on_delay * speeds.fast] = MISSED
    fates[~found.seen & found.passes_under] = UNDER
    fates[~found.seen & found.passes_over] = OVER
    return fates


def _ends(task: Task, found: Detection) -> tuple[Fates, Floats, Floats, Floats]:
    """Fates, and the worst errors of nose, tail and length over the places in the lane."""
    nose, tail = (
        _farthest(np.where(found.seen, one, np.inf)) for one in (found.nose_error, found.tail_error)
    )
    return fates_of(task, found), nose, tail, _farthest(np.where(found.seen, found.length_error, 0.0))


def _farthest(errors: Floats) -> Floats:
    """The value farthest from 0 in each row."""
    at = np.argmax(np.abs(errors), axis=1)
    return np.take_along_axis(errors, at[:, None], axis=1)[:, 0]


def rows(driver: Floats, passenger: Floats, receiver: Side) -> Candidates:
    """Placements as the rooms below know them; of a level pair the receiver counts as the high head."""
    count = driver.size
    own, other = (driver, passenger) if receiver == "driver" else (passenger, driver)
    high = np.where(own >= other, HEADS.index("receiver"), HEADS.index("emitter"))
    return Candidates(
        np.minimum(driver, passenger), np.maximum(driver, passenger), np.zeros(1), np.arange(count),
        np.full(count, SIDES.index(receiver)), high, np.zeros(count, dtype=np.int64),
    )  # fmt: skip


def _undisturbed(task: Task, driver: Floats, passenger: Floats, receiver: Side) -> npt.NDArray[np.bool_]:
    """Whether no other pair's light holds a receiver lit, its own or this one's.

    The pair stands a millimeter aside, for no two lenses are in one spot.
    """
    some = rows(driver, passenger, receiver)
    there = Candidates(
        some.low, some.high, np.array([task.eye.position + 1e-3]), some.pair, some.side, some.head, some.place
    )
    return undisturbed(task.sheet, task.eye, there)
