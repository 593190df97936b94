"""The geometry of the regulations."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.vehicles import (
    breakover_angle,
    bumper_rule_covers,
    footprint,
    in_bumper_zone,
    nose_limit_height,
    off_road,
    tangent_angle,
)


@given(radius=st.floats(0.25, 0.5), angle=st.floats(0.1, 0.9), beyond=st.floats(0.3, 1.5))
def test_limit_height_and_tangent_angle_undo_each_other(radius, angle, beyond):
    ahead = radius + beyond
    height = nose_limit_height(radius, angle, ahead)
    assert tangent_angle(radius, ahead, height) == pytest.approx(angle, abs=1e-9)


def test_the_tangent_really_touches_the_tyre():
    # Distance of the wheel centre (0, r) from the line through the ground point at the angle.
    radius, angle = 0.33, np.radians(28)
    ground = radius * np.tan(angle / 2)
    distance = abs(ground * np.sin(angle) + radius * np.cos(angle))
    assert distance == pytest.approx(radius)
    assert nose_limit_height(radius, angle, ground) == pytest.approx(0)


def test_four_of_five_marks_are_enough_and_three_are_not():
    four = off_road(np.radians(28), np.radians(14), np.radians(20), 0.20, 0.17)
    assert four.met and not four.axle_clearance
    assert not off_road(np.radians(28), np.radians(14), np.radians(20), 0.19, 0.17).met


def test_refusals():
    for call in (
        lambda: bumper_rule_covers("bus"),
        lambda: in_bumper_zone(-1.0),
        lambda: nose_limit_height(0.33, 0.5, 0.05),
        lambda: tangent_angle(0.33, 0.2, 0.1),
        lambda: footprint(0.0, 2.5),
        lambda: off_road(0.5, 0.3, float("nan"), 0.2, 0.2),
    ):
        with pytest.raises(BadInput):
            call()


def test_two_small_wheels_see_a_point_between_them_at_the_angles_of_plain_triangles():
    # As the wheels shrink to points on the ground, each tangent runs through the point itself.
    angle = breakover_angle(1e-12, 1.0, 2.0, 0.2)
    assert angle == pytest.approx(np.arctan(0.2 / 1.0) + np.arctan(0.2 / 2.0), abs=1e-9)


@pytest.mark.parametrize(("track", "wheelbase"), [(60.14, 100.0), (100.0, 60.14)])
def test_a_footprint_is_rounded_to_tenths_of_inches_and_of_square_feet(track, wheelbase):
    # 60.14 in counts as 60.1: 60.1 * 100 / 144 = 41.736 ft2, rounded 41.7; unrounded it would be 41.764, so 41.8.
    assert footprint(track * 0.0254, wheelbase * 0.0254) == pytest.approx(41.7 * 0.3048**2, rel=1e-12)
