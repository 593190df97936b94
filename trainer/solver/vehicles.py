"""What regulations and design tables say of the heights, angles and sizes of vehicles."""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
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


def in_bumper_zone(height: Numbers) -> Flags:
    """Whether a height [m, 0 or more] lies in the bumper test zone, 16 to 20 in, both ends in; broadcasts.

    Source: 49 CFR 581.7(a)(1), 2015 edition.
    """
    heights, rounding = require_from_zero("height", height, "m"), 1e-12
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
    return _point_angle(radius, "ahead", ahead, height)


def _point_angle(radius: Numbers, name: str, ahead: Numbers, height: Numbers) -> Numbers:
    """As tangent_angle; the distance has a name of its own."""
    require_above_zero("radius", radius, "m")
    aheads = as_floats(name, ahead)
    require(name, aheads, np.isfinite(aheads) & (aheads > radius), "finite and above radius")
    drop = radius - require_from_zero("height", height, "m")
    angle: Numbers = np.arctan2(aheads, drop) - np.arccos(radius / np.hypot(aheads, drop))
    return angle


def breakover_angle(radius: Numbers, behind_front: Numbers, before_rear: Numbers, height: Numbers) -> Numbers:
    """Breakover angle that one point of the underside between the axles allows [rad].

    radius: static loaded radius of the tyres [m], above 0
    behind_front, before_rear: level distance of the point from each wheel centre [m], above radius
    height: of the point above the ground [m], 0 or more
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: 49 CFR 523.2, 2015 edition.
    """
    front = _point_angle(radius, "behind_front", behind_front, height)
    return front + _point_angle(radius, "before_rear", before_rear, height)


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
    angles = {"approach": approach, "breakover": breakover, "departure": departure}
    clearances = {"running_clearance": running_clearance, "axle_clearance": axle_clearance}
    given = {
        **{name: np.degrees(require_above_zero(name, value, "rad")) for name, value in angles.items()},
        **{name: require_above_zero(name, value, "m") for name, value in clearances.items()},
    }
    rounding = 1e-12
    return OffRoad(**{name: bool(value >= OFF_ROAD_MINIMA[name] - rounding) for name, value in given.items()})


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
