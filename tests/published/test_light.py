"""Light, dirt, fog, water and aim against published figures."""

import numpy as np
import pytest

from trainer.solver.aperture import effective_beam_diameter, minimum_object
from trainer.solver.signal import (
    WATER_ABSORPTION,
    aim_angle,
    contrast,
    decibels,
    excess_gain_at,
    fog_transmission,
    fresnel_loss,
    kim_extinction,
    koschmieder_extinction,
    kruse_extinction,
    light_loss_tolerated,
    path_loss_decibels,
    required_excess_gain,
    spot_width,
    water_film_transmission,
)

INCH, FOOT = 0.0254, 0.3048


@pytest.mark.parametrize(
    ("gain", "feet", "to_feet", "expected"),
    [
        pytest.param(1, 25.5, 10, 6.5025, id="C001"),
        pytest.param(3, 38, 10, 43.32, id="C002"),
        pytest.param(1, 25.5, 12, 4.515625, id="C003"),
    ],
)
def test_light_falls_with_the_square_of_the_distance(gain, feet, to_feet, expected):
    # Inverse-square law (Kepler, Astronomiae Pars Optica, 1604), worked by hand: 2.55², 3 · 3.8², 2.125².
    assert excess_gain_at(gain, feet * FOOT, to_feet * FOOT) == pytest.approx(expected, abs=1e-9)


def test_c006_a_gain_of_ten_stands_nine_tenths_lost():
    # MHI glossary, 'Excess gain', says half for a gain of two: what may be lost is what the gain has beyond one.
    assert light_loss_tolerated(10.0) == pytest.approx(0.9, abs=1e-15)


def test_c007_contrast_is_light_over_dark():
    # By definition, worked by hand: 6 over 1/2 is 12.
    assert contrast(6.0, 0.5) == 12


def test_c008_fifty_times_in_decibels():
    # The decibel is ten times the common logarithm of a ratio of powers (ISO 80000-1: from memory). lg 50 = 1.69897 in
    # any table of logarithms.
    assert decibels(50.0) == pytest.approx(16.98970, abs=1e-5)


def test_c025_a_cone_of_three_degrees_twelve_feet_away():
    # tan 1°30' = 0.026186 in any table of natural tangents; twice 144 in of it.
    assert spot_width(np.radians(1.5), 144 * INCH) / INCH == pytest.approx(2 * 144 * 0.026186, abs=3e-4)
    assert spot_width(np.radians(1.5), 144 * INCH) / INCH == pytest.approx(7.5415, abs=1e-3)


@pytest.mark.parametrize(
    ("environment", "gain"),
    [
        pytest.param("clean", 1.5, id="C004-clean"),
        pytest.param("slightly_dirty", 5, id="C004-slightly-dirty"),
        pytest.param("moderately_dirty", 10, id="C004-moderately-dirty"),
        pytest.param("very_dirty", 50, id="C004-very-dirty"),
    ],
)
def test_required_excess_gain(environment, gain):
    # 'Use excess gain to choose an optical sensor', Instrumentation & Control (South Africa), July 2018, list of
    # guidelines by environment.
    assert required_excess_gain(environment) == gain


def test_c005_a_gain_of_two_stands_half_the_lens_covered():
    # MHI (Material Handling Industry), online glossary, 'Excess gain': "an excess gain of two would mean that just
    # enough light intensity is present to trigger a sensor with 50% of the lens obscured".
    assert light_loss_tolerated(2.0) == 0.5


def test_c009_the_effective_beam_is_as_wide_as_the_lenses():
    # MHI (Material Handling Industry), online glossary, 'Effective beam': the usable beam diameter equals the lens
    # diameter of light source and receiver. Nothing wider can be needed to block it, whatever the gain.
    assert effective_beam_diameter(0.018, 0.018, 4.0, np.linspace(0, 4, 9)) == pytest.approx(
        np.full(9, 0.018)
    )
    assert minimum_object(0.018, 1e6) < 0.018


@pytest.mark.parametrize(
    "distance", [pytest.param(10.0, id="C011-10m"), pytest.param(3.6576, id="C011-12ft")]
)
def test_at_the_visibility_five_per_cent_is_left(distance):
    # Koschmieder's law in the lighting definitions of the Illuminating Engineering Society (IES): visibility is the
    # distance at which 5 % of the contrast is left.
    assert fog_transmission(distance, distance, 0.05) == pytest.approx(0.05, rel=1e-15)
    assert koschmieder_extinction(distance, 0.05) * distance == pytest.approx(2.996, abs=5e-4)


