"""Where the lenses of a pair stand in bay axes, where its receiver looks, which lane offsets decide what it sees."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from trainer.sites.sheet import EyePair, Side, SiteSheet
from trainer.sites.survey.results import Place3
from trainer.solver.bodies import Body
from trainer.solver.numbers import Floats

_SIGNS: dict[Side, int] = {"driver": 1, "passenger": -1}
# Beside an offset at which something changes, on either side of it [m]; and the step of the offsets in between.
_BESIDE, _STEP = 1e-7, 0.5 * 0.0254


def lenses(sheet: SiteSheet, eye: EyePair) -> tuple[Place3, Place3]:
    """Emitter and receiver in bay axes [m]."""
    across = _SIGNS[eye.receiver_side] * sheet.bay.width / 2
    on_emitter, on_receiver = (eye.low, eye.high) if eye.high_head == "receiver" else (eye.high, eye.low)
    return (eye.position, -across, on_emitter), (eye.position, across, on_receiver)


def beam_length(sheet: SiteSheet, eye: EyePair) -> float:
    """From lens to lens [m]."""
    return math.hypot(sheet.bay.width, eye.high - eye.low)


def receiver_looks(sheet: SiteSheet, eye: EyePair) -> tuple[float, float]:
    """Azimuth, clockwise from north, and elevation of the receiver's axis [rad]; a car faces `bearing`."""
    turn = math.pi / 2 * _SIGNS[eye.receiver_side]
    azimuth = (sheet.location.bearing + turn) % (2 * math.pi)
    drop = eye.high - eye.low if eye.high_head == "receiver" else eye.low - eye.high
    return azimuth, -math.atan2(drop, sheet.bay.width)


def deciding_offsets(sheet: SiteSheet, eye: EyePair, body: Body) -> Floats:
    """Lane offsets [m] at which what the pair sees of a body is at its worst: all of them, not a sample.

    Between two of these every edge of the body moves in proportion to the offset. An extreme stands where the beam, at
    one side of a piece, is level with one of its corners, or where that side is level with a lens; there and just
    beside it, because what is seen may jump. The center line, both ends, and every half inch are among them too.
    """
    reach = sheet.bay.lane_offset
    found = np.array([*_regular(reach), *_levels(sheet, eye, body)])
    return np.unique(found[np.abs(found) <= reach])


def _regular(reach: float) -> Iterable[float]:
    steps = max(2, 2 * math.ceil(reach / _STEP))
    return (*np.linspace(-reach, reach, steps + 1).tolist(), 0.0)


def _levels(sheet: SiteSheet, eye: EyePair, body: Body) -> Iterable[float]:
    (_, y1, z1), (_, y2, z2) = lenses(sheet, eye)
    for piece in body.pieces:
        heights = {z for _, z in piece.profile} if z1 != z2 else ()
        beam = [y1 + (z - z1) / (z2 - z1) * (y2 - y1) for z in heights]
        for at in (*beam, y1, y2):
            for side in (piece.from_y, piece.to_y):
                yield from (at - side - _BESIDE, at - side, at - side + _BESIDE)
