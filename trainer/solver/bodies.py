"""What vehicles look like from the side, as convex pieces.

The bodies are invented and plausible, none is a maker's. Vehicle axes: nose at x = 0, tail at negative x, y across from
the centre line, z up from the ground; metres.
"""

from dataclasses import dataclass, replace

import numpy as np

from trainer.solver.beam import Piece
from trainer.solver.numbers import BadInput, require_above_zero


@dataclass(frozen=True)
class Body:
    """A vehicle as convex pieces, with its axles' x and its static loaded tyre radius [m]."""

    name: str
    pieces: tuple[Piece, ...]
    front_axle: float
    rear_axle: float
    tire_radius: float

    @property
    def nose(self) -> float:
        """x of the foremost point [m]."""
        return max(x for piece in self.pieces for x, _ in piece.profile)

    @property
    def tail(self) -> float:
        """x of the hindmost point [m]."""
        return min(x for piece in self.pieces for x, _ in piece.profile)

    @property
    def length(self) -> float:
        """From the foremost to the hindmost point [m]."""
        return self.nose - self.tail

    @property
    def height(self) -> float:
        """Highest point above the ground [m]."""
        return max(z for piece in self.pieces for _, z in piece.profile)

    @property
    def width(self) -> float:
        """From side to side [m]."""
        return max(piece.to_y for piece in self.pieces) - min(piece.from_y for piece in self.pieces)


def _across(half_width: float, *corners: tuple[float, float]) -> Piece:
    """A piece over the whole width, centred."""
    return Piece(corners, -half_width, half_width)


def _both_sides(inner: float, outer: float, *corners: tuple[float, float]) -> tuple[Piece, Piece]:
    """The same piece on the left and on the right."""
    return Piece(corners, -outer, -inner), Piece(corners, inner, outer)


def _wheels(axle: float, radius: float, inner: float, outer: float) -> tuple[Piece, Piece]:
    """Two wheels as 24-sided prisms that stand on the ground."""
    turns = 2 * np.pi * np.arange(24) / 24
    rim = ((axle + radius * float(np.sin(t)), radius * (1 - float(np.cos(t)))) for t in turns)
    return _both_sides(inner, outer, *rim)


def _sedan() -> Body:
    lower = (
        (0.0, 0.26),
        (0.0, 0.56),
        (-0.25, 0.74),
        (-1.3, 0.93),
        (-4.3, 1.0),
        (-4.85, 0.95),
        (-4.85, 0.40),
        (-4.25, 0.20),
        (-0.85, 0.17),
    )
    cabin = ((-1.25, 0.92), (-2.1, 1.42), (-2.9, 1.45), (-3.6, 1.38), (-4.4, 0.99))
    pieces = (_across(0.90, *lower), _across(0.68, *cabin))
    wheels = (*_wheels(-0.95, 0.31, 0.66, 0.88), *_wheels(-3.75, 0.31, 0.66, 0.88))
    return Body("sedan", pieces + wheels, -0.95, -3.75, 0.31)


def _suv() -> Body:
    lower = (
        (0.0, 0.48),
        (0.0, 0.85),
        (-0.2, 1.02),
        (-1.3, 1.15),
        (-4.75, 1.15),
        (-4.9, 1.0),
        (-4.9, 0.50),
        (-4.3, 0.26),
        (-0.75, 0.24),
    )
    cabin = ((-1.2, 1.14), (-1.9, 1.70), (-2.6, 1.78), (-4.3, 1.74), (-4.8, 1.14))
    pieces = (_across(0.96, *lower), _across(0.75, *cabin))
    wheels = (*_wheels(-0.92, 0.36, 0.70, 0.94), *_wheels(-3.80, 0.36, 0.70, 0.94))
    return Body("suv", pieces + wheels, -0.92, -3.80, 0.36)


