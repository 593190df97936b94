"""The catalogue of invented bodies, what is added to them, and bodies made from measures."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from trainer.solver.beam import Piece, blocked_spans
from trainer.solver.bodies import (
    BODIES,
    Body,
    body,
    body_from_measures,
    stretched,
    with_bicycle_rack,
    with_hitch,
    with_hitch_rack,
    with_roof_box,
    with_trailer,
)
from trainer.solver.measures import Measures, box
from trainer.solver.numbers import BadInput
from trainer.solver.vehicles import TOW_BALL_HEIGHTS

SEDAN = Measures(
    length=4.8, height=1.45, width=1.8, wheelbase=2.8, front_overhang=0.95, ground_clearance=0.16,
    front_bumper_bottom=0.26, front_bumper_top=0.64, rear_bumper_bottom=0.36, rear_bumper_top=0.9, hood_height=0.95,
    hood_length=1.25, windshield_run=0.8, rear_run=0.7, deck_length=0.4, deck_height=1.0,
)  # fmt: skip
PICKUP = replace(
    SEDAN, length=5.8, height=1.9, wheelbase=3.7, rear_bumper_bottom=0.58, deck_length=0.0, bed_length=1.9
)


def corners(vehicle):
    return [corner for piece in vehicle.pieces for corner in piece.profile]


def level(height, vehicle, at=0.0):
    return blocked_spans([0, -3, height], [0, 3, height], vehicle.pieces, at)


def test_the_catalogue_holds_what_a_wash_sees():
    wanted = {
        "small_hatch", "sedan", "low_coupe", "wagon", "minivan", "compact_suv", "suv", "pickup", "pickup_covered",
        "pickup_loaded", "lifted_pickup", "pickup_hitch_rack", "van", "sedan_roof_box", "sedan_bicycle_rack",
    }  # fmt: skip
    assert wanted <= set(BODIES)
    assert all(body(name).name == name for name in BODIES)


@pytest.mark.parametrize("name", BODIES)
def test_bodies_stand_on_the_ground_with_the_nose_at_nought(name):
    vehicle = body(name)
    assert vehicle.nose == 0
    assert min(z for _, z in corners(vehicle)) == pytest.approx(0)
    sides = [(piece.from_y, piece.to_y) for piece in vehicle.pieces]
    assert {(-right, -left) for left, right in sides} == set(sides)


@pytest.mark.parametrize("name", BODIES)
def test_wheels_stand_under_the_axles_and_fill_no_more_than_the_width(name):
    vehicle = body(name)
    low = level(0.02, vehicle)
    for axle in (vehicle.front_axle, vehicle.rear_axle):
        assert any(first < -axle < last for first, last in low)
    assert vehicle.width < 2.1
    assert vehicle.tail < vehicle.rear_axle - vehicle.tire_radius


def test_an_eye_over_the_roof_sees_the_box_and_one_behind_sees_the_bicycles():
    over, sedan = 1.65, body("sedan")
    ((first, last),) = level(over, with_roof_box(sedan, 1.6))
    assert 1.3 < last - first <= 1.6
    assert level(over, sedan) == ()
    racked = with_bicycle_rack(sedan)
    assert [round(last - first, 3) for first, last in level(0.9, racked) if first > sedan.length] == [
        0.05,
        0.04,
        0.04,
    ]
    assert level(1.0, racked, 0.0)[-1][1] == pytest.approx(sedan.length + 0.57)


def test_a_cap_closes_the_bed_and_a_load_stands_in_its_middle():
    over_bed = 1.6
    assert level(over_bed, body("pickup"))[-1][1] < 4.2
    cab, cap = level(over_bed, body("pickup_covered"))
    assert cab == level(over_bed, body("pickup"))[0]
    assert 0 < cap[0] - cab[1] < 0.1  # the cab's window leans away from the cap
    assert 5.6 < cap[1] < 5.8
    cab, load = level(over_bed, body("pickup_loaded"))
    assert load[1] - load[0] == pytest.approx(1.0)
    assert 0.2 < load[0] - cab[1] < 0.8 and load[1] < 5.5


def test_a_lifted_pickup_is_the_same_higher_up():
    pickup, lifted = body("pickup"), body("lifted_pickup")
    for height in (0.6, 0.9, 1.3, 1.8):
        assert level(height + 0.15, lifted)[0][0] == pytest.approx(level(height, pickup)[0][0])
    assert lifted.height == pytest.approx(pickup.height + 0.15)


def test_a_hitch_lies_in_the_published_range_and_a_tongue_only_bridges_its_own_height():
    # EU directive 94/20/EC, as restated in public: ball centre 350 to 420 mm.
    hitched, pulling = with_hitch(body("pickup")), with_trailer(body("pickup"))
    middle = sum(TOW_BALL_HEIGHTS) / 2
    assert level(middle, hitched)[-1][1] == pytest.approx(6.05)
    assert hitched.length == pytest.approx(body("pickup").length + 0.25)
    assert any(first < 6.5 < last for first, last in level(0.48, pulling))
    assert not any(first < 6.5 < last for first, last in level(0.7, pulling))
    assert pulling.length == pytest.approx(hitched.length + 1.2 + 2.5)


def test_a_tray_is_a_thin_thing_behind_the_tail():
    first, last = level(0.48, with_hitch_rack(body("suv"), 0.7))[-1]
    assert (first, last) == pytest.approx((5.35, 6.05))
    assert level(0.6, with_hitch_rack(body("suv")))[-1][1] == pytest.approx(5.2)


def test_stretching_keeps_heights():
    longer = stretched(body("van"), 7.0)
    assert longer.length == pytest.approx(7.0)
    assert longer.height == body("van").height


@given(
    factor=st.floats(0.7, 1.6),
    rise=st.floats(0.7, 1.4),
    bed=st.sampled_from([SEDAN, PICKUP]),
    drop=st.floats(0, 0.05),
)
def test_a_measured_body_has_the_measures_that_went_in(factor, rise, bed, drop):
    heights = ("height", "clearance", "bottom", "top", "floor", "rail", "radius")
    scaled = {
        one.name: getattr(bed, one.name) * (rise if one.name.endswith(heights) else factor)
        for one in fields(bed)
    }
    scaled["front_bumper_bottom"] -= drop * rise
    vehicle = body_from_measures("ours", "van", Measures(**scaled))
    m = Measures(**scaled)
    assert (vehicle.length, vehicle.width, vehicle.height) == pytest.approx((m.length, m.width, m.height))
    assert vehicle.front_axle - vehicle.rear_axle == pytest.approx(m.wheelbase)
    shell = vehicle.pieces[0]
    assert min(z for _, z in shell.profile) == pytest.approx(m.ground_clearance)
    for height in (m.front_bumper_bottom, m.front_bumper_top):
        assert level(height, vehicle)[0][0] == pytest.approx(0, abs=1e-9)
    assert level(m.front_bumper_bottom - 0.01, vehicle)[0][0] > 0
    assert level(m.rear_bumper_bottom + 0.01, vehicle)[-1][1] == pytest.approx(m.length)
    if m.bed_length:
        rail = (m.bed_floor + m.hood_height) / 2  # the cab is upright there
        inside = [(first, last) for first, last in level_inside(rail, vehicle) if last < m.length - 1e-9]
        gate = level_inside(rail, vehicle)[-1]
        assert gate[0] - inside[-1][1] == pytest.approx(m.bed_length)


def level_inside(height, vehicle):
    """Spans of a short beam in the middle, which meets neither side of a bed."""
    return blocked_spans([0, -0.3, height], [0, 0.3, height], vehicle.pieces)


@pytest.mark.parametrize(
    ("measure", "value"),
    [
        ("length", 0.0),
        ("length", float("nan")),
        ("wheelbase", 4.0),
        ("front_bumper_bottom", 0.1),
        ("rear_bumper_bottom", 0.1),
        ("front_bumper_top", 0.2),
        ("rear_bumper_top", 0.3),
        ("hood_height", 0.5),
        ("height", 0.9),
        ("tire_radius", 0.05),
        ("hood_length", 3.0),
        ("deck_length", -0.1),
    ],
)
def test_measures_that_make_no_vehicle_are_refused_by_name(measure, value):
    with pytest.raises(BadInput) as refused:
        replace(SEDAN, **{measure: value})
    assert refused.value.name == measure


@pytest.mark.parametrize(("measure", "value"), [("bed_floor", 0.5), ("bed_rail", 0.8), ("bed_rail", 2.0)])
def test_a_bed_that_is_none_is_refused_by_name(measure, value):
    with pytest.raises(BadInput) as refused:
        replace(PICKUP, **{measure: value})
    assert refused.value.name == measure


PLAIN = Piece(box(0.0, -4.0, 0.2, 1.4), -0.9, 0.9)


@pytest.mark.parametrize(
    ("facts", "name"),
    [
        ({"vehicle_class": "tank"}, "vehicle_class"),
        ({"pieces": ()}, "pieces"),
        ({"pieces": (Piece(box(0.1, -4.0, 0.2, 1.4), -0.9, 0.9),)}, "pieces"),
        ({"pieces": (Piece(box(0.0, -4.0, -0.2, 1.4), -0.9, 0.9),)}, "pieces"),
        ({"front_axle": 0.1}, "front_axle"),
        ({"rear_axle": -0.5}, "rear_axle"),
        ({"rear_axle": -4.5}, "rear_axle"),
        ({"tire_radius": 0.0}, "tire_radius"),
    ],
)
def test_explicit_pieces_are_checked(facts, name):
    good = {
        "vehicle_class": "van",
        "pieces": (PLAIN,),
        "front_axle": -0.8,
        "rear_axle": -3.2,
        "tire_radius": 0.3,
    }
    assert Body("ours", **good).length == 4
    with pytest.raises(BadInput) as refused:
        Body("ours", **{**good, **facts})
    assert refused.value.name == name


def test_refusals():
    for call in (
        lambda: body("hearse"),
        lambda: stretched(body("van"), 0.0),
        lambda: with_hitch(body("van"), -0.1),
        lambda: with_hitch_rack(body("van"), 0.0),
        lambda: with_trailer(body("van"), tongue=0.0),
        lambda: with_trailer(body("van"), box_length=float("nan")),
        lambda: with_roof_box(body("van"), 0.0),
    ):
        with pytest.raises(BadInput):
            call()


@given(points=st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), min_size=3, max_size=12))
def test_a_hull_is_shapelys(points):
    from shapely import MultiPoint, Polygon  # noqa: PLC0415

    from trainer.solver.outline import hull  # noqa: PLC0415

    expected = MultiPoint(points).convex_hull
    assume(expected.geom_type == "Polygon")
    found = hull([(float(x), float(z)) for x, z in points])
    assert Polygon(found).equals(expected)
    assert len(found) == len(expected.exterior.coords) - 1


def test_low_eyes_pass_under_the_nose_of_tall_vehicles_alone():
    under = {name: level(6 * 0.0254, body(name))[0][0] for name in BODIES}
    assert min(under[name] for name in ("pickup", "suv", "lifted_pickup")) > 0.4
    assert np.isfinite(list(under.values())).all()
