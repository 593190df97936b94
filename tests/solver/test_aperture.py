"""Covered and uncovered shares of a round lens, against integration and polygons."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from shapely import Point, box

from trainer.solver.aperture import (
    edge_shift,
    effective_beam_diameter,
    minimum_object,
    strap_share,
    uncovered_share,
)
from trainer.solver.numbers import BadInput


@pytest.mark.parametrize("gain", [1.01, 1.2, 1.5, 1.99, 2.01, 3, 5, 10, 50, 400])
def test_edge_shift_agrees_with_integration_and_a_root_finder(gain):
    def open_share(shift):
        return quad(lambda x: 2 * np.sqrt(1 - x * x), shift, 1, epsabs=1e-13)[0] / np.pi

    expected = brentq(lambda shift: open_share(shift) - 1 / gain, -1, 1, xtol=1e-14)
    assert edge_shift(2.0, gain) == pytest.approx(expected, abs=1e-9)


@given(excess=st.floats(1e-9, 1e12), diameter=st.floats(1e-3, 0.2))
def test_the_share_left_open_at_the_switch_is_one_over_the_gain(excess, diameter):
    gain = 1 + excess
    shift = edge_shift(diameter, gain)
    assert abs(shift) <= diameter / 2
    assert uncovered_share(diameter, shift) == pytest.approx(1 / gain, abs=3e-15)
    assert (shift > 0) == (gain > 2)


@given(smaller=st.floats(1.001, 1e6), factor=st.floats(1.01, 100))
def test_a_stronger_signal_switches_later(smaller, factor):
    assert edge_shift(0.02, smaller) < edge_shift(0.02, smaller * factor)


def test_edge_shift_is_nought_at_two_and_antisymmetric_about_it():
    assert edge_shift(0.02, 2.0) == 0
    assert edge_shift(0.02, 4.0) == pytest.approx(-edge_shift(0.02, 4 / 3), abs=1e-16)
    assert edge_shift(np.array([[0.01], [0.02]]), np.array([1.5, 2, 9])).shape == (2, 3)


@pytest.mark.parametrize("gain", [1.3, 1.5, 5, 50])
def test_minimum_object_agrees_with_polygons(gain):
    lens = Point(0, 0).buffer(1, quad_segs=4000)
    half = minimum_object(2.0, gain) / 2
    assert lens.difference(box(-half, -2, half, 2)).area / lens.area == pytest.approx(1 / gain, abs=1e-6)


@given(gain=st.floats(1.001, 1e6))
def test_the_minimum_strap_covers_just_what_may_be_lost(gain):
    assert strap_share(0.02, minimum_object(0.02, gain)) == pytest.approx(1 - 1 / gain, abs=1e-14)


def test_a_strap_as_wide_as_the_lens_covers_it():
    assert strap_share(0.02, 0.02) == 1
    assert strap_share(0.02, 0.5) == 1
    assert strap_share(0.02, 0) == 0


def test_the_effective_beam_runs_from_lens_to_lens():
    assert effective_beam_diameter(0.018, 0.018, 3.6, 1.2) == pytest.approx(0.018)
    assert effective_beam_diameter(0.01, 0.02, 4.0, np.array([0, 1, 4])) == pytest.approx(
        [0.01, 0.0125, 0.02]
    )


def test_a_gain_of_one_has_no_switching_point():
    with pytest.raises(BadInput, match="excess_gain is 1; it must be finite and above 1"):
        edge_shift(0.02, 1.0)
    with pytest.raises(BadInput, match="shift"):
        uncovered_share(0.02, 0.011)
