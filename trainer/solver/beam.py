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
from functools import cached_property
from typing import overload

import numpy as np
import numpy.typing as npt

from trainer.solver.crossing import Clip, Truths, clip_sideways, interval
from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_between,
    require_finite,
)
from trainer.solver.outline import Chain, front, is_convex

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
    share = require_between("at", at, 0, span, "from 0 m to span") / span
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
    lows, highs = require_finite("low", low), require_finite("high", high)
    require_above_zero("span", span, "m")
    require("high", highs, highs != lows, "different from low")
    ends = np.minimum(lows, highs), np.maximum(lows, highs)
    heights = require_between("height", height, *ends, "between low and high")
    return (heights - lows) / (highs - lows) * span


@dataclass(frozen=True)
class BeamAcross:
    """Lowest and highest height of the beam's axis over a car's width [m]."""

    lowest: Numbers
    highest: Numbers


def beam_across(low: Numbers, high: Numbers, span: Numbers, width: Numbers, offset: Numbers) -> BeamAcross:
    """Between which heights the beam's axis crosses a car [m].

    low, high: height of each lens above the floor [m], finite
    span: level distance between the lenses [m], above 0
    width: of the car [m], above 0
    offset: how far the car's centre line is from midway between the lenses, towards the high eye [m]; the car must
        stand wholly between the lenses
    Inputs broadcast; both results have their broadcast shape. Raises BadInput.
    Source: similar triangles (Euclid, Elements VI.2).
    """
    whole = require_above_zero("span", span, "m")
    half = require_above_zero("width", width, "m") / 2
    room = whole / 2 - half
    require("width", width, room >= 0, "at most span")
    require_between("offset", offset, -room, room, "such that the car is between the lenses")
    middle = whole / 2 + offset
    near = beam_height(low, high, span, np.maximum(middle - half, 0.0))
    far = beam_height(low, high, span, np.minimum(middle + half, span))
    return BeamAcross(lowest=np.minimum(near, far), highest=np.maximum(near, far))


@dataclass(frozen=True)
class Piece:
    """A convex side profile [(x, z) in m, vehicle axes] that is the same over a lateral span from_y to to_y [m].

    At least three corners, in either sense of rotation, convex, with an area. Raises BadInput.
    """

    profile: tuple[tuple[float, float], ...]
    from_y: float
    to_y: float

    def __post_init__(self) -> None:
        from_y, to_y = require_finite("from_y", self.from_y), require_finite("to_y", self.to_y)
        require("to_y", to_y, to_y > from_y, "above from_y")
        corners = as_floats("profile", self.profile)
        if corners.ndim != 2 or corners.shape[1] != 2 or len(corners) < 3:
            raise BadInput("profile", self.profile, "three or more corners [x, z]")
        require_finite("profile", corners)
        if not is_convex(corners):
            raise BadInput("profile", self.profile, "convex, with an area, its corners in order")

    @cached_property
    def nose(self) -> Chain:
        """Greatest x at each height."""
        return front(self.profile)

    @cached_property
    def tail(self) -> Chain:
        """Least x at each height, mirrored: a tail's chain is the nose's chain of the profile turned about."""
        return front((-x, z) for x, z in self.profile)


def blocked_interval(
    emitter: npt.ArrayLike, receiver: npt.ArrayLike, piece: Piece, offset_y: Numbers = 0.0
) -> tuple[Floats, Floats]:
    """First and last position of the vehicle's origin [m] at which one piece blocks the beam's axis.

    emitter, receiver: lens centres [x, y, z] in bay axes [m], shape (..., 3), finite, apart
    piece: convex profile and its lateral span in vehicle axes
    offset_y: how far the vehicle's centre line is from y = 0 [m], shape (...)
    Returns two arrays of the broadcast shape (...); NaN where this piece never blocks. Touching counts as blocking.
    The positions form one interval: the Minkowski difference of a segment and a convex polygon is convex, and the
    line z = 0 cuts it in an interval. Each end is exact, without stepping: see crossing.
    """
    start, end, offset = _placements(emitter, receiver, offset_y)
    clip = clip_sideways(start, end, piece.from_y + offset, piece.to_y + offset)
    return interval(clip, piece.nose, piece.tail)


