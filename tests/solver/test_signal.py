"""Light that arrives: shapes of the laws, limits of the models, both heads' aim, neighbours."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.signal import (
    aim_angle,
    aim_tolerance,
    contrast,
    crosstalk_margin,
    decibels,
    excess_gain_at,
    fog_transmission,
    fresnel_loss,
    kim_extinction,
    koschmieder_extinction,
    kruse_extinction,
    light_loss_tolerated,
    pair_lit,
    path_loss_decibels,
    required_excess_gain,
    spot_width,
    water_film_transmission,
)


@given(gain=st.floats(0.1, 1e4), near=st.floats(0.5, 20), far=st.floats(0.5, 20))
def test_range_law_there_and_back(gain, near, far):
    assert excess_gain_at(excess_gain_at(gain, near, far), far, near) == pytest.approx(gain)


def test_twice_as_far_is_a_quarter():
    assert excess_gain_at(40.0, 3.0, 6.0) == pytest.approx(10)


def test_loss_tolerated_brings_the_gain_to_one():
    gain = np.array([1.5, 2, 5, 10, 50])
    assert gain * (1 - light_loss_tolerated(gain)) == pytest.approx(np.ones(5))


@given(visibility=st.floats(1, 1000), distance=st.floats(0.5, 20), limit=st.sampled_from([0.05, 0.02]))
def test_transmission_and_extinction_are_one_law(visibility, distance, limit):
    extinction = koschmieder_extinction(visibility, limit)
    assert fog_transmission(visibility, distance, limit) == pytest.approx(np.exp(-extinction * distance))
    loss = path_loss_decibels(extinction, distance)
    assert decibels(1 / fog_transmission(visibility, distance, limit)) == pytest.approx(loss)


def test_fog_does_not_care_for_the_wavelength_but_haze_does():
    assert kim_extinction(100.0, 650e-9) == kim_extinction(100.0, 1550e-9)
    assert kruse_extinction(2000.0, 1550e-9) < kruse_extinction(2000.0, 650e-9)
    assert kim_extinction(np.array([100.0, 700.0, 3e3, 2e4, 8e4]), 550e-9) == pytest.approx(
        3.91 / np.array([100.0, 700.0, 3e3, 2e4, 8e4])
    )


def test_words_and_conventions_must_be_known():
    with pytest.raises(BadInput, match="environment is 'muddy'"):
        required_excess_gain("muddy")
    with pytest.raises(BadInput, match=r"contrast is 0.03; it must be 0.05 or 0.02"):
        fog_transmission(10.0, 3.0, 0.03)
    with pytest.raises(BadInput, match="wavelength"):
        water_film_transmission(1e-3, 900e-9)


def test_no_film_and_no_step_lose_nothing():
    assert water_film_transmission(0, 940e-9) == 1
    assert fresnel_loss(1.0) == 0
    assert contrast(6.0, 0.5) == 12


@given(half=st.floats(0.001, 0.5), distance=st.floats(0.5, 20))
def test_the_spot_is_twice_the_offset_of_the_half_angle(half, distance):
    assert aim_angle(spot_width(half, distance) / 2, distance) == pytest.approx(half)


def test_a_pair_is_lit_only_when_both_heads_point_well():
    tolerance = aim_tolerance(3.6, 0.03, 0.05)
    assert tolerance.offset == pytest.approx(3.6 * np.tan(0.03))
    assert pair_lit(3.6, 0.03, 0.05, 0.10, -0.04)
    assert not pair_lit(3.6, 0.03, 0.05, 0.11, 0.0)
    assert not pair_lit(3.6, 0.03, 0.05, 0.0, 0.05)
    assert aim_tolerance(np.array([3.0, 4.0]), 0.03, 0.05).tilt.shape == (2,)


def test_spacing_tilt_and_swapping_keep_neighbours_apart():
    close = crosstalk_margin(0.05, 3.6, 0.03, 0.05)
    assert close < 0
    assert crosstalk_margin(0.20, 3.6, 0.03, 0.05) > 0
    assert crosstalk_margin(0.05, 3.6, 0.03, 0.05, 0.02) == pytest.approx(close + 0.02)
    assert crosstalk_margin(0.05, 3.6, 0.03, 0.05, 0.0, True) == pytest.approx(np.pi / 2 - 0.03)


@given(
    spacing=st.floats(0.02, 2),
    distance=st.floats(1, 6),
    emitted=st.floats(0.01, 0.3),
    seen=st.floats(0.01, 0.3),
)
def test_crosstalk_is_light_in_the_cone_and_the_cone_in_sight(spacing, distance, emitted, seen):
    # Unit vectors instead of arctangents: emitter at 0 looks along y, the neighbour's receiver looks back.
    ray = np.array([spacing, distance]) / np.hypot(spacing, distance)
    off_emitter, off_receiver = np.arccos(ray @ [0, 1]), np.arccos(-ray @ [0, -1])
    lit = off_emitter < emitted and off_receiver < seen
    margin = crosstalk_margin(spacing, distance, emitted, seen)
    assert abs(margin) < 1e-7 or lit == (margin < 0)
