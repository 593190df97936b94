"""Things that stand in many drawings: a car, a pickup, an eye seen from the side, a post."""

from __future__ import annotations

from trainer.figures.given import Point
from trainer.figures.ink import LINE, THIN
from trainer.figures.paper import Paper

SEDAN_TALL, PICKUP_TALL, PICKUP_LONG = 1.45, 1.9, 5.6

# Corners from the tail (0) to the nose (1), up from the ground (0) to the roof (1).
_SEDAN = (
    (0.0, 0.22), (0.0, 0.56), (0.05, 0.64), (0.17, 0.67), (0.30, 0.96), (0.40, 1.0), (0.54, 0.98), (0.68, 0.67),
    (0.93, 0.58), (1.0, 0.46), (1.0, 0.22),
)  # fmt: skip
PICKUP = (
    (0.0, 0.28), (0.0, 0.66), (0.02, 0.66), (0.02, 0.46), (0.38, 0.46), (0.38, 0.97), (0.58, 1.0), (0.69, 0.70),
    (0.96, 0.64), (1.0, 0.56), (1.0, 0.28),
)  # fmt: skip


def car(
    paper: Paper, tail: float, nose: float, ground: float, tall: float, *, mark: str | None = None
) -> None:
    """A car from tail to nose, as a hatched outline that blocks, with two wheels."""
    _body(paper, _SEDAN, (tail, ground), (nose - tail, tall), mark)
    _wheels(paper, (tail, ground), (nose - tail, tall), (0.19, 0.80), 0.2)


def pickup(paper: Paper, tail: float, nose: float, ground: float, tall: float) -> None:
    """A pickup with an open bed."""
    _body(paper, PICKUP, (tail, ground), (nose - tail, tall), None)
    _wheels(paper, (tail, ground), (nose - tail, tall), (0.20, 0.82), 0.19)


def _body(paper: Paper, shape: tuple[Point, ...], corner: Point, size: Point, mark: str | None) -> None:
    points = [(corner[0] + x * size[0], corner[1] + y * size[1]) for x, y in shape]
    paper.area(points, "pencil", hatch="///", width=LINE, mark=mark)


def _wheels(paper: Paper, corner: Point, size: Point, at: tuple[float, ...], radius: float) -> None:
    around = min(radius * size[1], 0.16 * size[0])
    for x in at:
        center = (corner[0] + x * size[0], corner[1] + around)
        paper.circle(center, around, "pencil", width=LINE)
        paper.circle(center, around * 0.45, "pencil", width=THIN)


def head(paper: Paper, lens: Point, toward: int, mark: str | None = None) -> None:
    """An eye's head whose lens is at a point and looks right (1) or left (-1)."""
    x, y = lens
    back = x - toward * 14
    paper.box(min(x, back), y - 6, max(x, back), y + 6, width=LINE)
    paper.circle((x, y), 2.2, fill=True, mark=mark)
    paper.keep_clear(min(x, back) - 2, y - 7, max(x, back) + 2, y + 7)


def post(paper: Paper, x: float, ground: float, top: float) -> None:
    """A post that carries a head."""
    paper.line([(x, ground), (x, top)], "pencil", LINE)
