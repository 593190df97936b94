"""Light that arrives: shapes of the laws, limits of the models, both heads' aim, age."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.signal import (
    AGEING,
    aged_gain,
    aim_angle,
    aim_tolerance,
    beam_share,
    contrast,
    decibels,
    excess_gain_at,
    film_transmission,
    fog_transmission,
    fresnel_loss,
    gain_for_fog,
    kim_extinction,
    koschmieder_extinction,
    kruse_extinction,
    light_loss_tolerated,
    pair_lit,
    path_loss_decibels,
    required_excess_gain,
    signal_left,
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


def test_the_assumed_beam_has_half_its_light_at_the_half_angle():
    assert beam_share(0.0, 0.03) == 1
    assert beam_share(np.array([0.03, 0.06]), 0.03) == pytest.approx([1 / 2, 1 / 16])
    # The full width at half power of a bell curve is 2·√(2·ln 2), 2.3548 times its spread.
    spread = 2 * 0.03 / 2.3548
    assert beam_share(0.02, 0.03) == pytest.approx(np.exp(-((0.02 / spread) ** 2) / 2), rel=1e-4)


def test_an_emitter_ages_by_the_same_share_each_year():
    assert aged_gain(10.0, 0.1, 2.0) == pytest.approx(8.1)
    assert aged_gain(10.0, 0.1, 0.0) == 10
    assert aged_gain(aged_gain(10.0, 0.07, 3.0), 0.07, 4.0) == pytest.approx(aged_gain(10.0, 0.07, 7.0))
    # 100,000 h are 11.41 years of 8,766 h.
    assert aged_gain(1.0, AGEING, 100_000 / 8766) == pytest.approx(0.5)


def test_two_lenses_and_the_way_between_each_take_their_share():
    assert signal_left(40.0, 0.5, 0.25) == pytest.approx(2.5)
    assert signal_left(40.0, 0.0, 1.0) == 40
    for name, inputs in {"lens_loss": (40.0, 1.1, 1.0), "transmission": (40.0, 0.1, 1.1)}.items():
        with pytest.raises(BadInput) as refused:
            signal_left(*inputs)
        assert refused.value.name == name


@given(visibility=st.floats(2, 1000), distance=st.floats(0.5, 20), limit=st.sampled_from([0.05, 0.02]))
def test_the_gain_for_fog_leaves_what_is_required(visibility, distance, limit):
    gain = gain_for_fog(1.5, visibility, distance, limit)
    assert signal_left(gain, 0.0, fog_transmission(visibility, distance, limit)) == pytest.approx(1.5)


def test_a_film_twice_as_thick_passes_the_square():
    assert film_transmission(2e-3, 18.18) == pytest.approx(film_transmission(1e-3, 18.18) ** 2)
    assert film_transmission(0.0, 18.18) == 1


def exponent(rule, km):
    """The exponent q of a rule, read off at twice the wavelength at which it does not count."""
    return -np.log2(rule(km * 1000, 1100e-9) * km * 1000 / 3.91)


@pytest.mark.parametrize(
    ("km", "kruse", "kim"),
    [
        # Kruse: 1.6 above 50 km, 1.3 from 6 km, 0.585 V^(1/3) below; V = 0.512 and 3.375 km have whole roots.
        # Kim: as Kruse from 6 km, 0.16 V + 0.34 from 1 km, V - 0.5 from 0.5 km, 0 below.
        (50.5, 1.6, 1.6),
        (50.0, 1.3, 1.3),
        (6.5, 1.3, 1.3),
        (6.0, 1.3, 1.3),
        (3.375, 0.585 * 1.5, 0.88),
        (1.5, 0.585 * 1.5 ** (1 / 3), 0.58),
        (0.75, 0.585 * 0.75 ** (1 / 3), 0.25),
        (0.512, 0.585 * 0.8, 0.012),
        (0.4, 0.585 * 0.4 ** (1 / 3), 0.0),
    ],
)
def test_the_exponent_of_each_range_of_visibility(km, kruse, kim):
    assert exponent(kruse_extinction, km) == pytest.approx(kruse, abs=1e-9)
    assert exponent(kim_extinction, km) == pytest.approx(kim, abs=1e-9)


def test_at_the_rim_of_the_cone_a_pair_is_dark():
    assert pair_lit(3.0, 0.03, 0.04, 0.0, 0.0399)
    assert not pair_lit(3.0, 0.03, 0.04, 0.0, 0.04)
    rim = 3.0 * np.tan(0.03)
    assert not pair_lit(3.0, 0.03, 0.04, rim, 0.0)
    assert pair_lit(3.0, 0.03, 0.04, rim * 0.999, 0.0)
