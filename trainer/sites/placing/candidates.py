"""The placements that a sheet allows a pair, as rows of numbers, and the pair as it would stand there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from trainer.sites.placing.results import Placement
from trainer.sites.sheet import HEADS, SIDES, EyePair, SiteSheet, StandingRoom
from trainer.solver.numbers import Floats
from trainer.solver.signal import excess_gain_at

HEIGHT_STEP = 0.0254  # by the inch: nobody sets a bracket finer
POSITION_STEP = 6 * 0.0254
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Candidates:
    """Placements, one a row, and the pairs of heights [m] that they use.

    low, high: heights (pairs); positions: along the conveyor [m]
    pair, place: of each row, which pair of heights and which position
    side, head: of each row, which of SIDES takes the receiver, which of HEADS is high
    """

    low: Floats
    high: Floats
    positions: Floats
    pair: Ints
    side: Ints
    head: Ints
    place: Ints

    @cached_property
    def low_side(self) -> Ints:
        """Which of SIDES takes the low head: the receiver's if the receiver is low, else the other."""
        return np.where(self.head == HEADS.index("receiver"), 1 - self.side, self.side)

    def placement(self, row: np.int64 | int) -> Placement:
        """One of them."""
        pair = self.pair[row]
        return Placement(
            float(self.low[pair]), float(self.high[pair]),
            SIDES[self.side[row]], HEADS[self.head[row]], float(self.positions[self.place[row]]),
        )  # fmt: skip


def candidates(eye: EyePair, room: StandingRoom) -> Candidates:
    """Every placement in the room: heights by the inch, both sides, either head high, positions by half a foot.

    A level pair counts once: it has no high head.
    """
    heights = _heights(eye, room)
    low, high = (one.ravel() for one in np.meshgrid(heights, heights, indexing="ij"))
    low, high = low[low <= high], high[low <= high]
    positions = _positions(eye, room)
    grid = np.meshgrid(
        *(np.arange(n) for n in (low.size, len(SIDES), len(HEADS), positions.size)), indexing="ij"
    )
    pair, side, head, place = (one.ravel() for one in grid)
    kept = (low[pair] < high[pair]) | (head == HEADS.index(eye.high_head))
    return Candidates(low, high, positions, pair[kept], side[kept], head[kept], place[kept])


def today(eye: EyePair) -> Candidates:
    """The one placement of a pair as it stands."""
    one = (np.array([at]) for at in (0, SIDES.index(eye.receiver_side), HEADS.index(eye.high_head), 0))
    pair, side, head, place = one
    return Candidates(
        np.array([eye.low]), np.array([eye.high]), np.array([eye.position]), pair, side, head, place
    )


def _heights(eye: EyePair, room: StandingRoom) -> Floats:
    """From the lowest to the highest; today's two are among them if they are allowed."""
    steps = np.arange(room.lowest, room.highest, HEIGHT_STEP)
    own = [one for one in (eye.low, eye.high) if room.lowest <= one <= room.highest]
    return _apart([*steps, room.highest, *own])


def _positions(eye: EyePair, room: StandingRoom) -> Floats:
    """From one end to the other; today's is among them if it is allowed."""
    steps = np.arange(room.from_position, room.to_position, POSITION_STEP)
    own = [eye.position] if room.from_position <= eye.position <= room.to_position else []
    return _apart([*steps, room.to_position, *own])


def _apart(values: list[float]) -> Floats:
    """In order, without those that stand within a millimeter behind another."""
    ordered: Floats = np.sort(np.round(values, 6)) + 0.0
    kept: Floats = ordered[np.append(True, np.diff(ordered) > 1e-3)]
    return kept


def gain_at(sheet: SiteSheet, eye: EyePair, rise: Floats) -> Floats:
    """Excess gain in clear air at another slant: what is measured today, by the inverse square."""
    now = np.hypot(sheet.bay.width, eye.high - eye.low)
    return np.asarray(excess_gain_at(eye.excess_gain, now, np.hypot(sheet.bay.width, rise)))


def moved(sheet: SiteSheet, eye: EyePair, to: Placement) -> EyePair:
    """The pair as it would stand there. The opening stays where it is in its wall, so it moves against the emitter.

    On the other side the emitter has another wall behind it, of which the sheet says nothing: see light.sun_at.
    """
    gain = float(gain_at(sheet, eye, np.array(to.high - to.low)))
    on = to.position - eye.position
    opening = eye.opening and replace(
        eye.opening, before=eye.opening.before + on, after=eye.opening.after - on
    )
    return replace(
        eye, low=to.low, high=to.high, receiver_side=to.receiver_side, high_head=to.high_head,
        position=to.position, excess_gain=gain, opening=opening,
    )  # fmt: skip
