"""Counts against pulses that are laid out one by one, windows, rates and solution."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.conveyor import (
    SPREAD_OVER_ALL_LENGTHS,
    application_window,
    calibrate,
    cars_per_hour,
    count_bounds,
    count_pulses,
    count_spread,
    length_error,
    pulses_per_length_for,
    scan_limit,
    share_saved,
    solution_used,
    solution_wasted,
    travel,
    vehicle_length,
)
from trainer.solver.numbers import BadInput

lengths, densities, phases = st.floats(0.5, 12), st.floats(3, 120), st.floats(0, 0.999)


@given(length=lengths, density=densities, phase=phases)
def test_the_true_length_lies_strictly_within_the_bounds(length, density, phase):
    pulses = count_pulses(length, density, phase)
    if pulses >= 1:
        measured = vehicle_length(pulses, density)
        assert measured.shortest < length < measured.longest


@given(length=lengths, density=densities, phase=phases)
def test_a_count_is_the_number_of_pulses_that_fall_within_the_length(length, density, phase):
    # Pulse k comes when k/density has been travelled since the last pulse before the nose.
    pulse_places = (np.arange(1, 1500) - phase) / density
    slack = 1e-9
    fewest, most = (pulse_places <= length - slack).sum(), (pulse_places <= length + slack).sum()
    assert fewest <= count_pulses(length, density, phase) <= most
    bounds = count_bounds(length, density)
    assert bounds.least <= fewest + 1
    assert bounds.most >= most - 1


def test_both_bounds_of_a_count_are_reached():
    bounds = count_bounds(4.52, 39.37)
    counts = count_pulses(4.52, 39.37, np.linspace(0, 0.9999, 1000))
    assert {bounds.least, bounds.most} == set(counts)
    assert counts.std() == pytest.approx(count_spread(4.52, 39.37), abs=1e-3)


def test_the_spread_over_all_lengths_and_phases():
    random = np.random.default_rng(1)
    exact = random.uniform(50, 250, 200_000)
    error = np.floor(exact + random.uniform(0, 1, exact.size)) - exact
    assert error.std() == pytest.approx(SPREAD_OVER_ALL_LENGTHS, abs=2e-3)


@given(length=lengths, phase=phases, error=st.floats(0.005, 0.2))
def test_pulses_for_an_error_keep_it(length, phase, error):
    density = pulses_per_length_for(error)
    assert abs(count_pulses(length, density, phase) / density - length) < error * (1 + 1e-9)


@given(density=densities, length=st.floats(5, 40), phase=phases)
def test_a_calibration_holds_the_true_density(density, length, phase):
    found = calibrate(count_pulses(length, density, phase), length)
    assert found.least < density < found.most


def test_a_window_opens_early_closes_late_and_keeps_whole_pulses():
    window = application_window(
        distance=3.048, lead=0.3048, trail=0.6096, length=4.572, pulses_per_length=12 / 0.3048
    )
    assert (window.on_pulse, window.off_pulse) == (108, 324)
    assert (window.on_travel, window.off_travel) == pytest.approx((2.7432, 8.2296))
    late = application_window(3.05, 0.3, 0.6, 4.57, 12 / 0.3048)
    assert late.on_pulse / (12 / 0.3048) <= late.on_travel
    assert late.off_pulse / (12 / 0.3048) >= late.off_travel


def test_a_window_of_arrays_has_the_broadcast_shape():
    window = application_window(3.0, np.array([0.1, 0.2]), 0.3, np.array([[4.0], [5.0], [6.0]]), 39.37)
    assert window.on_travel.shape == window.off_travel.shape == window.on_pulse.shape == (3, 2)


def test_no_device_opens_before_the_eye_has_seen_the_nose():
    with pytest.raises(BadInput, match="lead is 4; it must be from 0 m to distance"):
        application_window(3.0, 4.0, 0.3, 4.5, 39.37)
    with pytest.raises(BadInput, match="trail"):
        application_window(3.0, 1.0, -4.5, 4.5, 39.37)


def test_solution_used_is_the_vehicle_and_the_waste():
    used, wasted = solution_used(5e-4, 0.25, 0.4, 0.5, 4.5), solution_wasted(5e-4, 0.25, 0.4, 0.5)
    assert wasted == pytest.approx(5e-4 * 0.9 / 0.25)
    assert used - wasted == pytest.approx(5e-4 * 4.5 / 0.25)


def test_equal_delays_leave_the_length_alone():
    assert length_error(0.3, 0.2, 0.2) == 0
    assert travel(0.3, 0.2) == pytest.approx(0.06)


def test_a_lopsided_pulse_lowers_the_scan_limit():
    assert scan_limit(0.015, 0.005, 0.2) == pytest.approx(10)
    assert scan_limit(0.015, 0.005, 0.8) == pytest.approx(10)


def test_shares_and_rates():
    assert share_saved(10.0, 2.5) == 0.75
    assert cars_per_hour(0.25, 7.5) == pytest.approx(120)