def _placements(emitter: object, receiver: object, offset_y: Numbers) -> tuple[Floats, Floats, Floats]:
    """The two lens centres and the offset, checked and ready to broadcast against each other."""
    start, end = as_floats("emitter", emitter), as_floats("receiver", receiver)
    for name, point in (("emitter", start), ("receiver", end)):
        if point.shape[-1:] != (3,):
            raise BadInput(name, point.tolist(), "a point [x, y, z]")
        require_finite(name, point)
    offset = require_finite("offset_y", offset_y)
    if (start == end).all(axis=-1).any():
        raise BadInput("receiver", end.tolist(), "apart from the emitter")
    return start, end, offset


@dataclass(frozen=True)
class Sweep:
    """Where a vehicle blocks beams, for many placements at once; every result has their shape.

    firsts, lasts: ends of the blocked intervals of all pieces [m], each sorted along the first axis, NaN behind them;
        shape (pieces, ...). Sorted apart, they no longer belong together piece by piece, and need not: a hole opens
        where as many intervals have ended as have begun.
    """

    firsts: Floats
    lasts: Floats

    @cached_property
    def seen(self) -> Truths:
        """Whether the vehicle blocks the beam at all."""
        found: Truths = np.isfinite(self.firsts[0])
        return found

    @property
    def first(self) -> Floats:
        """Position of the vehicle's origin at the first touch [m]; NaN where it is never seen."""
        return np.asarray(self.firsts[0])

    @cached_property
    def last(self) -> Floats:
        """Position at which the vehicle leaves for good [m]; NaN where it is never seen."""
        return np.asarray(np.fmax.reduce(self.lasts, axis=0))

    @cached_property
    def holes(self) -> Truths:
        """Whether the beam is clear between lasts[k] and firsts[k + 1]; shape (pieces - 1, ...)."""
        return np.asarray(self.lasts[:-1] < self.firsts[1:])

    @cached_property
    def count(self) -> npt.NDArray[np.int64]:
        """Number of separate spans; spans that touch are one."""
        return np.asarray(self.seen + self.holes.sum(axis=0), dtype=np.int64)

    @cached_property
    def longest_hole(self) -> Floats:
        """Longest clear way between two spans [m]; 0 where there is none, NaN where the vehicle is never seen."""
        ways = np.where(self.holes, self.firsts[1:] - self.lasts[:-1], 0.0)
        return np.where(self.seen, ways.max(axis=0, initial=0.0), np.nan)

    def merged(self) -> "Sweep":
        """The same with one first and one last for each separate span, in order, NaN behind them."""
        begins = np.where(self.holes, self.firsts[1:], np.nan)
        ends = np.where(self.holes, self.lasts[:-1], np.nan)
        firsts, lasts = (
            np.concatenate([self.firsts[:1], begins]),
            np.concatenate([ends, self.last[np.newaxis]]),
        )
        rows = max(int(self.count.max(initial=0)), 1)
        return Sweep(np.sort(firsts, axis=0)[:rows], np.sort(lasts, axis=0)[:rows])

    def spans(self, *index: int) -> Spans:
        """Sorted, disjoint [first, last] of one placement [m]. Raises BadInput unless there is one index an axis."""
        if len(index) != self.firsts.ndim - 1:
            raise BadInput("index", index, f"one number for each of {self.firsts.ndim - 1} axes")
        firsts, lasts = (np.moveaxis(ends, 0, -1)[index].tolist() for ends in (self.firsts, self.lasts))
        return union(list(zip(firsts, lasts, strict=True)))


