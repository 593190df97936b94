"""The table of published functions: names, shapes, and dimensions that hold when every base unit is rescaled."""

import inspect

import numpy as np
import pytest

from trainer.quantities.dimensions import ANGLE, PLAIN
from trainer.quantities.published import PUBLISHED
from trainer.solver.numbers import BadInput

# Inputs in SI that are allowed, made up; equal names mean the same in every function.
SAMPLES = {
    "low": 0.2, "high": 0.9, "span": 3.6, "at": 1.3, "height": 0.5, "lens_diameter": 0.02, "excess_gain": 7.0,
    "half_angle": 0.03, "distance": 4.0, "offset": 0.1, "reference_gain": 12.0, "reference_distance": 3.0,
    "visibility": 50.0, "contrast": 0.05, "pulses": 185.0, "pulses_per_length": 39.37, "speed": 0.4,
    "on_delay": 0.02, "off_delay": 0.05, "depth": 0.3, "gap": 1.1, "length": 45.0, "current": 0.06,
    "resistance_per_length": 0.02, "loop_resistance": 3.0, "resistance": 4700.0, "capacitance": 2e-4,
    "from_voltage": 325.0, "to_voltage": 60.0, "time": 5.0, "voltage": 325.0, "celsius": 5.0, "resistance_20": 10.0,
    "circular_mils": 6530.0, "k": 42.3, "rms": 24.0, "charge": 6e-5, "failures_per_year": 2e-7, "lead_time": 2.6e6,
    "service_level": 0.95, "stock": 2.0, "count": 3.0, "mean": 2.5, "car_rate": 0.02, "margin": 9.0, "call_out": 180.0,
    "price": 140.0, "saved": 800.0, "share": 0.3, "parts": 37.0,
    "required": 1.5, "lens_loss": 0.2, "transmission": 0.4, "ageing": 0.06, "years": 3.0, "off_axis": 0.02,
    "index": 1.333, "ratio": 50.0, "spacing": 0.3, "emitter_half_angle": 0.03, "receiver_half_angle": 0.04,
    "tilt": 0.01, "scan_time": 0.01, "filter_time": 0.004, "duty": 0.4, "pitch": 8.0, "walker": 0.3, "bridge": 0.1,
    "width": 0.018, "shift": 0.004, "emitter_lens": 0.02, "receiver_lens": 0.018, "angle": 0.5, "ahead": 1.0,
    "track": 1.6, "wheelbase": 2.8,
    "nose_error": 0.2, "tolerance": 0.03, "lead": 0.15, "trail": 0.25, "axle": 0.9, "radius": 0.33, "flow": 5e-4,
    "latitude": 0.7, "longitude": -1.8, "year": 2026.0, "day": 172.0, "receiver_azimuth": 4.4,
    "receiver_elevation": 0.15, "elevation": 0.6, "azimuth": 3.4, "declination": 0.4,
}  # fmt: skip
ROUNDED_IN_INCHES = {"footprint"}  # by regulation: no function of physics
SCALAR = sorted(name for name, one in PUBLISHED.items() if one.scalar)


def sample(name):
    return {one.name: SAMPLES[one.name] for one in PUBLISHED[name].inputs}


def test_the_names_that_outside_checks_call_are_there():
    names = {
        "beam_height", "beam_slope", "beam_position", "blocked_spans", "edge_shift", "spot_width", "excess_gain_at",
        "light_loss_tolerated", "fog_transmission", "vehicle_length", "pulse_rate", "length_error", "walker_time",
        "longest_off_delay", "timer", "voltage_drop", "short_distance", "discharge_time", "lockout_check",
        "spares", "fault_policy",
        "sun_position", "sun_minutes",
    }  # fmt: skip
    assert names <= set(PUBLISHED)


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_the_functions_own_inputs_are_the_tables(name):
    function = PUBLISHED[name]
    parameters = inspect.signature(function.function).parameters
    assert [one.name for one in function.inputs] == list(parameters)
    optional = {key for key, one in parameters.items() if one.default is not inspect.Parameter.empty}
    assert optional == {one.name for one in function.inputs if one.optional}


@pytest.mark.parametrize("name", [one for one in SCALAR if one not in ROUNDED_IN_INCHES])
def test_dimensions_hold_when_every_base_unit_changes(name):
    # A function of physics gives the same result whatever the units (Bridgman, Dimensional Analysis, 1922): measured
    # in other base units, each input and result scales by the powers of its dimension.
    function = PUBLISHED[name]
    scales = np.array([2.0, 3.0, 5.0, 7.0, 1.0, 1.0, 1.0])

    def scale(dimension):
        return float(np.prod(scales ** np.array([float(power) for power in dimension.powers])))

    before = function.call(sample(name))
    after = function.call({one.name: SAMPLES[one.name] * scale(one.dimension) for one in function.inputs})
    for one in function.results:
        assert after[one.name] == pytest.approx(before[one.name] * scale(one.dimension), rel=1e-9)


@pytest.mark.parametrize("name", SCALAR)
def test_arrays_broadcast(name):
    function = PUBLISHED[name]
    single = function.call(sample(name))
    arrays = {
        key: np.full((2, 1) if i % 2 else (3,), value) for i, (key, value) in enumerate(sample(name).items())
    }
    shape = np.broadcast_shapes(*(one.shape for one in arrays.values()))
    for key, found in function.call(arrays).items():
        assert np.shape(found) == shape
        assert found == pytest.approx(np.full(shape, single[key]))


@pytest.mark.parametrize("name", SCALAR)
@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_nan_and_infinity_never_pass(name, bad):
    for key in sample(name):
        with pytest.raises(BadInput) as caught:
            PUBLISHED[name].call({**sample(name), key: bad})
        assert caught.value.name in sample(name)


@pytest.mark.parametrize("name", sorted(PUBLISHED))
def test_every_row_says_range_source_and_unit_of_its_own_dimension(name):
    function = PUBLISHED[name]
    assert function.source
    assert function.meaning
    assert all(one.allowed for one in function.inputs)
    assert all(one.handy.dimension == one.dimension for one in (*function.inputs, *function.results))


def test_angles_are_angles_and_counts_are_plain():
    assert PUBLISHED["beam_slope"].results[0].dimension == ANGLE
    assert PUBLISHED["spot_width"].inputs[0].dimension == ANGLE
    assert PUBLISHED["vehicle_length"].inputs[0].dimension == PLAIN
    assert PUBLISHED["edge_shift"].inputs[1].dimension == PLAIN
