"""What a convex outline shows to a beam that comes from the front: its foremost point at each height."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import Floats

Corner = tuple[float, float]


@dataclass(frozen=True)
class Chain:
    """The front of a convex outline: x over rising heights, concave, and the slopes dx/dz negated, which rise."""

    heights: Floats
    xs: Floats
    rising: Floats


def front(corners: Iterable[Corner]) -> Chain:
    """Greatest x at each height of a convex outline with corners (x, z) of at least two heights [m]."""
    hull: list[Corner] = []
    for z, x in sorted((z, x) for x, z in corners):
        if hull and hull[-1][0] == z:
            hull.pop()
        while len(hull) > 1 and _hollow(hull[-2], hull[-1], (z, x)):
            hull.pop()
        hull.append((z, x))
    heights, xs = (np.array(row, dtype=np.float64) for row in zip(*hull, strict=True))
    return Chain(heights, xs, -np.diff(xs) / np.diff(heights))


def _hollow(before: Corner, here: Corner, after: Corner) -> bool:
    """Whether `here` (z, x) stands on or behind the straight way from before to after."""
    return (here[1] - before[1]) * (after[0] - here[0]) <= (after[1] - here[1]) * (here[0] - before[0])


def is_convex(corners: Floats) -> bool:
    """Whether every corner lies on one side of every edge; rounding of collinear corners is forgiven.

    corners: (x, z) in order, in either sense of rotation [m], shape (n, 2). No area is not convex.
    """
    edges = np.roll(corners, -1, axis=0) - corners
    to_corner = corners[np.newaxis] - corners[:, np.newaxis]
    cross = edges[:, np.newaxis, 0] * to_corner[..., 1] - edges[:, np.newaxis, 1] * to_corner[..., 0]
    slack = 1e-9 * float(np.ptp(corners, axis=0).max()) ** 2
    one_side = bool((cross >= -slack).all() or (cross <= slack).all())
    return one_side and bool(np.abs(cross).max() > slack)


def hull(corners: Iterable[Corner]) -> tuple[Corner, ...]:
    """Corners (x, z) of the convex hull of points, in order; corners on a straight way are left out."""
    points = tuple(corners)
    nose, tail = front(points), front((-x, z) for x, z in points)
    rising = zip(nose.xs.tolist(), nose.heights.tolist(), strict=True)
    falling = zip((-tail.xs[::-1]).tolist(), tail.heights[::-1].tolist(), strict=True)
    return tuple(dict.fromkeys((*rising, *falling)))
