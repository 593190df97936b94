"""Pulse rates, inputs, walkers and water against published worked examples."""

import numpy as np
import pytest

from trainer.solver.applications import share_saved, solution_wasted
from trainer.solver.conveyor import (
    SPREAD_OVER_ALL_LENGTHS,
    count_bounds,
    count_pulses,
    count_spread,
    encoder_rate,
    input_limit,
    length_error,
    pulse_rate,
    scan_limit,
    scan_time_for,
    throughput,
    travel,
)
from trainer.solver.switching import reads_off, reads_on
from trainer.solver.timers import bridge_time, longest_off_delay, walker_time

FOOT, INCH = 0.3048, 0.0254


def test_c053_measuring_wheel():
    # 'PLC Scan Time vs Input Frequency: Apply the 10x Rule' (controls knowledge base): a wheel of one pulse an inch at
    # 243 ft/min gives pulses about 20 ms apart, 48.6 Hz.
    rate = pulse_rate(243 * FOOT / 60, 12 / FOOT)
    assert rate == pytest.approx(48.6, abs=1e-9)
    assert 1000 / rate == pytest.approx(20.576, abs=1e-3)


def test_c054_shaft_encoder():
    # The same article prints 16,666 Hz (cut, not rounded) for 1000 pulses a turn at 1000 rpm.
    assert int(encoder_rate(1000, 1000 / 60) + 1e-9) == 16666


def test_c055_the_half_period_must_outlast_scan_and_filter():
    # 'PLC Scan Time Rule for High-Speed Input Signals' (controls knowledge base): the shorter of the on and the off
    # period counts, not the average. An even train of 20 ms halves is 25 Hz.
    assert scan_limit(0.015, 0.005) == pytest.approx(25)
    assert scan_limit(0.015, 0.005, 0.3) == pytest.approx(15)


def test_c056_ten_times_rule():
    # 'PLC Scan Time Rule for High-Speed Input Signals': for pulses 20 ms apart, a scan of 2 ms by the 10x rule.
    assert scan_time_for(50.0, 10) == pytest.approx(2e-3)
    assert scan_time_for(48.6, 10) == pytest.approx(2.0576e-3, abs=1e-7)


def test_c057_input_module():
    # Published analysis of a standard input module with 1 ms on-delay and 4 ms off-delay: least period 5 ms, 200 Hz.
    assert input_limit(1e-3, 4e-3) == pytest.approx(200)


def test_c058_a_count_is_off_by_less_than_one_pulse():
    # The ±1 count ambiguity of any electronic counter (from memory); strictly, because an edge on a pulse counts once.
    exact = np.linspace(20, 30, 997)[:, np.newaxis]
    counted = count_pulses(exact * INCH, 1 / INCH, np.linspace(0, 0.999, 101))
    assert np.abs(counted - exact).max() < 1
    bounds = count_bounds(exact * INCH, 1 / INCH)
    assert ((counted >= bounds.least) & (counted <= bounds.most)).all()


def test_c059_the_spread_of_a_count_is_that_of_a_triangle():
    # JCGM 100:2008 (GUM), 4.3.9: a triangular distribution of half-width a has the variance a²/6 (from memory). The
    # error of two edges, each rounded to a pulse, is such a triangle with a = 1.
    assert pytest.approx(0.408248, abs=1e-6) == SPREAD_OVER_ALL_LENGTHS
    parts = np.linspace(0, 1, 10_001)
    assert np.sqrt(np.mean(count_spread(parts + 60, 1.0) ** 2)) == pytest.approx(6**-0.5, abs=1e-4)


def test_c060_the_spread_of_one_length():
    # Standard deviation of a trial with two outcomes, √(p(1 − p)) (Bernoulli): p = 1/15, worked by hand √14/15.
    assert count_spread((60 + 1 / 15) * INCH, 1 / INCH) == pytest.approx(14**0.5 / 15, abs=1e-9)


def test_c061_unequal_delays_stretch_a_car():
    # Distance is speed times time, by hand: 12 in/s for 0.2 s.
    assert length_error(12 * INCH, 0.05, 0.25) / INCH == pytest.approx(2.4, abs=1e-9)


