"""Things that stand in many drawings: a car, a pickup, an eye seen from the side, a post."""

from __future__ import annotations

from trainer.figures.given import Point
from trainer.figures.ink import LINE
from trainer.figures.paper import Paper
from trainer.solver.bodies import BODIES, Body

SEDAN_TALL = BODIES["sedan"].height
SEDAN_LONG = BODIES["sedan"].length


def car(
    paper: Paper, tail: float, nose: float, ground: float, tall: float, *, mark: str | None = None
) -> None:
    """A sedan from tail to nose, hatched because it blocks; `mark` names its lower body."""
    body = BODIES["sedan"]
    _vehicle(paper, body, (nose, ground), ((nose - tail) / body.length, tall / body.height), mark)


def pickup(paper: Paper, nose: float, ground: float, scale: float) -> None:
    """A pickup with an open bed, to scale."""
    _vehicle(paper, BODIES["pickup"], (nose, ground), (scale, scale), None)


def outlined(paper: Paper, body: Body, nose: Point, scale: float) -> None:
    """Any body from the side, to scale, its nose's foot at a point."""
    _vehicle(paper, body, nose, (scale, scale), "body")


def _vehicle(paper: Paper, body: Body, nose: Point, scale: tuple[float, float], mark: str | None) -> None:
    """A body's pieces, each outlined; wheels, which are many-sided, are left open."""
    seen = {piece.profile: piece for piece in body.pieces}
    for i, profile in enumerate(seen):
        points = [(nose[0] + x * scale[0], nose[1] + z * scale[1]) for x, z in profile]
        round_one = len(profile) > 12
        hatch = "" if round_one else "///"
        paper.area(points, "pencil", hatch=hatch, width=LINE, mark=mark if i == 0 else None)


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