def _van() -> Body:
    lower = ((0.0, 0.40), (0.0, 0.85), (-0.3, 1.10), (-5.55, 1.10), (-5.6, 0.50), (-5.2, 0.28), (-0.9, 0.22))
    cargo = ((-0.3, 1.08), (-1.5, 1.95), (-2.2, 2.10), (-5.35, 2.10), (-5.55, 1.08))
    pieces = (_across(0.98, *lower), _across(0.90, *cargo))
    wheels = (*_wheels(-0.95, 0.34, 0.72, 0.96), *_wheels(-4.45, 0.34, 0.72, 0.96))
    return Body("van", pieces + wheels, -0.95, -4.45, 0.34)


def _pickup() -> Body:
    front = (
        (0.0, 0.50),
        (0.0, 1.00),
        (-0.2, 1.15),
        (-1.5, 1.22),
        (-3.75, 1.22),
        (-3.75, 0.30),
        (-0.85, 0.27),
    )
    cab = ((-1.4, 1.20), (-2.1, 1.82), (-2.6, 1.90), (-3.6, 1.86), (-3.75, 1.20))
    floor = ((-3.75, 0.42), (-3.75, 0.88), (-5.80, 0.88), (-5.80, 0.58), (-5.3, 0.42))
    rail = ((-3.75, 0.80), (-3.75, 1.38), (-5.80, 1.38), (-5.80, 0.80))
    tailgate = ((-5.72, 0.80), (-5.72, 1.36), (-5.80, 1.36), (-5.80, 0.80))
    pieces = (_across(1.0, *front), _across(0.78, *cab), _across(0.95, *floor), _across(0.95, *tailgate))
    wheels = (*_wheels(-0.95, 0.39, 0.72, 0.98), *_wheels(-4.65, 0.39, 0.72, 0.98))
    return Body("pickup", (*pieces, *_both_sides(0.88, 0.98, *rail), *wheels), -0.95, -4.65, 0.39)


BODIES = {body.name: body for body in (_sedan(), _suv(), _van(), _pickup())}


def with_hitch(body: Body, reach: float = 0.25) -> Body:
    """The body with a ball hitch that stands out behind its tail by `reach` [m, above 0], ball 0.38 m above ground."""
    require_above_zero("reach", reach, "m")
    tail = -body.length
    bar = ((tail + 0.2, 0.32), (tail + 0.2, 0.38), (tail - reach, 0.38), (tail - reach, 0.32))
    ball = (
        (tail - reach + 0.05, 0.38),
        (tail - reach + 0.05, 0.43),
        (tail - reach, 0.43),
        (tail - reach, 0.38),
    )
    pieces = (*body.pieces, _across(0.04, *bar), _across(0.025, *ball))
    return replace(body, name=f"{body.name}_with_hitch", pieces=pieces)


def with_trailer(body: Body, tongue: float = 1.2, box: float = 2.5) -> Body:
    """The body with hitch and a small box trailer: only the thin tongue [m] bridges the gap to the box [m]."""
    require_above_zero("tongue", tongue, "m")
    require_above_zero("box", box, "m")
    pulling = with_hitch(body)
    start = -pulling.length
    end = start - tongue
    bar = ((start + 0.05, 0.43), (start + 0.05, 0.50), (end, 0.50), (end, 0.43))
    walls = ((end, 0.50), (end, 1.20), (end - box, 1.20), (end - box, 0.50))
    wheels = _wheels(end - box / 2, 0.28, 0.78, 0.95)
    pieces = (*pulling.pieces, _across(0.05, *bar), _across(0.75, *walls), *wheels)
    return replace(body, name=f"{body.name}_with_trailer", pieces=pieces)


def stretched(body: Body, length: float) -> Body:
    """The body drawn out or shortened along x to a length [m, above 0]; heights and widths stay. Raises BadInput."""
    require_above_zero("length", length, "m")
    factor = length / body.length
    pieces = tuple(
        replace(piece, profile=tuple((x * factor, z) for x, z in piece.profile)) for piece in body.pieces
    )
    return replace(
        body, pieces=pieces, front_axle=body.front_axle * factor, rear_axle=body.rear_axle * factor
    )


def body(name: str) -> Body:
    """One of the invented bodies: sedan, suv, van or pickup. Raises BadInput."""
    if name not in BODIES:
        raise BadInput("name", name, "one of " + ", ".join(BODIES))
    return BODIES[name]