def test_c010_twelve_feet_of_fog_of_ten_metres():
    # IES, Koschmieder's law: T = exp(-2.996 d/V) with the printed constant; ours has ln 20 in full, hence 1e-4.
    assert fog_transmission(10.0, 12 * FOOT, 0.05) == pytest.approx(np.exp(-2.996 * 0.36576), rel=1e-4)


def test_c012_two_per_cent_convention_and_kim_agree_in_fog():
    # Kim, McArthur and Korevaar, Proc. SPIE 4214 (2001): sigma = 3.91/V in fog, a 2 % visibility. 3.91 is ln 50
    # rounded.
    kim = np.exp(-kim_extinction(10.0, 850e-9) * 12 * FOOT)
    assert fog_transmission(10.0, 12 * FOOT, 0.02) == pytest.approx(kim, abs=2e-4)


def test_c016_seventeen_decibels_over_visibility():
    # Pierce, Ramaprasad and Eisenberg, 'Optical attenuation in fog and clouds', Proc. SPIE 4530 (2001), abstract:
    # attenuation is kappa/V in dB/km with kappa between 8.5 and 17, whatever the wavelength. The upper end is Kim's.
    for visibility_km in (0.05, 0.2, 0.4):
        for wavelength in (650e-9, 1550e-9):
            loss = path_loss_decibels(kim_extinction(visibility_km * 1000, wavelength), 1000.0)
            assert loss == pytest.approx(17 / visibility_km, rel=2e-3)
            assert 8.5 / visibility_km < loss < 17 / visibility_km


@pytest.mark.parametrize(
    ("rule", "wavelength", "loss"),
    [
        pytest.param(kruse_extinction, 785e-9, 315, id="C013"),
        pytest.param(kruse_extinction, 1550e-9, 272, id="C014"),
        pytest.param(kim_extinction, 785e-9, 340, id="C015-785"),
        pytest.param(kim_extinction, 1550e-9, 340, id="C015-1550"),
    ],
)
def test_fog_of_fifty_metres(rule, wavelength, loss):
    # Table of Kim, McArthur and Korevaar (2001) for a visibility of 50 m; its figures are quoted here from memory.
    assert path_loss_decibels(rule(50.0, wavelength), 1000.0) == pytest.approx(loss, abs=0.6)


def test_c017_haze_of_two_kilometres():
    # Kruse, McGlauchlin and McQuistan, Elements of Infrared Technology (1962), rule for V below 6 km, q = 0.585
    # V^(1/3), written out: 3.91/2 (880/550)^-(0.585 * 1.259921) per km.
    assert kruse_extinction(2000.0, 880e-9) * 1000 == pytest.approx(
        3.91 / 2 * 1.6 ** -(0.585 * 1.259921), rel=1e-6
    )


@pytest.mark.parametrize(
    ("wavelength", "per_centimetre"),
    [
        pytest.param(880e-9, 0.05298, id="C018"),
        pytest.param(940e-9, 0.1818, id="C019"),
        pytest.param(1450e-9, 30.54, id="C020"),
        pytest.param(650e-9, 0.003315, id="water-650"),
        pytest.param(850e-9, 0.04199, id="water-850"),
    ],
)
def test_a_half_millimetre_of_water(wavelength, per_centimetre):
    # Specific absorption of water in PROSPECT-D (Feret et al., Remote Sensing of Environment, 2017), data file of the
    # Python package prosail 2.0.5, last column, per cm.
    assert water_film_transmission(0.5e-3, wavelength) == pytest.approx(
        np.exp(-per_centimetre * 0.05), rel=1e-12
    )
    assert wavelength in WATER_ABSORPTION


def test_c021_one_face_of_water():
    # Fresnel's equations at normal incidence, ((n1 - n2)/(n1 + n2))^2, from the air side and from the water side alike.
    from_water = ((1.333 - 1.0) / (1.333 + 1.0)) ** 2
    assert fresnel_loss(1.333) == pytest.approx(from_water, abs=1e-12)
    assert fresnel_loss(1.333) == pytest.approx(0.020373, abs=1e-6)


@pytest.mark.parametrize(
    ("inches", "degrees"),
    [
        pytest.param(1, 0.19, id="C022"),
        pytest.param(2, 0.38, id="C023"),
        pytest.param(4, 0.76, id="C024"),
    ],
)
def test_aim_offset_at_25_feet(inches, degrees):
    # 49 CFR 571.108 S10.18.8.1 (2015 edition) prints offset on a screen at 25 ft and degrees side by side, two
    # decimals.
    assert np.degrees(aim_angle(inches * INCH, 25 * FOOT)) == pytest.approx(degrees, abs=0.005)
