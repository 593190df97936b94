"""Where a straight beam between two lenses runs, and where a passing vehicle blocks it.

Bay axes: x along the travel of the conveyor, y across, z up from the floor. Vehicle axes: origin at the nose on the
ground, x towards the tail negative, so that a vehicle at position X has its nose at bay x = X.

        high |                       receiver
             |                . ' |
             |         . '        |  height at `at`
         low |  emitter           |
             +--------------------+------ level distance `at`, 0 to span
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_finite,
)

Span = tuple[float, float]
Spans = tuple[Span, ...]


@dataclass(frozen=True)
class BeamSlope:
    """Angle of the beam above horizontal [rad] and its length along the axis [m]."""

    angle: Numbers
    length: Numbers


def beam_height(low: Numbers, high: Numbers, span: Numbers, at: Numbers) -> Numbers:
    """Height of the beam's axis above the floor at a level distance from the low eye [m].

    low, high: height of each lens above the floor [m], finite
    span: level distance between the lenses [m], above 0
    at: level distance from the low eye [m], 0 to span
    Inputs broadcast; the result has their broadcast shape. Raises BadInput; NaN never passes.
    Source: similar triangles (Euclid, Elements VI.2).
    """
    require_finite("low", low)
    require_finite("high", high)
    require_above_zero("span", span, "m")
    require("at", at, (as_floats("at", at) >= 0) & (as_floats("at", at) <= span), "from 0 m to span")
    share = at / span
    return low * (1 - share) + high * share


def beam_slope(low: Numbers, high: Numbers, span: Numbers) -> BeamSlope:
    """Angle above horizontal, seen from the low eye [rad], and length along the beam [m].

    low, high: height of each lens above the floor [m], finite; high below low gives a negative angle
    span: level distance between the lenses [m], above 0
    Inputs broadcast; both results have their broadcast shape. Raises BadInput.
    Source: right triangle (Euclid, Elements I.47).
    """
    require_finite("low", low)
    require_finite("high", high)
    require_above_zero("span", span, "m")
    rise = high - low
    return BeamSlope(angle=np.arctan2(rise, span), length=np.hypot(rise, span))


def beam_position(low: Numbers, high: Numbers, span: Numbers, height: Numbers) -> Numbers:
    """Level distance from the low eye at which the beam's axis has a given height [m].

    low, high: height of each lens above the floor [m], finite and different from each other
    span: level distance between the lenses [m], above 0
    height: wanted height of the axis [m], between the two lenses
    Inputs broadcast; the result has their broadcast shape. Raises BadInput (a level beam has no single answer).
    Source: similar triangles (Euclid, Elements VI.2).
    """
    require_finite("low", low)
    require_finite("high", high)
    require_above_zero("span", span, "m")
    heights, lows, highs = as_floats("height", height), as_floats("low", low), as_floats("high", high)
    require("high", high, highs != lows, "different from low")
    between = (heights >= np.minimum(lows, highs)) & (heights <= np.maximum(lows, highs))
    require("height", height, between, "between low and high")
    return (height - low) / (high - low) * span


@dataclass(frozen=True)
class Piece:
    """A convex side profile [(x, z) in m, vehicle axes] that is the same over a lateral span from_y to to_y [m].

    At least three corners, in either sense of rotation, convex, with an area. Raises BadInput.
    """

    profile: tuple[tuple[float, float], ...]
    from_y: float
    to_y: float

    def __post_init__(self) -> None:
        require_finite("from_y", self.from_y)
        require_finite("to_y", self.to_y)
        require("to_y", self.to_y, self.to_y > self.from_y, "above from_y")
        corners = as_floats("profile", self.profile)
        if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 3:
            raise BadInput("profile", self.profile, "three or more corners [x, z]")
        require_finite("profile", corners)
        if not _is_convex(corners):
            raise BadInput("profile", self.profile, "convex, with an area, its corners in order")


def _is_convex(corners: Floats) -> bool:
    """Whether every corner lies on one side of every edge; rounding of collinear corners is forgiven."""
    edges = np.roll(corners, -1, axis=0) - corners
    to_corner = corners[np.newaxis] - corners[:, np.newaxis]
    cross = edges[:, np.newaxis, 0] * to_corner[..., 1] - edges[:, np.newaxis, 1] * to_corner[..., 0]
    slack = 1e-9 * float(np.ptp(corners, axis=0).max()) ** 2
    one_side = bool((cross >= -slack).all() or (cross <= slack).all())
    return one_side and bool(np.abs(cross).max() > slack)


def blocked_interval(
    emitter: npt.ArrayLike, receiver: npt.ArrayLike, piece: Piece, offset_y: Numbers = 0.0
) -> tuple[Floats, Floats]:
    """First and last position of the vehicle's origin [m] at which one piece blocks the beam's axis.

    emitter, receiver: lens centres [x, y, z] in bay axes [m], shape (..., 3), finite, apart
    piece: convex profile and its lateral span in vehicle axes
    offset_y: how far the vehicle's centre line is from y = 0 [m], shape (...)
    Returns two arrays of the broadcast shape (...); NaN where this piece never blocks. Touching counts as blocking.
    The positions form one interval: the Minkowski difference of a segment and a convex polygon is convex, and the
    line z = 0 cuts it in an interval. Its ends lie where the beam meets a corner's height or ends, so no stepping.
    """
    start, end, offset = _placements(emitter, receiver, offset_y)
    inside, clipped_start, clipped_end = _clip_sideways(
        start, end, piece.from_y + offset, piece.to_y + offset
    )
    corners = np.asarray(piece.profile, dtype=np.float64)
    low = np.maximum(np.minimum(clipped_start[..., 1], clipped_end[..., 1]), corners[:, 1].min())
    high = np.minimum(np.maximum(clipped_start[..., 1], clipped_end[..., 1]), corners[:, 1].max())
    inside &= low <= high
    first = np.full(inside.shape, np.inf)
    last = np.full(inside.shape, -np.inf)
    for level in [low, high, *(np.clip(z, low, np.maximum(low, high)) for z in corners[:, 1])]:
        tail, nose = _extent_at(corners, level)
        near, far = _beam_at(clipped_start, clipped_end, level)
        first = np.minimum(first, near - nose)
        last = np.maximum(last, far - tail)
    return np.where(inside, first, np.nan), np.where(inside, last, np.nan)


def _placements(emitter: object, receiver: object, offset_y: Numbers) -> tuple[Floats, Floats, Floats]:
    """The two lens centres and the offset, checked and broadcast to one shape."""
    start, end = as_floats("emitter", emitter), as_floats("receiver", receiver)
    for name, point in (("emitter", start), ("receiver", end)):
        if point.shape[-1:] != (3,):
            raise BadInput(name, point.tolist(), "a point [x, y, z]")
        require_finite(name, point)
    require_finite("offset_y", offset_y)
    if (start == end).all(axis=-1).any():
        raise BadInput("receiver", end.tolist(), "apart from the emitter")
    offset = as_floats("offset_y", offset_y)
    shape = np.broadcast_shapes(start.shape[:-1], end.shape[:-1], offset.shape)
    return (
        np.broadcast_to(start, (*shape, 3)),
        np.broadcast_to(end, (*shape, 3)),
        np.broadcast_to(offset, shape),
    )


def _clip_sideways(
    start: Floats, end: Floats, from_y: Floats, to_y: Floats
) -> tuple[npt.NDArray[np.bool_], Floats, Floats]:
    """Whether the beam runs within from_y to to_y at all, and the (x, z) of both ends of the part that does."""
    across = end[..., 1] - start[..., 1]
    along = np.where(across == 0, 1.0, across)
    one, other = (from_y - start[..., 1]) / along, (to_y - start[..., 1]) / along
    enters = np.where(across == 0, 0.0, np.maximum(np.minimum(one, other), 0.0))
    leaves = np.where(across == 0, 1.0, np.minimum(np.maximum(one, other), 1.0))
    level_inside = (start[..., 1] >= from_y) & (start[..., 1] <= to_y)
    inside = np.where(across == 0, level_inside, enters <= leaves)
    return inside, _between(start, end, enters), _between(start, end, np.maximum(enters, leaves))


def _between(start: Floats, end: Floats, share: Floats) -> Floats:
    """The (x, z) of the point that lies a share of the way from start to end."""
    part = np.clip(share, 0.0, 1.0)[..., np.newaxis]
    return np.asarray((start * (1 - part) + end * part)[..., (0, 2)])


def _extent_at(corners: Floats, level: Floats) -> tuple[Floats, Floats]:
    """Least and greatest x of a convex polygon at each height; infinities where it does not reach there.

    Level edges are passed over: their ends also belong to the edges that rise from them.
    """
    least = np.full(level.shape, np.inf)
    greatest = np.full(level.shape, -np.inf)
    for (x1, z1), (x2, z2) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if z1 == z2:
            continue
        share = np.clip((level - z1) / (z2 - z1), 0.0, 1.0)
        x = x1 * (1 - share) + x2 * share
        reaches = (level >= min(z1, z2)) & (level <= max(z1, z2))
        least = np.where(reaches, np.minimum(least, x), least)
        greatest = np.where(reaches, np.maximum(greatest, x), greatest)
    return least, greatest


def _beam_at(start: Floats, end: Floats, level: Floats) -> tuple[Floats, Floats]:
    """Least and greatest x of the clipped beam at each height; they differ only where the beam is level."""
    rise = end[..., 1] - start[..., 1]
    share = np.clip((level - start[..., 1]) / np.where(rise == 0, 1.0, rise), 0.0, 1.0)
    x = start[..., 0] * (1 - share) + end[..., 0] * share
    near = np.where(rise == 0, np.minimum(start[..., 0], end[..., 0]), x)
    far = np.where(rise == 0, np.maximum(start[..., 0], end[..., 0]), x)
    return near, far


@overload
def blocked_spans(
    emitter: Sequence[float], receiver: Sequence[float], pieces: Sequence[Piece], offset_y: float = 0.0
) -> Spans: ...
@overload
def blocked_spans(
    emitter: Sequence[float], receiver: Sequence[float], pieces: Sequence[Piece], offset_y: Floats
) -> npt.NDArray[np.object_]: ...
def blocked_spans(
    emitter: Sequence[float], receiver: Sequence[float], pieces: Sequence[Piece], offset_y: Numbers = 0.0
) -> Spans | npt.NDArray[np.object_]:
    """Sorted, disjoint [first, last] positions of the vehicle's origin along x at which the axis is blocked [m].

    emitter, receiver: lens centres [x, y, z] in bay axes [m], finite, apart
    pieces: the vehicle as convex profiles over lateral spans; none gives no spans
    offset_y: lateral offset of the vehicle's centre line [m]; an array gives an array of spans of its shape
    Exact: each piece gives one interval (see blocked_interval), the result is their union; spans that touch are one.
    Raises BadInput.
    """
    offsets = as_floats("offset_y", offset_y)
    _placements(emitter, receiver, offset_y)
    intervals = [blocked_interval(emitter, receiver, piece, offsets) for piece in pieces]
    if offsets.ndim == 0:
        return union([(float(first), float(last)) for first, last in intervals])
    spans = np.empty(offsets.shape, dtype=np.object_)
    for index in np.ndindex(offsets.shape):
        spans[index] = union([(float(first[index]), float(last[index])) for first, last in intervals])
    return spans


def union(spans: Sequence[Span]) -> Spans:
    """Sorted, disjoint union of closed spans; NaN spans are nothing, spans that touch become one."""
    merged: list[Span] = []
    for first, last in sorted(span for span in spans if span[0] <= span[1]):
        if merged and first <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], last))
        else:
            merged.append((first, last))
    return tuple(merged)