@pytest.mark.parametrize(
    ("feet_a_minute", "pitch", "cars"),
    [pytest.param(45, 27, 100, id="C062"), pytest.param(60, 25, 144, id="C063")],
)
def test_cars_an_hour(feet_a_minute, pitch, cars):
    # By hand: feet an hour over feet a car, 2700/27 and 3600/25.
    assert 3600 * throughput(feet_a_minute * FOOT / 60, pitch * FOOT) == pytest.approx(cars, abs=1e-9)


def test_c074_what_an_off_delay_bridges():
    # Distance is speed times time, by hand: 9 in/s for 0.5 s.
    assert travel(9 * INCH, 0.5) / INCH == pytest.approx(4.5, abs=1e-9)
    assert bridge_time(4.5 * INCH, 9 * INCH) == pytest.approx(0.5, abs=1e-9)


def test_c075_what_an_off_delay_must_stay_below():
    # The same, by hand: 36 in at 9 in/s.
    assert longest_off_delay(36 * INCH, 9 * INCH) == pytest.approx(4.0, abs=1e-9)


@pytest.mark.parametrize(
    ("input_type", "volts", "off", "on"),
    [
        ("1", -3, True, False),
        ("1", 5, True, False),
        ("1", 5.1, False, False),
        ("1", 14.9, False, False),
        ("1", 15, False, True),
        ("1", 30, False, True),
        ("3", 5, True, False),
        ("3", 10.9, False, False),
        ("3", 11, False, True),
        ("3", 30, False, True),
    ],
)
def test_c064_input_bands(input_type, volts, off, on):
    # IEC/EN 61131-2, as data sheets of 24 V DC input terminals print it: "0" -3 to +5 V; "1" +15 to +30 V (type 1), +11
    # to +30 V (type 3).
    assert (bool(reads_off(input_type, volts)), bool(reads_on(input_type, volts))) == (off, on)


@pytest.mark.parametrize(
    ("feet", "feet_per_second", "exact", "rounded_up"),
    [
        pytest.param(130, 3.5, 37.14, 38, id="C076"),
        pytest.param(130 + 60, 3.0, 63.33, 64, id="C077"),
        pytest.param(130, 4.0, 32.5, 33, id="C078"),
    ],
)
def test_walkers_by_the_signal_manual(feet, feet_per_second, exact, rounded_up):
    # MUTCD 2009 section 4E.06 paragraphs 7 and 14 and the 2003 edition's 4.0 ft/s, worked for a 130 ft crossing with
    # the button 60 ft away in a public road forum: clearance 38 s, total 64 s, formerly 33 s.
    time = walker_time(feet * FOOT, feet_per_second * FOOT)
    assert time == pytest.approx(exact, abs=0.005)
    assert np.ceil(time) == rounded_up


def test_c077_the_rest_is_walk():
    # The same example: walk 26 s = 64 - 38.
    total, clearance = (np.ceil(walker_time(f * FOOT, v * FOOT)) for f, v in ((190, 3.0), (130, 3.5)))
    assert total - clearance == 26


@pytest.mark.parametrize(
    ("depth", "feet_per_second", "time"),
    [pytest.param(0.2607, 3.5, 0.24438, id="C079"), pytest.param(0.5214, 3.0, 0.57021, id="C080")],
)
def test_how_long_a_walker_blocks_the_beam(depth, feet_per_second, time):
    # Body depths of 747 walkers in Delhi, 26.07 to 52.14 cm with baggage (abstract of the body-ellipse study), at the
    # speeds of MUTCD 2009 4E.06. The quotient is worked here by hand: 26.07/106.68 and 52.14/91.44.
    assert walker_time(depth, feet_per_second * FOOT) == pytest.approx(time, abs=1e-5)


def test_c130_reclaim_saves_most_of_the_water():
    # EPA, WaterSense at Work (2012), vehicle wash: friction conveyor 65.8 gal a vehicle without and 7.8 gal with
    # reclaim.
    assert 100 * share_saved(65.8, 7.8) == pytest.approx(88.146, abs=1e-3)


def test_c131_solution_sprayed_on_the_floor():
    # Rate times time, by hand: 36 in early and late together at 9 in/s is 4 s, at 8 gal/min 0.533333 gal a car; 200
    # cars waste 106.67 gal.
    gallon, inch = 231 * 0.0254**3, 0.0254
    wasted = solution_wasted(8 * gallon / 60, 9 * inch, 16 * inch, 20 * inch) / gallon
    assert wasted == pytest.approx(0.533333, abs=1e-6)
    assert 200 * wasted == pytest.approx(106.67, abs=5e-3)