def sweep(
    emitter: npt.ArrayLike, receiver: npt.ArrayLike, pieces: Sequence[Piece], offset_y: Numbers = 0.0
) -> Sweep:
    """Where a vehicle blocks the axis of many beams, in many lanes, at once.

    emitter, receiver: lens centres [x, y, z] in bay axes [m], shape (..., 3), finite, apart
    pieces: the vehicle as convex profiles over lateral spans; none is never seen
    offset_y: how far the vehicle's centre line is from y = 0 [m], shape (...)
    All broadcast: placements of shape (n, 1, 3) and offsets of shape (m,) give results of shape (n, m). Exact, see
    blocked_interval. Raises BadInput.
    """
    return _sweep(_clips(emitter, receiver, pieces, offset_y), pieces)


def _sweep(clips: "_Clips", pieces: Sequence[Piece]) -> Sweep:
    firsts, lasts = (np.full((max(len(pieces), 1), *clips.shape), np.nan) for _ in range(2))
    for row, piece in enumerate(pieces):
        firsts[row], lasts[row] = interval(clips.of(piece), piece.nose, piece.tail)
    return Sweep(np.sort(firsts, axis=0), np.sort(lasts, axis=0))


@dataclass(frozen=True)
class _Clips:
    """The stretch of each beam inside the lateral span of each piece; pieces of one span share theirs."""

    shape: tuple[int, ...]
    by_side: dict[Span, Clip]

    def of(self, piece: Piece) -> Clip:
        return self.by_side[piece.from_y, piece.to_y]


def _clips(emitter: object, receiver: object, pieces: Sequence[Piece], offset_y: Numbers) -> _Clips:
    start, end, offset = _placements(emitter, receiver, offset_y)
    sides = {(piece.from_y, piece.to_y) for piece in pieces}
    clips = {side: clip_sideways(start, end, side[0] + offset, side[1] + offset) for side in sides}
    return _Clips(np.broadcast_shapes(start.shape[:-1], end.shape[:-1], offset.shape), clips)


@dataclass(frozen=True)
class Passes:
    """Whether a beam runs below, or above, everything of a vehicle that stands in its way across; shape (...)."""

    under: Truths
    over: Truths


def passes(
    emitter: npt.ArrayLike, receiver: npt.ArrayLike, pieces: Sequence[Piece], offset_y: Numbers = 0.0
) -> Passes:
    """Whether beams run below, or above, every piece whose lateral span they enter; neither where they enter none.

    Inputs as sweep. Touching is not passing. Raises BadInput.
    """
    return _passes(_clips(emitter, receiver, pieces, offset_y), pieces)


def _passes(clips: _Clips, pieces: Sequence[Piece]) -> Passes:
    met, under, over = (fill(clips.shape, bool) for fill in (np.zeros, np.ones, np.ones))
    for piece in pieces:
        clip = clips.of(piece)
        met |= clip.inside
        under &= ~clip.inside | (np.maximum(clip.z1, clip.z2) < piece.nose.heights[0])
        over &= ~clip.inside | (np.minimum(clip.z1, clip.z2) > piece.nose.heights[-1])
    return Passes(met & under, met & over)


def sweep_and_passes(
    emitter: npt.ArrayLike, receiver: npt.ArrayLike, pieces: Sequence[Piece], offset_y: Numbers = 0.0
) -> tuple[Sweep, Passes]:
    """What sweep and what passes give, for little more than one of them. Inputs as sweep. Raises BadInput."""
    clips = _clips(emitter, receiver, pieces, offset_y)
    return _sweep(clips, pieces), _passes(clips, pieces)


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
    found = sweep(emitter, receiver, pieces, offset_y)
    shape = found.seen.shape
    if not shape:
        return found.spans()
    spans = np.empty(shape, dtype=np.object_)
    for index in np.ndindex(shape):
        spans[index] = found.spans(*index)
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
