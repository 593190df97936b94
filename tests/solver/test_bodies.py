"""Invented bodies against the regulations they must be plausible by."""

import numpy as np
import pytest

from trainer.solver.beam import blocked_spans
from trainer.solver.bodies import BODIES, body, stretched, with_hitch, with_trailer
from trainer.solver.numbers import BadInput
from trainer.solver.vehicles import TOW_BALL_HEIGHTS, breakover_angle, off_road, tangent_angle


def underside_angles(vehicle):
    """Approach, departure and breakover angle and running clearance of a body, from the pieces wider than a wheel."""
    corners = [c for piece in vehicle.pieces if piece.to_y - piece.from_y > 1 for c in piece.profile]
    radius, front, rear = vehicle.tire_radius, vehicle.front_axle, vehicle.rear_axle
    approach = min(tangent_angle(radius, x - front, z) for x, z in corners if x - front > radius)
    departure = min(tangent_angle(radius, rear - x, z) for x, z in corners if rear - x > radius)
    lowest, half = min(z for _, z in corners), (front - rear) / 2
    return approach, breakover_angle(radius, half, half, lowest), departure, lowest


@pytest.mark.parametrize("name", BODIES)
def test_bodies_stand_on_the_ground_with_the_nose_at_nought(name):
    vehicle = body(name)
    corners = [corner for piece in vehicle.pieces for corner in piece.profile]
    assert max(x for x, _ in corners) == 0
    assert min(z for _, z in corners) == pytest.approx(0)
    assert 4.4 < vehicle.length < 6.2
    assert 1.6 < vehicle.width < 2.2
    assert 1.3 < vehicle.height < 2.3


@pytest.mark.parametrize(("name", "is_off_road"), [("suv", True), ("pickup", True), ("sedan", False)])
def test_suv_and_pickup_meet_the_off_road_marks_and_the_sedan_does_not(name, is_off_road):
    approach, breakover, departure, lowest = underside_angles(body(name))
    assert off_road(approach, breakover, departure, lowest, lowest).met is is_off_road


def test_the_sedan_has_metal_in_the_whole_bumper_zone_at_its_nose():
    for height in np.linspace(16 * 0.0254, 20 * 0.0254, 9):
        spans = blocked_spans([0, -2, height], [0, 2, height], body("sedan").pieces)
        assert spans[0][0] == pytest.approx(0, abs=1e-12)


def test_a_six_inch_beam_passes_under_the_nose_of_a_pickup():
    low = 6 * 0.0254
    first, _ = blocked_spans([0, -2, low], [0, 2, low], body("pickup").pieces)[0]
    assert first > 0.5


def test_an_open_bed_is_seen_by_a_low_eye_and_not_by_a_high_one():
    pickup = body("pickup")
    low = blocked_spans([0, -2, 1.0], [0, 2, 1.0], pickup.pieces)
    high = blocked_spans([0, -2, 1.6], [0, 2, 1.6], pickup.pieces)
    assert len(low) == len(high) == 1
    assert low[0][1] - high[0][1] > 1.8  # the bed, behind the cab


def test_a_hitch_lies_in_the_published_range_and_a_tongue_only_bridges_its_own_height():
    hitched, pulling = with_hitch(body("pickup")), with_trailer(body("pickup"))
    middle = sum(TOW_BALL_HEIGHTS) / 2
    assert blocked_spans([0, -2, middle], [0, 2, middle], hitched.pieces)[-1][1] == pytest.approx(6.05)
    assert hitched.length == pytest.approx(body("pickup").length + 0.25)
    tongue = blocked_spans([0, -2, 0.48], [0, 2, 0.48], pulling.pieces)
    above = blocked_spans([0, -2, 0.7], [0, 2, 0.7], pulling.pieces)
    assert any(first < 6.5 < last for first, last in tongue)
    assert not any(first < 6.5 < last for first, last in above)


def test_stretching_keeps_heights():
    longer = stretched(body("van"), 7.0)
    assert longer.length == pytest.approx(7.0)
    assert longer.height == body("van").height


def test_an_unknown_body_is_refused():
    with pytest.raises(BadInput, match="one of sedan"):
        body("hearse")
