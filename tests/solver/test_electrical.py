"""Wires, charge and enclosures: identities, borders of the rules, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from trainer.solver.electrical import (
    awg_area,
    awg_diameter,
    correction_to_20,
    decode_ip,
    discharge_time,
    flexible_resistance,
    largest_bleed_resistor,
    may_stay_energized,
    nec_resistance,
    pelv_limit,
    residual_voltage,
    resistance_at,
    short_distance,
    stored_energy,
    voltage_drop,
    wire_resistance,
)
from trainer.solver.numbers import BadInput


@given(length=st.floats(1, 500), resistance=st.floats(1e-3, 1))
def test_a_short_is_where_the_loop_says(length, resistance):
    assert short_distance(voltage_drop(1.0, length, resistance), resistance) == pytest.approx(length)


def test_discharge_agrees_with_the_differential_equation():
    def reaches_60(time, voltage):
        return voltage[0] - 60

    reaches_60.terminal = True
    fall = solve_ivp(
        lambda t, v: -v / (10e3 * 1e-3), (0, 60), [325.0], events=reaches_60, rtol=1e-10, atol=1e-10
    )
    assert discharge_time(10e3, 1e-3, 325.0, 60.0) == pytest.approx(fall.t_events[0][0], rel=1e-7)


@given(capacitance=st.floats(1e-6, 1e-2), start=st.floats(70, 600), time=st.floats(0.5, 60))
def test_the_bleed_resistor_takes_just_the_time(capacitance, start, time):
    resistor = largest_bleed_resistor(capacitance, start, 60.0, time)
    assert discharge_time(resistor, capacitance, start, 60.0) == pytest.approx(time)


def test_six_gauges_double_the_diameter_and_three_the_area():
    assert awg_diameter(18) / awg_diameter(24) == pytest.approx(2.005, abs=1e-3)
    assert awg_area(19) / awg_area(22) == pytest.approx(2.005, abs=1e-3)


def test_warm_copper_resists_more_and_is_brought_back_to_20():
    warm = resistance_at(10.0, 75.0)
    assert warm * correction_to_20(75.0) == pytest.approx(10.0, rel=4e-3)
    assert wire_resistance(1e-6, 20.0) == pytest.approx(1.7241e-2)


def test_residual_voltage_rule_at_its_borders():
    assert residual_voltage(1e-3, 1000.0, 340.0).met
    slow = residual_voltage(1e-3, 10e3, 340.0)
    assert (slow.met, slow.exempt) == (False, False)
    assert slow.time == pytest.approx(17.346, abs=1e-3)
    assert residual_voltage(60e-6 / 300, 1e9, 300.0).exempt
    assert residual_voltage(1e-3, 1e6, 48.0).met  # never above 60 V
    assert not residual_voltage(1e-3, 1000.0, 340.0, "plug").met


def test_a_wet_floor_has_the_lower_limits():
    assert pelv_limit("wet").ac < pelv_limit("dry").ac
    assert pelv_limit("wet").dc < 24 < pelv_limit("dry").dc
    assert not may_stay_energized(24.0, added_burn_exposure=True)


@pytest.mark.parametrize(
    ("code", "jets", "implies", "not_implied"),
    [
        ("IP65", False, {5, 4, 1}, {6, 7}),
        ("IP66", True, {6, 5}, {7}),
        ("IP67", False, {7}, {5, 6}),
        ("ip 68", False, {8}, {5, 6, 7}),
        ("IP69", True, {9}, {6, 7}),
        ("IP69K", True, {9}, {6}),
        ("IP66/IP67", True, {7, 6, 5}, {8}),
        ("IPX6", True, {6}, {7}),
    ],
)
def test_ip_codes(code, jets, implies, not_implied):
    enclosure = decode_ip(code)
    assert enclosure.stands_jets is jets
    assert implies <= enclosure.water
    assert not (not_implied & enclosure.water)


def test_ip_solids():
    assert decode_ip("IP67").dust_tight and not decode_ip("IP54").dust_tight
    assert decode_ip("IPX5").solids is None
    assert decode_ip("IP05").solids == 0
    assert decode_ip("IP6X").water == frozenset()


@pytest.mark.parametrize("code", ["", "IP", "IP7", "IP77", "67K9", "IPXX", "IP66/", "NEMA 4X", "IP66 or so"])
def test_what_is_no_ip_code_is_refused(code):
    with pytest.raises(BadInput, match="IP code"):
        decode_ip(code)


def test_refusals():
    for call in (
        lambda: discharge_time(1e3, 1e-3, 50.0, 60.0),
        lambda: largest_bleed_resistor(1e-3, 60.0, 60.0, 5.0),
        lambda: awg_diameter(22.5),
        lambda: awg_diameter(99),
        lambda: nec_resistance(13),
        lambda: flexible_resistance(0.6e-6),
        lambda: pelv_limit("damp"),
        lambda: correction_to_20(300.0),
        lambda: stored_energy(-1e-6, 10.0),
        lambda: wire_resistance(1e-6, float("nan")),
    ):
        with pytest.raises(BadInput):
            call()


def test_arrays_broadcast():
    drops = voltage_drop(np.array([0.1, 0.2]), np.array([[10.0], [20.0], [30.0]]), 0.02)
    assert drops.shape == (3, 2)
