"""Every published scalar function refuses what is not finite or out of range, and broadcasts its inputs."""

import dataclasses

import numpy as np
import pytest

from trainer.solver import (
    aperture,
    applications,
    beam,
    conveyor,
    crosstalk,
    delays,
    electrical,
    signal,
    timers,
    vehicles,
)
from trainer.solver.numbers import BadInput, require

# Function, good inputs, and one value out of range for each input.
FUNCTIONS = [
    (beam.beam_height, {"low": 0.15, "high": 0.76, "span": 3.6, "at": 1.2}, {"span": 0, "at": 3.7}),
    (beam.beam_slope, {"low": 0.15, "high": 0.76, "span": 3.6}, {"span": -1}),
    (beam.beam_position, {"low": 0.15, "high": 0.76, "span": 3.6, "height": 0.4}, {"span": 0, "height": 0.8}),
    (
        aperture.edge_shift,
        {"lens_diameter": 0.02, "excess_gain": 5.0},
        {"lens_diameter": 0, "excess_gain": 1},
    ),
    (
        aperture.minimum_object,
        {"lens_diameter": 0.02, "excess_gain": 5.0},
        {"lens_diameter": 0, "excess_gain": 1},
    ),
    (aperture.strap_share, {"lens_diameter": 0.02, "width": 0.005}, {"lens_diameter": 0, "width": -1}),
    (signal.spot_width, {"half_angle": 0.026, "distance": 3.6}, {"half_angle": 1.6, "distance": 0}),
    (
        signal.excess_gain_at,
        {"reference_gain": 3.0, "reference_distance": 11.0, "distance": 3.0},
        {"reference_gain": 0, "reference_distance": -1, "distance": 0},
    ),
    (signal.light_loss_tolerated, {"excess_gain": 5.0}, {"excess_gain": 1}),
    (
        signal.fog_transmission,
        {"visibility": 10.0, "distance": 3.6, "contrast": 0.05},
        {"visibility": 0, "distance": 0, "contrast": 0.5},
    ),
    (signal.kruse_extinction, {"visibility": 50.0, "wavelength": 8e-7}, {"visibility": 0, "wavelength": 0}),
    (signal.kim_extinction, {"visibility": 50.0, "wavelength": 8e-7}, {"visibility": 0, "wavelength": 0}),
    (signal.beam_share, {"off_axis": 0.02, "half_angle": 0.03}, {"off_axis": -0.01, "half_angle": 0}),
    (
        signal.aged_gain,
        {"excess_gain": 10.0, "ageing": 0.06, "years": 3.0},
        {"excess_gain": 0, "ageing": 1, "years": -1},
    ),
    (
        signal.signal_left,
        {"excess_gain": 10.0, "lens_loss": 0.3, "transmission": 0.6},
        {"excess_gain": 0, "lens_loss": 1.1, "transmission": -0.1},
    ),
    (
        signal.gain_for_fog,
        {"required": 1.5, "visibility": 10.0, "distance": 3.6, "contrast": 0.05},
        {"required": 0, "visibility": 0, "distance": 0, "contrast": 0.5},
    ),
    (
        signal.film_transmission,
        {"thickness": 5e-4, "absorption": 18.0},
        {"thickness": -1e-4, "absorption": -1},
    ),
    (signal.aim_angle, {"offset": 0.02, "distance": 3.0}, {"distance": 0}),
    (
        signal.aim_tolerance,
        {"distance": 3.0, "emitter_half_angle": 0.03, "receiver_half_angle": 0.04},
        {"distance": 0, "emitter_half_angle": 0, "receiver_half_angle": 1.6},
    ),
    (
        crosstalk.crosstalk_margin,
        {
            "spacing": 0.2,
            "distance": 3.0,
            "emitter_half_angle": 0.03,
            "receiver_half_angle": 0.04,
            "tilt": 0.01,
        },
        {"spacing": 0, "distance": 0, "emitter_half_angle": 0, "receiver_half_angle": 1.6, "tilt": -0.1},
    ),
    (
        conveyor.vehicle_length,
        {"pulses": 180, "pulses_per_length": 39.37},
        {"pulses": 0, "pulses_per_length": 0},
    ),
    (conveyor.vehicle_length, {"pulses": 180, "pulses_per_length": 39.37}, {"pulses": 180.5}),
    (
        conveyor.count_pulses,
        {"length": 4.5, "pulses_per_length": 39.37, "phase": 0.3},
        {"length": 0, "pulses_per_length": 0, "phase": 1},
    ),
    (conveyor.pulse_rate, {"speed": 0.3, "pulses_per_length": 39.37}, {"speed": 0, "pulses_per_length": 0}),
    (
        conveyor.length_error,
        {"speed": 0.3, "on_delay": 0.05, "off_delay": 0.25},
        {"speed": 0, "on_delay": -0.1, "off_delay": -0.1},
    ),
    (
        applications.application_window,
        {"distance": 3.0, "lead": 0.3, "trail": 0.3, "length": 4.5, "pulses_per_length": 39.37},
        {"distance": 0, "lead": 3.1, "trail": -4.5, "length": 0, "pulses_per_length": 0},
    ),
    (
        applications.timed_window,
        {"distance": 3.0, "lead": 0.3, "trail": 0.3, "length": 4.5, "speed": 0.25, "tolerance": 0.03},
        {"distance": 0, "lead": 3.1, "trail": -4.5, "length": 0, "speed": 0, "tolerance": 1},
    ),
    (
        applications.timer_allowance,
        {"distance": 3.0, "length": 4.5, "tolerance": 0.03},
        {"distance": 0, "length": 0, "tolerance": 1},
    ),
    (
        applications.wheel_window,
        {
            "distance": 3.0,
            "axle": 0.9,
            "radius": 0.33,
            "height": 0.3,
            "lead": 0.1,
            "trail": 0.1,
            "pulses_per_length": 39.37,
        },
        {
            "distance": 0,
            "axle": -1,
            "radius": 0,
            "height": 0.7,
            "lead": 4,
            "trail": -1,
            "pulses_per_length": 0,
        },
    ),
    (conveyor.throughput, {"speed": 0.25, "pitch": 8.0}, {"speed": 0, "pitch": 0}),
    (conveyor.scan_limit, {"scan_time": 0.01, "filter_time": 0.01}, {"scan_time": 0, "filter_time": -1}),
    (timers.walker_time, {"depth": 0.3, "speed": 1.0}, {"depth": 0, "speed": 0}),
    (timers.longest_off_delay, {"gap": 0.9, "speed": 0.25}, {"gap": 0, "speed": 0}),
    (
        delays.delay_window,
        {"walker": 0.6, "bridge": 0.1, "gap": 0.9, "nose_error": 0.2, "speed": 0.25, "tolerance": 0.03},
        {"walker": -1, "bridge": -1, "gap": 0, "nose_error": 0, "speed": 0, "tolerance": 1},
    ),
    (
        delays.recommended_delays,
        {"walker": 0.6, "bridge": 0.1, "gap": 0.9, "nose_error": 0.2, "speed": 0.25, "tolerance": 0.03},
        {"walker": -1, "bridge": -1, "gap": 0.01, "nose_error": 0.01, "speed": 0, "tolerance": 1},
    ),
    (
        electrical.voltage_drop,
        {"current": 0.03, "length": 30.0, "resistance_per_length": 0.05},
        {"current": -1, "length": 0, "resistance_per_length": 0},
    ),
    (
        electrical.short_distance,
        {"loop_resistance": 2.0, "resistance_per_length": 0.05},
        {"loop_resistance": 0, "resistance_per_length": 0},
    ),
    (
        electrical.short_distance_at,
        {"loop_resistance": 2.0, "resistance_per_length": 0.05, "celsius": 5.0},
        {"loop_resistance": 0, "resistance_per_length": 0, "celsius": 201},
    ),
    (
        electrical.k_form_drop,
        {"current": 16.0, "length": 45.0, "circular_mils": 6530.0, "k": 42.0},
        {"current": -1, "length": 0, "circular_mils": 0, "k": 0},
    ),
    (electrical.stored_charge, {"capacitance": 1e-6, "voltage": 340.0}, {"capacitance": 0, "voltage": -1}),
    (electrical.capacitance_for, {"charge": 6e-5, "voltage": 340.0}, {"charge": 0, "voltage": 0}),
    (
        electrical.discharge_time,
        {"resistance": 1e4, "capacitance": 1e-3, "from_voltage": 325.0, "to_voltage": 60.0},
        {"resistance": 0, "capacitance": 0, "from_voltage": 50, "to_voltage": 0},
    ),
    (
        electrical.largest_bleed_resistor,
        {"capacitance": 1e-3, "from_voltage": 325.0, "to_voltage": 60.0, "time": 5.0},
        {"capacitance": 0, "from_voltage": 60, "to_voltage": 0, "time": 0},
    ),
    (vehicles.footprint, {"track": 1.6, "wheelbase": 2.8}, {"track": 0, "wheelbase": 0}),
]


