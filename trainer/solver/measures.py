"""What a tape measure gives of a vehicle, and the convex pieces that it makes of it.

        height        ______________
                     /  |    |      \\             deck_length: 0 for a hatch
        hood_height /___|____|_______\\___
          bumper  |_                     _|  bumper
        clearance   \\_( )________( )____/
                  0  front_overhang   -length     x
                        |--wheelbase--|

Glass blocks as metal does; mirrors, aerials and open wheel arches are left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields

import numpy as np

from trainer.solver.beam import Piece
from trainer.solver.numbers import require, require_above_zero, require_from_zero
from trainer.solver.outline import Corner, hull

_WALL = 0.08  # m, a tailgate; also what is left between a rail and the body's side
_CABIN_WIDTH = 0.77  # of the body's: doors lean in above the belt


@dataclass(frozen=True)
class Measures:
    """What is measured of a vehicle [m]; heights above the ground, lengths along it. All above 0 unless said.

    length, height, width: over all, without mirrors
    wheelbase: from axle to axle; front_overhang: from the nose to the front axle
    ground_clearance: lowest point of the body, between the axles
    front_bumper_bottom, front_bumper_top, rear_bumper_bottom, rear_bumper_top: of the bumper's upright face
    hood_height: at the foot of the windshield; hood_length: from the nose to there
    windshield_run, rear_run: level way from the foot of the windshield, and of the rear window, to the roof
    deck_length: level way behind the rear window's foot, 0 for a hatch; deck_height: there
    bed_length: inside, from the cab to the tailgate, 0 for none; bed_floor, bed_rail: heights of floor and sides
    tire_radius: static loaded, from the axle to the ground
    Raises BadInput for what is not a vehicle: the first measure that does not go with the others, and what it must be.
    """

    length: float
    height: float
    width: float
    wheelbase: float
    front_overhang: float
    ground_clearance: float
    front_bumper_bottom: float
    front_bumper_top: float
    rear_bumper_bottom: float
    rear_bumper_top: float
    hood_height: float
    hood_length: float
    windshield_run: float = 0.7
    rear_run: float = 0.3
    deck_length: float = 0.0
    deck_height: float = 1.0
    bed_length: float = 0.0
    bed_floor: float = 0.85
    bed_rail: float = 1.35
    tire_radius: float = 0.34

    def __post_init__(self) -> None:
        for one in fields(self):
            may_be_none = one.name in ("deck_length", "bed_length")
            (require_from_zero if may_be_none else require_above_zero)(one.name, getattr(self, one.name), "m")
        for name, good, allowed in self._rules():
            require(name, getattr(self, name), good, allowed)

    def _rules(self) -> Iterable[tuple[str, bool, str]]:
        """What the measures must be to each other."""
        clear = self.ground_clearance
        yield (
            "wheelbase",
            self.front_overhang + self.wheelbase < self.length,
            "below length less front_overhang",
        )
        yield "front_bumper_bottom", self.front_bumper_bottom >= clear, "at least ground_clearance"
        yield "rear_bumper_bottom", self.rear_bumper_bottom >= clear, "at least ground_clearance"
        yield (
            "front_bumper_top",
            self.front_bumper_top > self.front_bumper_bottom,
            "above front_bumper_bottom",
        )
        yield "rear_bumper_top", self.rear_bumper_top > self.rear_bumper_bottom, "above rear_bumper_bottom"
        yield "hood_height", self.front_bumper_top <= self.hood_height, "at least front_bumper_top"
        yield "height", self.height > max(self.hood_height, self.belt), "above hood_height and deck_height"
        yield "height", self.height > 2 * self.tire_radius, "above the wheels"
        yield "tire_radius", self.tire_radius > clear / 2, "more than half of ground_clearance"
        roof = self.cab_end - self.hood_length - self.windshield_run - self.rear_run
        yield "hood_length", roof > 0, "such that a roof is left before the rear window, the deck and the bed"
        if self.bed_length:
            yield "bed_floor", self.bed_floor > self.rear_bumper_bottom, "above rear_bumper_bottom"
            yield "bed_rail", self.bed_floor < self.bed_rail < self.height, "above bed_floor and below height"

    @property
    def front_axle(self) -> float:
        """x of the front axle [m]."""
        return -self.front_overhang

    @property
    def rear_axle(self) -> float:
        """x of the rear axle [m]."""
        return -self.front_overhang - self.wheelbase

    @property
    def cab_end(self) -> float:
        """From the nose to the foot of the rear window [m]."""
        behind = self.bed_length + _WALL if self.bed_length else self.deck_length
        return self.length - behind

    @property
    def belt(self) -> float:
        """Height at the foot of the rear window [m]."""
        return self.deck_height if self.deck_length else self.hood_height


def pieces_of(measures: Measures) -> tuple[Piece, ...]:
    """A vehicle's shell, cabin, bed if it has one, and wheels."""
    m = measures
    bed = _bed(m) if m.bed_length else ()
    axles = (m.front_axle, m.rear_axle)
    outer = m.width / 2 - 0.02
    inner = outer - 0.1 - 0.3 * m.tire_radius
    wheels = (one for axle in axles for one in wheels_at(axle, m.tire_radius, inner, outer))
    return (_shell(m), _cabin(m), *bed, *wheels)


