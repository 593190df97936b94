"""Counts against pulses that are laid out one by one, and rates."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.conveyor import (
    SPREAD_OVER_ALL_LENGTHS,
    calibrate,
    count_bounds,
    count_pulses,
    count_spread,
    length_error,
    pulses_per_length_for,
    scan_limit,
    throughput,
    travel,
    vehicle_length,
)

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


def test_equal_delays_leave_the_length_alone():
    assert length_error(0.3, 0.2, 0.2) == 0
    assert travel(0.3, 0.2) == pytest.approx(0.06)


def test_a_lopsided_pulse_lowers_the_scan_limit():
    assert scan_limit(0.015, 0.005, 0.2) == pytest.approx(10)
    assert scan_limit(0.015, 0.005, 0.8) == pytest.approx(10)


def test_throughput_is_one_car_a_pitch():
    assert 3600 * throughput(0.25, 7.5) == pytest.approx(120)


def test_a_length_of_whole_pulses_counts_just_so_whatever_rounding_makes_of_it():
    # In floats 4.35 * 100 falls short of 435, and (0.1 + 0.2) * 10 is more than 3.
    for length, density, pulses in ((4.35, 100.0, 435), (0.1 + 0.2, 10.0, 3)):
        bounds = count_bounds(length, density)
        assert (bounds.least, bounds.most) == (pulses, pulses)


def test_a_counted_length_by_hand():
    # 180 pulses at 40 a metre: 4.5 m, and one pulse, 25 mm, either way.
    found = vehicle_length(180, 40.0)
    assert (found.length, found.shortest, found.longest) == pytest.approx((4.5, 4.475, 4.525), rel=1e-15)


def test_a_calibration_by_hand():
    # 180 pulses over 4.5 m: 40 a metre; one pulse fewer or more over the same run.
    found = calibrate(180, 4.5)
    assert found.pulses_per_length == 40
    assert (found.least, found.most) == pytest.approx((179 / 4.5, 181 / 4.5), rel=1e-15)


def test_an_error_of_five_centimetres_asks_for_twenty_pulses_a_metre():
    assert pulses_per_length_for(0.05) == pytest.approx(20)
