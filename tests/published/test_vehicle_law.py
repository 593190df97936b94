"""Heights, angles and sizes of vehicles against regulations and design tables."""

import numpy as np
import pytest

from trainer.solver.beam import beam_position, blocked_spans
from trainer.solver.bodies import body, with_hitch
from trainer.solver.vehicles import (
    DESIGN_CAR,
    OFF_ROAD_MINIMA,
    TOW_BALL_HEIGHTS,
    VEHICLE_CLASSES,
    bumper_rule_covers,
    footprint,
    in_bumper_zone,
    nose_limit_height,
    off_road,
    overall_length,
)

INCH, FOOT = 0.0254, 0.3048


@pytest.mark.parametrize(
    ("inches", "inside"), [(15.99, False), (16, True), (18, True), (20, True), (20.01, False)]
)
def test_c041_bumper_zone(inches, inside):
    # 49 CFR 581.7(a)(1) (2015 edition): any height from 16 to 20 in, inclusive.
    assert in_bumper_zone(inches * INCH) == inside


def test_c042_the_bumper_rule_covers_passenger_cars_only():
    # 49 CFR 581.3 (2015 edition): passenger motor vehicles other than multipurpose passenger vehicles.
    assert [name for name in VEHICLE_CLASSES if bumper_rule_covers(name)] == ["passenger_car"]


def test_c039_a_beam_of_6_and_30_in_over_12_ft_is_in_the_bumper_zone_for_one_sixth():
    # 49 CFR 581.7 heights; the 6/30 in pair is common practice, no source.
    at = beam_position(6 * INCH, 30 * INCH, 144 * INCH, np.array([16, 20]) * INCH) / INCH
    assert at == pytest.approx([60, 84])


@pytest.mark.parametrize(
    ("mark", "least"),
    [
        ("approach", 28),
        ("breakover", 14),
        ("departure", 20),
        ("running_clearance", 0.20),
        ("axle_clearance", 0.18),
    ],
)
def test_c043_off_road_marks(mark, least):
    # 49 CFR 523.5(b)(2) (2015 edition): 28, 14, 20 degrees, 20 and 18 centimetres; at least four of the five.
    marks = {
        "approach": 28.0,
        "breakover": 14.0,
        "departure": 20.0,
        "running_clearance": 0.20,
        "axle_clearance": 0.18,
    }
    marks[mark] = least

    def judge(values):
        angles = {name: np.radians(values[name]) for name in ("approach", "breakover", "departure")}
        return off_road(**{**values, **angles})

    assert getattr(judge(marks), mark)
    one_short = judge({**marks, mark: least * 0.999})
    assert not getattr(one_short, mark)
    assert one_short.met
    other = next(name for name in marks if name != mark)
    assert not judge({**marks, mark: least * 0.999, other: marks[other] * 0.999}).met


def test_c044_twenty_centimetres_in_inches():
    # 49 CFR 523.5(b)(2)(iv) with the inch of 25.4 mm (Federal Register notice of 1 July 1959).
    assert OFF_ROAD_MINIMA["running_clearance"] / INCH == pytest.approx(7.87402, abs=1e-5)


def test_c045_footprint_as_the_regulation_rounds_it():
    # 49 CFR 523.2 (2015 edition), 'Footprint': track times wheelbase in inches to 0.1 in, over 144, to 0.1 sq ft.
    # 62.4 x 110.3 / 144 = 47.7967.
    assert footprint(62.4 * INCH, 110.3 * INCH) / FOOT**2 == pytest.approx(47.8, abs=1e-9)
    assert footprint(62.44 * INCH, 110.26 * INCH) == footprint(62.4 * INCH, 110.3 * INCH)


@pytest.mark.parametrize(
    ("degrees", "ahead"), [pytest.param(28, 36, id="C046-nose"), pytest.param(20, 45, id="C047-tail")]
)
def test_limit_height_by_construction_of_the_tangent(degrees, ahead):
    # 49 CFR 523.2 (2015 edition), 'Approach angle', 'Departure angle': least angle between the ground and a line
    # tangent to the tyre's static loaded radius arc (13 in here) that touches the underside. Built here from the
    # tangent's foot on the circle instead of the half-angle: foot = (r sin a, r (1 - cos a)).
    angle, radius = np.radians(degrees), 13.0
    foot = np.array([radius * np.sin(angle), radius * (1 - np.cos(angle))])
    height = foot[1] + (ahead - foot[0]) * np.tan(angle)
    assert nose_limit_height(radius * INCH, angle, ahead * INCH) / INCH == pytest.approx(height, abs=1e-9)


def test_c048_design_passenger_car():
    # AASHTO, A Policy on Geometric Design of Highways and Streets ('Green Book'), design vehicle P, metric table, as
    # reproduced in public: overhangs 0.9 and 1.5 m, wheelbase 3.4 m, length 5.8 m.
    assert overall_length(**DESIGN_CAR) == pytest.approx(5.8)
    assert all(body(name).length <= 5.8 for name in ("sedan", "suv", "van", "pickup"))


def test_c049_tow_ball_height():
    # EU directive 94/20/EC, as restated by a towing site: ball centre 350 to 420 mm laden, 13.78 to 16.54 in.
    low, high = TOW_BALL_HEIGHTS
    assert (low / INCH, high / INCH) == pytest.approx((13.780, 16.535), abs=1e-3)
    hitched = with_hitch(body("pickup"))
    for height in (
        low + 0.001,
        high - 0.001,
    ):  # our invented hitch shows an eye something over the whole range
        spans = blocked_spans([0, -2, height], [0, 2, height], hitched.pieces)
        assert spans[-1][1] > body("pickup").length
