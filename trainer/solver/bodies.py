"""What vehicles look like to a beam, as convex pieces: a catalogue of invented ones, and how a site's own are made.

The bodies of the catalogue are plausible, none is a maker's. Vehicle axes: nose at x = 0, tail at negative x, y across
from the centre line, z up from the ground; metres.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from trainer.solver.beam import Piece
from trainer.solver.measures import Measures, across, both_sides, box, pieces_of, wheels_at
from trainer.solver.numbers import BadInput, require, require_above_zero, require_one_of
from trainer.solver.vehicles import VEHICLE_CLASSES

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Body:
    """A vehicle as convex pieces, with its class, its axles' x and its static loaded tyre radius [m].

    A site's own vehicle is made by body_from_measures from what a tape gives, or here from explicit pieces: nose at
    x = 0, nothing below the ground, the front axle behind the nose and the rear axle behind it. Raises BadInput.
    """

    name: str
    vehicle_class: str
    pieces: tuple[Piece, ...]
    front_axle: float
    rear_axle: float
    tire_radius: float

    def __post_init__(self) -> None:
        require_one_of("vehicle_class", self.vehicle_class, VEHICLE_CLASSES)
        if not self.pieces:
            raise BadInput("pieces", self.pieces, "one piece or more")
        require("pieces", self.nose, abs(self.nose) <= _ROUNDING, "such that the nose is at x = 0 m")
        lowest = min(z for piece in self.pieces for _, z in piece.profile)
        require("pieces", lowest, lowest >= -_ROUNDING, "from the ground up, z 0 m or more")
        require("front_axle", self.front_axle, self.tail < self.front_axle < 0, "between nose and tail")
        behind = self.tail < self.rear_axle < self.front_axle
        require("rear_axle", self.rear_axle, behind, "between front_axle and tail")
        require_above_zero("tire_radius", self.tire_radius, "m")

    @property
    def nose(self) -> float:
        """x of the foremost point [m]."""
        return max(x for piece in self.pieces for x, _ in piece.profile)

    @cached_property
    def tail(self) -> float:
        """x of the hindmost point [m]."""
        return min(x for piece in self.pieces for x, _ in piece.profile)

    @cached_property
    def length(self) -> float:
        """From the foremost to the hindmost point [m]."""
        return self.nose - self.tail

    @cached_property
    def height(self) -> float:
        """Highest point above the ground [m]."""
        return max(z for piece in self.pieces for _, z in piece.profile)

    @cached_property
    def width(self) -> float:
        """From side to side [m]."""
        return max(piece.to_y for piece in self.pieces) - min(piece.from_y for piece in self.pieces)


def body_from_measures(name: str, vehicle_class: str, measures: Measures) -> Body:
    """A body from what a tape measure gives of a vehicle.

    name: of the body, any text; vehicle_class: one of vehicles.VEHICLE_CLASSES; measures: SI, checked when made.
    To read a file: convert each length to metres and call
    `body_from_measures(name, vehicle_class, Measures(**lengths))`; a BadInput names the measure at fault, in `name`,
    and what it must be, in `allowed`. The names of all measures are the fields of Measures; those with a default may be
    left out. Raises BadInput.
    """
    m = measures
    return Body(name, vehicle_class, pieces_of(m), m.front_axle, m.rear_axle, m.tire_radius)


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


def with_hitch(body: Body, reach: float = 0.25) -> Body:
    """The body with a ball hitch that stands out behind its tail by `reach` [m, above 0], ball 0.38 m above ground."""
    require_above_zero("reach", reach, "m")
    end = body.tail - reach
    bar, ball = box(body.tail + 0.2, end, 0.32, 0.38), box(end + 0.05, end, 0.38, 0.43)
    return _with(body, "with_hitch", across(0.04, *bar), across(0.025, *ball))


def with_hitch_rack(body: Body, depth: float = 0.6) -> Body:
    """The body with an empty cargo tray of a depth along x [m, above 0] on a bar behind its tail."""
    require_above_zero("depth", depth, "m")
    start = body.tail - 0.15
    bar, tray = box(body.tail + 0.2, start - depth / 2, 0.36, 0.42), box(start, start - depth, 0.42, 0.54)
    return _with(body, "with_hitch_rack", across(0.04, *bar), across(0.6, *tray))


def with_trailer(body: Body, tongue: float = 1.2, box_length: float = 2.5) -> Body:
    """The body with hitch and a small box trailer: only the thin tongue [m] bridges the gap to the box [m]."""
    require_above_zero("tongue", tongue, "m")
    require_above_zero("box_length", box_length, "m")
    pulling = with_hitch(body)
    start = pulling.tail
    end = start - tongue
    bar, walls = box(start + 0.05, end, 0.43, 0.50), box(end, end - box_length, 0.50, 1.20)
    wheels = wheels_at(end - box_length / 2, 0.28, 0.78, 0.95)
    tow = replace(pulling, name=body.name)
    return _with(tow, "with_trailer", across(0.05, *bar), across(0.75, *walls), *wheels)


def with_roof_box(body: Body, length: float = 1.9) -> Body:
    """The body with a box of a length [m, above 0] on two bars above its roof."""
    require_above_zero("length", length, "m")
    middle, roof = (body.front_axle + body.rear_axle) / 2 - 0.2, body.height
    front, back = middle + length / 2, middle - length / 2
    sides = ((front, roof + 0.12), (front - 0.25, roof + 0.4), (back + 0.1, roof + 0.42), (back, roof + 0.1))
    bars = (
        across(0.6, *box(at + 0.02, at - 0.02, roof - 0.1, roof + 0.12))
        for at in (middle + 0.4, middle - 0.4)
    )
    return _with(body, "with_roof_box", across(0.4, *sides), *bars)


def with_bicycle_rack(body: Body) -> Body:
    """The body with a rack on a hitch that carries two bicycles across: wheels left and right, thin tubes between."""
    arm = across(0.04, *box(body.tail + 0.2, body.tail - 0.65, 0.40, 0.46))
    mast = across(0.03, *box(body.tail - 0.12, body.tail - 0.17, 0.46, 1.25))
    bicycles = (one for behind in (0.3, 0.55) for one in _bicycle(body.tail - behind))
    return _with(body, "with_bicycle_rack", arm, mast, *bicycles)


def _bicycle(at: float) -> tuple[Piece, ...]:
    """A bicycle across the travel at x: two wheels as plates as thick as a tyre, and the tubes between them."""
    wheels = both_sides(0.2, 0.85, *box(at + 0.02, at - 0.02, 0.55, 1.20))
    lower, upper = (across(0.3, *box(at + 0.02, at - 0.02, z, z + 0.05)) for z in (0.75, 1.22))
    return (*wheels, lower, upper)


def _with(body: Body, addition: str, *pieces: Piece) -> Body:
    """The body with more pieces, named for them."""
    return replace(body, name=f"{body.name}_{addition}", pieces=(*body.pieces, *pieces))


_SEDAN = Measures(
    length=4.85, height=1.45, width=1.80, wheelbase=2.80, front_overhang=0.95, ground_clearance=0.16,
    front_bumper_bottom=0.26, front_bumper_top=0.64, rear_bumper_bottom=0.36, rear_bumper_top=0.90,
    hood_height=0.93, hood_length=1.25, windshield_run=0.85, rear_run=0.75, deck_length=0.45, deck_height=0.99,
    tire_radius=0.31,
)  # fmt: skip
_SMALL_HATCH = replace(
    _SEDAN, length=3.95, height=1.50, width=1.70, wheelbase=2.50, front_overhang=0.80, ground_clearance=0.14,
    hood_height=0.98, hood_length=0.95, windshield_run=0.80, rear_run=0.30, deck_length=0.0, tire_radius=0.29,
)  # fmt: skip
_LOW_COUPE = replace(
    _SEDAN, length=4.45, height=1.26, width=1.83, wheelbase=2.52, front_overhang=0.95, ground_clearance=0.11,
    front_bumper_bottom=0.15, front_bumper_top=0.52, rear_bumper_bottom=0.26, rear_bumper_top=0.78, hood_height=0.84,
    hood_length=1.45, windshield_run=0.80, rear_run=0.85, deck_length=0.35, deck_height=0.90,
)  # fmt: skip
_WAGON = replace(_SEDAN, length=4.80, height=1.48, wheelbase=2.75, rear_run=0.35, deck_length=0.0)
_MINIVAN = replace(
    _SEDAN, length=4.88, height=1.75, width=1.95, wheelbase=2.90, front_overhang=0.97, ground_clearance=0.15,
    front_bumper_bottom=0.24, front_bumper_top=0.72, rear_bumper_bottom=0.34, hood_height=1.08, hood_length=1.00,
    windshield_run=1.00, rear_run=0.25, deck_length=0.0, tire_radius=0.33,
)  # fmt: skip
_COMPACT_SUV = replace(
    _SEDAN, length=4.60, height=1.68, width=1.85, wheelbase=2.68, front_overhang=0.92, ground_clearance=0.21,
    front_bumper_bottom=0.34, front_bumper_top=0.82, rear_bumper_bottom=0.48, rear_bumper_top=1.00, hood_height=1.08,
    hood_length=1.15, windshield_run=0.75, rear_run=0.35, deck_length=0.0, tire_radius=0.35,
)  # fmt: skip
_SUV = replace(
    _COMPACT_SUV, length=5.20, height=1.88, width=2.02, wheelbase=3.00, ground_clearance=0.24, front_bumper_bottom=0.48,
    front_bumper_top=1.00, rear_bumper_bottom=0.52, hood_height=1.20, hood_length=1.35, rear_run=0.25, tire_radius=0.39,
)  # fmt: skip
_VAN = replace(
    _MINIVAN, length=5.60, height=2.10, width=1.96, wheelbase=3.50, front_overhang=0.95, ground_clearance=0.18,
    front_bumper_bottom=0.30, front_bumper_top=0.85, rear_bumper_bottom=0.42, rear_bumper_top=1.05, hood_height=1.15,
    hood_length=0.80, windshield_run=0.80, rear_run=0.08, tire_radius=0.34,
)  # fmt: skip
_PICKUP = Measures(
    length=5.80, height=1.90, width=2.00, wheelbase=3.70, front_overhang=0.95, ground_clearance=0.25,
    front_bumper_bottom=0.50, front_bumper_top=1.00, rear_bumper_bottom=0.58, rear_bumper_top=0.80,
    hood_height=1.22, hood_length=1.45, windshield_run=0.70, rear_run=0.12, bed_length=1.97, bed_floor=0.88,
    bed_rail=1.38, tire_radius=0.39,
)  # fmt: skip


def _lifted(measures: Measures, by: float, tire_radius: float) -> Measures:
    """The same on longer springs and larger tyres: all heights of the body rise."""
    heights = [name for name in vars(measures) if name.endswith(("height", "clearance", "bottom", "top"))]
    raised = {name: getattr(measures, name) + by for name in (*heights, "bed_floor", "bed_rail")}
    return replace(measures, **raised, tire_radius=tire_radius)


def _with_cap(body: Body, measures: Measures) -> Body:
    """A pickup whose bed stands under a hard cap as tall as its cab."""
    front, back = -measures.cab_end, -measures.length
    cap = ((front, measures.bed_rail), (front, measures.height - 0.05), (back + 0.15, measures.height - 0.08))
    return _with(body, "with_cap", across(measures.width / 2 - 0.1, *cap, (back, measures.bed_rail)))


def _with_load(body: Body, measures: Measures) -> Body:
    """A pickup with a crate in the middle of its bed that stands above the cab; bed is free before and behind it."""
    middle, high = -(measures.cab_end + measures.length) / 2, measures.height + 0.15
    crate = box(middle + 0.5, middle - 0.5, measures.bed_floor, high)
    return _with(body, "with_load", across(0.65, *crate))


def _catalogue() -> tuple[Body, ...]:
    """All invented bodies, from small to large; then those with something added."""
    sedan = body_from_measures("sedan", "passenger_car", _SEDAN)
    suv = body_from_measures("suv", "suv", _SUV)
    pickup = body_from_measures("pickup", "pickup", _PICKUP)
    return (
        body_from_measures("small_hatch", "passenger_car", _SMALL_HATCH),
        body_from_measures("low_coupe", "passenger_car", _LOW_COUPE),
        sedan,
        body_from_measures("wagon", "passenger_car", _WAGON),
        body_from_measures("minivan", "van", _MINIVAN),
        body_from_measures("compact_suv", "suv", _COMPACT_SUV),
        suv,
        body_from_measures("van", "van", _VAN),
        pickup,
        replace(_with_cap(pickup, _PICKUP), name="pickup_covered"),
        replace(_with_load(pickup, _PICKUP), name="pickup_loaded"),
        body_from_measures("lifted_pickup", "pickup", _lifted(_PICKUP, 0.15, 0.46)),
        replace(with_hitch_rack(pickup), name="pickup_hitch_rack"),
        replace(with_roof_box(sedan), name="sedan_roof_box"),
        replace(with_bicycle_rack(sedan), name="sedan_bicycle_rack"),
        with_hitch(suv),
        with_trailer(suv),
    )


BODIES = {body.name: body for body in _catalogue()}


def body(name: str) -> Body:
    """One of the invented bodies, by its name in BODIES. Raises BadInput."""
    require_one_of("name", name, tuple(BODIES))
    return BODIES[name]
