"""The invented bodies' sizes, angles and bumpers against data of real cars and the regulations."""

import numpy as np
import pytest

from tests.published.test_cars93 import table
from trainer.solver.beam import blocked_spans
from trainer.solver.bodies import BODIES, body
from trainer.solver.vehicles import (
    breakover_angle,
    bumper_rule_covers,
    in_bumper_zone,
    off_road,
    tangent_angle,
)

INCH = 0.0254
PLAIN = [
    name for name, one in BODIES.items() if "_with_" not in name and "rack" not in name and "box" not in name
]
CARS = [name for name in PLAIN if BODIES[name].vehicle_class == "passenger_car"]


def wheelbase(vehicle):
    return vehicle.front_axle - vehicle.rear_axle


@pytest.mark.parametrize(
    ("name", "types"),
    [
        ("small_hatch", ("Small",)),
        ("sedan", ("Midsize",)),
        ("wagon", ("Compact", "Midsize", "Large")),
        ("low_coupe", ("Sporty",)),
        ("minivan", ("Van",)),
    ],
)
def test_c050_lengths_widths_and_wheelbases_lie_in_their_type_of_1993(name, types):
    # Lock, '1993 New Car Data', Journal of Statistics Education 1(1), 1993: type, length, width, wheelbase [in].
    vehicle = body(name)
    rows = [row for row in table("MASS/Cars93") if row["Type"] in types]
    ours = {"Length": vehicle.length, "Width": vehicle.width, "Wheelbase": wheelbase(vehicle)}
    for column, value in ours.items():
        real = [float(row[column]) for row in rows]
        assert min(real) <= value / INCH <= max(real), column


@pytest.mark.parametrize("name", CARS)
def test_c051_passenger_cars_lie_in_the_ranges_of_1985(name):
    # '1985 Auto Imports Database' (Schlimmer, 1987; UCI), attribute ranges as its documentation prints them:
    # wheel-base 86.6 to 120.9, length 141.1 to 208.1, width 60.3 to 72.3, height 47.8 to 59.8 in.
    vehicle = body(name)
    assert 86.6 <= wheelbase(vehicle) / INCH <= 120.9
    assert 141.1 <= vehicle.length / INCH <= 208.1
    assert 60.3 <= vehicle.width / INCH <= 72.3
    assert 47.8 <= vehicle.height / INCH <= 59.8


@pytest.mark.parametrize(
    ("name", "length", "height", "wheelbase_range"),
    [
        ("compact_suv", (4.3, 4.75), (1.6, 1.75), (2.55, 2.8)),
        ("suv", (4.9, 5.7), (1.8, 2.0), (2.85, 3.4)),
        ("pickup", (5.3, 6.4), (1.75, 2.05), (3.1, 4.0)),
        ("pickup_covered", (5.3, 6.4), (1.75, 2.05), (3.1, 4.0)),
        ("lifted_pickup", (5.3, 6.4), (1.9, 2.25), (3.1, 4.0)),
        ("van", (5.0, 6.0), (1.9, 2.8), (3.0, 3.8)),
    ],
)
def test_light_trucks_lie_in_ranges_from_memory(name, length, height, wheelbase_range):
    # From memory, no source: nothing open to us lists sizes of SUVs, pickups and panel vans.
    vehicle = body(name)
    assert length[0] <= vehicle.length <= length[1]
    assert height[0] <= vehicle.height <= height[1]
    assert wheelbase_range[0] <= wheelbase(vehicle) <= wheelbase_range[1]


def underside(vehicle):
    """Approach, breakover and departure angle and running clearance, from the pieces wider than a wheel.

    49 CFR 523.2 (2015 edition): each angle is the least that any point of the underside allows.
    """
    corners = [c for piece in vehicle.pieces if piece.to_y - piece.from_y > 1 for c in piece.profile]
    radius, front, rear = vehicle.tire_radius, vehicle.front_axle, vehicle.rear_axle
    approach = min(tangent_angle(radius, x - front, z) for x, z in corners if x - front > radius)
    departure = min(tangent_angle(radius, rear - x, z) for x, z in corners if rear - x > radius)
    lowest, half = min(z for _, z in corners), (front - rear) / 2
    return approach, breakover_angle(radius, half, half, lowest), departure, lowest


@pytest.mark.parametrize("name", PLAIN)
def test_trucks_meet_the_off_road_marks_and_cars_and_vans_do_not(name):
    # 49 CFR 523.5(b)(2) (2015 edition): four of approach 28, breakover 14, departure 20 degrees, 20 and 18 cm. Our
    # bodies have no axle that hangs lower than the rest, so both clearances are the running clearance.
    approach, breakover, departure, lowest = underside(body(name))
    expected = body(name).vehicle_class in ("suv", "pickup")
    assert off_road(approach, breakover, departure, lowest, lowest).met is expected


@pytest.mark.parametrize("name", PLAIN)
def test_no_underside_touches_the_ground_before_ten_degrees_but_the_low_coupes(name):
    *angles, lowest = underside(body(name))
    approach, breakover, departure = np.degrees(angles)
    assert (approach < 10) == (name == "low_coupe")
    assert departure > 10 and breakover > 10
    assert lowest > 0.1


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("end", ["nose", "tail"])
def test_c041_passenger_cars_have_bumper_in_the_zone_of_the_test(name, end):
    # 49 CFR 581.7(a)(1) and 581.3 (2015 edition): struck at heights of 16 to 20 in, where bumpers meet.
    vehicle = body(name)
    assert bumper_rule_covers(vehicle.vehicle_class)
    heights = np.linspace(15 * INCH, 21 * INCH, 61)
    spans = [blocked_spans([0, -2, height], [0, 2, height], vehicle.pieces) for height in heights]
    reached = [s[0][0] if end == "nose" else vehicle.length - s[-1][1] for s in spans]
    assert max(np.abs(reached)[in_bumper_zone(heights)]) < 1e-9