def results(value):
    return dataclasses.astuple(value) if dataclasses.is_dataclass(value) else (value,)


@pytest.mark.parametrize(("function", "good", "bad"), FUNCTIONS, ids=[f[0].__name__ for f in FUNCTIONS])
def test_refuses_and_names_the_input(function, good, bad):
    worst = {name: [float("nan"), float("inf"), float("-inf"), "many", None] for name in good}
    for name, value in bad.items():
        worst[name].append(value)
    for name, values in worst.items():
        for value in values:
            with pytest.raises(BadInput) as refused:
                function(**{**good, name: value})
            assert refused.value.name == name or name in refused.value.allowed


@pytest.mark.parametrize(("function", "good", "bad"), FUNCTIONS, ids=[f[0].__name__ for f in FUNCTIONS])
def test_broadcasts_over_every_input(function, good, bad):
    scalar = results(function(**good))
    assert all(isinstance(value, float) and np.isfinite(value) for value in scalar)
    for name in good:
        many = results(function(**{**good, name: np.full((3, 2), good[name])}))
        for one, all_of_them in zip(scalar, many, strict=True):
            assert all_of_them.shape == (3, 2)
            assert all_of_them == pytest.approx(np.full((3, 2), one))


def test_one_bad_value_in_an_array_is_the_one_named():
    with pytest.raises(BadInput) as refused:
        beam.beam_height(0.1, 0.7, 3.6, np.array([0.0, 1.0, 9.0]))
    assert str(refused.value) == "at is 9; it must be from 0 m to span"
    assert (refused.value.name, refused.value.was, refused.value.allowed) == ("at", 9.0, "from 0 m to span")


def test_nan_is_never_good():
    with pytest.raises(BadInput, match="x is nan"):
        require("x", float("nan"), False, "above 0")
