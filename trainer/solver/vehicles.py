"""What vehicles look like from the side as convex pieces, and what regulations say of their heights and angles.

The bodies are invented and plausible, none is a maker's. Vehicle axes: nose at x = 0, tail at negative x, y across from
the centre line, z up from the ground; metres.
"""

from dataclasses import dataclass, replace

import numpy as np

from trainer.solver.beam import Piece
from trainer.solver.numbers import (
    BadInput,
    Flags,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_acute,
    require_from_zero,
    require_one_of,
)

_INCH = 0.0254
_SQUARE_FOOT = 0.3048**2

BUMPER_ZONE = (16 * _INCH, 20 * _INCH)  # m, both ends in; 49 CFR 581.7
VEHICLE_CLASSES = ("passenger_car", "suv", "van", "pickup")
TOW_BALL_HEIGHTS = (0.350, 0.420)  # m, laden; EU directive 94/20/EC, as restated in public
DESIGN_CAR = {
    "front_overhang": 0.9,
    "wheelbase": 3.4,
    "rear_overhang": 1.5,
}  # m; AASHTO Green Book, design vehicle P


@dataclass(frozen=True)
class Body:
    """A vehicle as convex pieces, with its axles' x and its static loaded tyre radius [m]."""

    name: str
    pieces: tuple[Piece, ...]
    front_axle: float
    rear_axle: float
    tire_radius: float

    @property
    def length(self) -> float:
        """From the foremost to the hindmost point [m]."""
        xs = [x for piece in self.pieces for x, _ in piece.profile]
        return max(xs) - min(xs)

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


def in_bumper_zone(height: Numbers) -> Flags:
    """Whether a height [m, 0 or more] lies in the bumper test zone, 16 to 20 in, both ends in; broadcasts.

    Source: 49 CFR 581.7(a)(1), 2015 edition.
    """
    require_from_zero("height", height, "m")
    heights, rounding = as_floats("height", height), 1e-12
    inside: Flags = (heights >= BUMPER_ZONE[0] - rounding) & (heights <= BUMPER_ZONE[1] + rounding)
    return inside


def bumper_rule_covers(vehicle_class: str) -> bool:
    """Whether the bumper standard covers passenger_car, suv, van or pickup: passenger cars only. Raises BadInput.

    Source: 49 CFR 581.3, 2015 edition.
    """
    require_one_of("vehicle_class", vehicle_class, VEHICLE_CLASSES)
    return vehicle_class == "passenger_car"


def nose_limit_height(radius: Numbers, angle: Numbers, ahead: Numbers) -> Numbers:
    """Height below which nothing may hang at a distance from the wheel centre, for an approach or departure angle [m].

    radius: static loaded radius of the tyre [m], above 0
    angle: approach (front) or departure (rear) angle [rad], above 0 and below π/2
    ahead: level distance from the wheel centre, ahead of the front or behind the rear wheel [m], at least
        radius·tan(angle/2), where the tangent meets the ground
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: definition of the angles as tangents to the static loaded radius arc, 49 CFR 523.2, 2015 edition.
    """
    require_above_zero("radius", radius, "m")
    require_acute("angle", angle)
    ground = radius * np.tan(np.divide(angle, 2))
    aheads = as_floats("ahead", ahead)
    require("ahead", ahead, np.isfinite(aheads) & (aheads >= ground), "at least radius*tan(angle/2)")
    height: Numbers = (ahead - ground) * np.tan(angle)
    return height


def tangent_angle(radius: Numbers, ahead: Numbers, height: Numbers) -> Numbers:
    """Approach or departure angle that one point of the underside allows: tangent of the tyre's arc through it [rad].

    radius: static loaded radius of the tyre [m], above 0
    ahead: level distance of the point from the wheel centre [m], above radius
    height: of the point above the ground [m], 0 or more
    Inverse of nose_limit_height. Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: 49 CFR 523.2, 2015 edition.
    """
    require_above_zero("radius", radius, "m")
    aheads = as_floats("ahead", ahead)
    require("ahead", ahead, np.isfinite(aheads) & (aheads > radius), "finite and above radius")
    require_from_zero("height", height, "m")
    drop = np.subtract(radius, height)
    angle: Numbers = np.arctan2(aheads, drop) - np.arccos(radius / np.hypot(aheads, drop))
    return angle


def breakover_angle(radius: Numbers, behind_front: Numbers, before_rear: Numbers, height: Numbers) -> Numbers:
    """Breakover angle that one point of the underside between the axles allows [rad].

    radius: static loaded radius of the tyres [m], above 0
    behind_front, before_rear: level distance of the point from each wheel centre [m], above radius
    height: of the point above the ground [m], 0 or more
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: 49 CFR 523.2, 2015 edition.
    """
    return tangent_angle(radius, behind_front, height) + tangent_angle(radius, before_rear, height)


@dataclass(frozen=True)
class OffRoad:
    """Which of the five off-road marks a vehicle meets, and whether it meets enough of them (four)."""

    approach: bool
    breakover: bool
    departure: bool
    running_clearance: bool
    axle_clearance: bool

    @property
    def met(self) -> bool:
        """Whether at least four of the five are met."""
        marks = (self.approach, self.breakover, self.departure, self.running_clearance, self.axle_clearance)
        return sum(marks) >= 4


# 49 CFR 523.5(b)(2), 2015 edition: angles in degrees, clearances in metres.
OFF_ROAD_MINIMA = {
    "approach": 28.0,
    "breakover": 14.0,
    "departure": 20.0,
    "running_clearance": 0.20,
    "axle_clearance": 0.18,
}


def off_road(
    approach: float, breakover: float, departure: float, running_clearance: float, axle_clearance: float
) -> OffRoad:
    """Which marks of an off-road light truck these angles [rad] and clearances [m], all above 0, meet. Raises BadInput.

    Source: 49 CFR 523.5(b)(2), 2015 edition.
    """
    given = {
        "approach": float(np.degrees(approach)),
        "breakover": float(np.degrees(breakover)),
        "departure": float(np.degrees(departure)),
        "running_clearance": running_clearance,
        "axle_clearance": axle_clearance,
    }
    for name, value in given.items():
        require_above_zero(name, value)
    rounding = 1e-12
    return OffRoad(**{name: value >= OFF_ROAD_MINIMA[name] - rounding for name, value in given.items()})


def footprint(track: Numbers, wheelbase: Numbers) -> Numbers:
    """Footprint of a vehicle as the regulation rounds it [m²].

    track, wheelbase: [m], above 0; each is rounded to 0.1 in, their product to 0.1 ft²
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: 49 CFR 523.2, 2015 edition.
    """
    require_above_zero("track", track, "m")
    require_above_zero("wheelbase", wheelbase, "m")
    inches = np.round(np.divide(track, _INCH), 1) * np.round(np.divide(wheelbase, _INCH), 1)
    area: Numbers = np.round(inches / 144, 1) * _SQUARE_FOOT
    return area


def overall_length(front_overhang: Numbers, wheelbase: Numbers, rear_overhang: Numbers) -> Numbers:
    """Length from bumper to bumper [m]; overhangs [m] 0 or more, wheelbase [m] above 0; broadcasts."""
    require_from_zero("front_overhang", front_overhang, "m")
    require_above_zero("wheelbase", wheelbase, "m")
    require_from_zero("rear_overhang", rear_overhang, "m")
    return front_overhang + wheelbase + rear_overhang


def body(name: str) -> Body:
    """One of the invented bodies: sedan, suv, van or pickup. Raises BadInput."""
    if name not in BODIES:
        raise BadInput("name", name, "one of " + ", ".join(BODIES))
    return BODIES[name]
