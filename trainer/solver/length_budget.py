"""What adds up to the error of a counted length, part by part."""

from dataclasses import dataclass

import numpy as np

from trainer.solver.aperture import edge_shift
from trainer.solver.numbers import (
    require,
    require_above_one,
    require_above_zero,
    require_finite,
    require_from_zero,
    require_part,
)


@dataclass(frozen=True)
class LengthPart:
    """One part of the error of a length: the least and the most that it adds, measured minus true [m]."""

    name: str
    least: float
    most: float

    @property
    def size(self) -> float:
        """What it adds at most, either way [m]."""
        return max(abs(self.least), abs(self.most))


@dataclass(frozen=True)
class LengthBudget:
    """The error of a counted length, measured minus true.

    parts, in this order, those alone whose facts were given:
        quantisation: the count's own, strictly within one pulse either way
        delays: the off-delay lengthens, the on-delay shortens, at the set chain speed
        chain_tolerance: what a fast or slow chain changes in that; the pulses themselves do not care for the speed
        scan: each edge and each delay's end is found up to one scan late
        edge_shift: a strong signal switches late at the nose and early at the tail
        skew: a beam that is not square to the travel meets one corner of the nose early and leaves the other late
    """

    parts: tuple[LengthPart, ...]

    @property
    def least(self) -> float:
        """The sum of all parts at their least [m]."""
        return sum(one.least for one in self.parts)

    @property
    def most(self) -> float:
        """The sum of all parts at their most [m]."""
        return sum(one.most for one in self.parts)

    @property
    def worst(self) -> float:
        """Greatest error that all parts can make together [m]; parts that are sure may cancel each other."""
        return max(abs(self.least), abs(self.most))

    @property
    def root_sum_square(self) -> float:
        """Root of the sum of the squares of all parts at their greatest [m]: what is likely, were all by chance."""
        return float(np.sqrt(sum(one.size**2 for one in self.parts)))

    @property
    def largest(self) -> LengthPart:
        """The part that adds most, the one to mend first."""
        return max(self.parts, key=lambda one: one.size)


@dataclass(frozen=True)
class Aperture:
    """The lens of a pair [m, above 0], and the excess gain between cleanings, from lowest to highest, above 1."""

    lens_diameter: float
    lowest_gain: float
    highest_gain: float


@dataclass(frozen=True)
class Skew:
    """How far one lens stands along the travel from the other, the level span between them, the car's width [m].

    along: finite, either sign; span, above 0; car_width: above 0, at most span
    """

    along: float
    span: float
    car_width: float


def length_budget(
    *,
    pulses_per_length: float,
    speed: float,
    tolerance: float = 0.0,
    on_delay: float = 0.0,
    off_delay: float = 0.0,
    corrected: bool = False,
    scan_time: float = 0.0,
    aperture: Aperture | None = None,
    skew: Skew | None = None,
) -> LengthBudget:
    """What adds up to the error of a counted length.

    pulses_per_length: pulses per length of travel [1/m], above 0
    speed: of the conveyor as set [m/s], above 0
    tolerance: how far it may be off, either way, a share from 0 to below 1
    on_delay, off_delay: [s], 0 or more
    corrected: whether the controller takes speed·(off-delay − on-delay), at the set speed, off again
    scan_time: of the controller [s], 0 or more
    aperture, skew: see there; without them these parts are left out. Edges are taken as straight and upright; a round
        nose loses less by skew, so that part goes from 0 up
    Raises BadInput.
    """
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    require_above_zero("speed", speed, "m/s")
    require_part("tolerance", tolerance)
    require_from_zero("on_delay", on_delay, "s")
    require_from_zero("off_delay", off_delay, "s")
    require_from_zero("scan_time", scan_time, "s")
    pulse, delayed = 1 / pulses_per_length, speed * (off_delay - on_delay)
    late = 2 * speed * (1 + tolerance) * scan_time
    parts = [
        LengthPart("quantisation", -pulse, pulse),
        _sure("delays", 0.0 if corrected else delayed),
        LengthPart("chain_tolerance", -tolerance * abs(delayed), tolerance * abs(delayed)),
        LengthPart("scan", -late, late),
    ]
    if aperture is not None:
        parts.append(_edge_part(aperture))
    if skew is not None:
        parts.append(LengthPart("skew", 0.0, skew_length(skew)))
    return LengthBudget(tuple(parts))


def _sure(name: str, length: float) -> LengthPart:
    return LengthPart(name, length, length)


def _edge_part(aperture: Aperture) -> LengthPart:
    """Nose late and tail early by the same shift; it grows with the gain."""
    lowest = require_above_one("lowest_gain", aperture.lowest_gain)
    highest = require_above_one("highest_gain", aperture.highest_gain)
    require("lowest_gain", lowest, lowest <= highest, "at most highest_gain")
    shifts = [float(edge_shift(aperture.lens_diameter, gain)) for gain in (highest, lowest)]
    return LengthPart("edge_shift", -2 * shifts[0], -2 * shifts[1])


def skew_length(skew: Skew) -> float:
    """What skew adds at most to a counted length [m]: the beam's way along the travel across the car's width.

    Raises BadInput. Source: similar triangles (Euclid, Elements VI.2).
    """
    require_finite("along", skew.along)
    require_above_zero("span", skew.span, "m")
    width = require_above_zero("car_width", skew.car_width, "m")
    require("car_width", width, width <= skew.span, "at most span")
    return abs(skew.along) * skew.car_width / skew.span