def _shell(m: Measures) -> Piece:
    """All below the windows, over the whole width, from the nose to the tail or to the bed."""
    chin, heel = m.front_axle + 0.8 * m.tire_radius, m.rear_axle - 0.8 * m.tire_radius
    nose = [(0.0, m.front_bumper_bottom), (0.0, m.front_bumper_top), (-m.hood_length, m.hood_height)]
    if m.bed_length:
        rear = [(-m.cab_end, m.hood_height), (-m.cab_end, m.ground_clearance)]
    else:
        rear = [
            (-m.cab_end, m.belt),
            (-m.length, m.rear_bumper_top),
            (-m.length, m.rear_bumper_bottom),
            (heel, m.ground_clearance),
        ]
    return across(m.width / 2, *nose, *rear, (min(chin, -0.05), m.ground_clearance))


def _cabin(m: Measures) -> Piece:
    """Windows and roof; a little arched, and let into the shell so that no slit is left between the two."""
    into = 0.02
    front, back = -m.hood_length - m.windshield_run, -m.cab_end + m.rear_run
    foot, heel = (-m.hood_length, m.hood_height - into), (-m.cab_end, m.belt - into)
    sides = m.height - 0.15 * (m.height - m.hood_height)
    roof = ((front, sides), (front + 0.3 * (back - front), m.height), (back, sides))
    return across(_CABIN_WIDTH * m.width / 2, foot, *roof, heel)


def _bed(m: Measures) -> tuple[Piece, ...]:
    """Floor, sides and tailgate of an open bed."""
    start, heel = -m.cab_end, m.rear_axle - 0.8 * m.tire_radius
    frame = m.ground_clearance + 0.1
    inner = m.width / 2 - 2 * _WALL
    floor = (
        (start, frame),
        (start, m.bed_floor),
        (-m.length, m.bed_floor),
        (-m.length, m.rear_bumper_bottom),
    )
    return (
        across(m.width / 2 - _WALL, *floor, (heel, frame)),
        *both_sides(inner, inner + _WALL, *box(start, -m.length, m.bed_floor, m.bed_rail)),
        across(inner, *box(_WALL - m.length, -m.length, m.bed_floor, m.bed_rail)),
    )


def box(front: float, back: float, low: float, high: float) -> tuple[Corner, ...]:
    """A rectangle from front to back and from low to high."""
    return (front, low), (front, high), (back, high), (back, low)


def across(half_width: float, *corners: Corner) -> Piece:
    """A centred piece: the convex hull of its corners."""
    return Piece(hull(corners), -half_width, half_width)


def both_sides(inner: float, outer: float, *corners: Corner) -> tuple[Piece, Piece]:
    """The same piece on the left and on the right."""
    return Piece(hull(corners), -outer, -inner), Piece(hull(corners), inner, outer)


def wheels_at(axle: float, radius: float, inner: float, outer: float) -> tuple[Piece, Piece]:
    """Two wheels as 24-sided prisms that stand on the ground."""
    turns = 2 * np.pi * np.arange(24) / 24
    rim = ((axle + radius * float(np.sin(t)), radius * (1 - float(np.cos(t)))) for t in turns)
    return both_sides(inner, outer, *rim)
