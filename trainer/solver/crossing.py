"""Where straight beams meet one convex outline that is extruded over a lateral span, for whole arrays of beams.

A beam is cut to the span; of the part that is left, x runs straight over height. The outline's front is a concave chain
of x over height. How far the beam leads the chain is then convex in height, so its least value, which is the position
at which the two first touch, lies at one corner of the chain that its slope gives away.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import Floats
from trainer.solver.outline import Chain

Truths = npt.NDArray[np.bool_]


@dataclass(frozen=True)
class Clip:
    """The part of each beam within a lateral span: whether there is one, and x and z of its two ends."""

    inside: Truths
    x1: Floats
    z1: Floats
    x2: Floats
    z2: Floats

    def turned(self) -> "Clip":
        """The same with x mirrored, as Piece.tail is."""
        return replace(self, x1=-self.x1, x2=-self.x2)


def clip_sideways(start: Floats, end: Floats, from_y: Floats, to_y: Floats) -> Clip:
    """The part of each beam within from_y to to_y."""
    y1, y2 = start[..., 1], end[..., 1]
    across = y2 - y1
    square = across == 0  # no way across: all of the beam or none
    along = np.where(square, 1.0, across)
    with np.errstate(over="ignore"):  # a beam all but along x meets a side far beyond its ends
        one, other = (from_y - y1) / along, (to_y - y1) / along
    enters = np.where(square, 0.0, np.maximum(np.minimum(one, other), 0.0))
    leaves = np.where(square, 1.0, np.minimum(np.maximum(one, other), 1.0))
    inside = np.where(square, (y1 >= from_y) & (y1 <= to_y), enters <= leaves)
    enters, leaves = np.minimum(enters, 1.0), np.maximum(leaves, 0.0)
    ends = (_lerp(start[..., axis], end[..., axis], share) for share in (enters, leaves) for axis in (0, 2))
    return Clip(inside, *ends)


def _lerp(start: Floats, end: Floats, share: Floats) -> Floats:
    """Start at share 0, end at share 1, exactly; and exactly level where the two are equal."""
    return np.asarray(np.where(share == 1, end, start + share * (end - start)))


def interval(clip: Clip, nose: Chain, tail: Chain) -> tuple[Floats, Floats]:
    """First and last blocked position of clipped beams; NaN where there is none."""
    heights = nose.heights
    low = np.maximum(np.minimum(clip.z1, clip.z2), heights[0])
    high = np.minimum(np.maximum(clip.z1, clip.z2), heights[-1])
    inside = clip.inside & (low <= high)
    first = _least_lead(nose, clip, low, high)
    last = -_least_lead(tail, clip.turned(), low, high)
    # Where the beam touches one point alone, rounding must not put the last touch before the first.
    return np.where(inside, first, np.nan), np.where(inside, np.maximum(first, last), np.nan)


def _least_lead(chain: Chain, clip: Clip, low: Floats, high: Floats) -> Floats:
    """Least lead of the beam over the chain, x(z) - chain(z), for z from low to high.

    x(z) is straight and the chain concave, so the lead is convex in z: its least value lies at the corner where the
    chain's slope passes the beam's, or at the end of low to high that is nearest to that corner.
    """
    rise = clip.z2 - clip.z1
    level = rise == 0
    upward = np.where(level, 1.0, rise)
    with np.errstate(over="ignore"):  # a beam all but level: its slope may pass every number
        slope = (clip.x2 - clip.x1) / upward
    corner = chain.heights[np.searchsorted(chain.rising, -slope)]
    touch = np.clip(corner, low, np.maximum(low, high))
    share = np.clip((touch - clip.z1) / upward, 0.0, 1.0)
    x = np.where(level, np.minimum(clip.x1, clip.x2), _lerp(clip.x1, clip.x2, share))
    return np.asarray(x - np.interp(touch, chain.heights, chain.xs))
