"""Where the lenses of a pair stand in bay axes, where its receiver looks, which lane offsets decide what it sees."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from trainer.sites.sheet import EyePair, Side, SiteSheet
from trainer.sites.survey.results import Place3
from trainer.solver.beam import blocked_interval
from trainer.solver.bodies import Body
from trainer.solver.numbers import Floats

_SIGNS: dict[Side, int] = {"driver": 1, "passenger": -1}
# Beside an offset at which something changes, on either side of it [m]; and the step of the offsets in between.
_BESIDE, _STEP = 1e-7, 0.5 * 0.0254
_HAIR = 1e-12


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

    Between two of these every edge of each piece moves in proportion to the offset. An extreme stands where the beam,
    at one side of a piece, is level with one of its corners, or where that side is level with a lens; there and just
    beside it, because what is seen may jump; or where two pieces change places as the foremost or the rearmost. The
    center line, both ends, and every half inch are among them too.
    """
    reach = sheet.bay.lane_offset
    found = np.array([*_regular(reach), *_levels(sheet, eye, body)])
    found = np.unique(found[np.abs(found) <= reach])
    return np.union1d(found, _changes(sheet, eye, body, found))


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


def _changes(sheet: SiteSheet, eye: EyePair, body: Body, offsets: Floats) -> Floats:
    """Offsets, between two neighbors of these, at which the foremost or the rearmost edge passes to another piece."""
    emitter, receiver = lenses(sheet, eye)
    edges = [blocked_interval(emitter, receiver, piece, offsets) for piece in body.pieces]
    firsts, lasts = np.array([first for first, _ in edges]), np.array([last for _, last in edges])
    found = [_crossings(-firsts, offsets), _crossings(lasts, offsets)]
    return np.concatenate(found)


def _crossings(edges: Floats, offsets: Floats) -> Floats:
    """Where the greatest of edges that run straight between neighboring offsets passes from one to another.

    edges: shape (pieces, offsets), NaN where a piece blocks nothing
    """
    start, rise = edges[:, :-1], np.diff(edges, axis=1)
    one, other = np.triu_indices(len(edges), 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (start[other] - start[one]) / (rise[one] - rise[other])
    pair, gap = np.nonzero((share > 0) & (share < 1))
    at = share[pair, gap]
    heights = start[:, gap] + rise[:, gap] * at
    met = heights[one[pair], np.arange(gap.size)] >= np.fmax.reduce(heights, axis=0) - _HAIR
    return np.asarray((offsets[gap] + at * np.diff(offsets)[gap])[met])
