"""Voltage limits, stored charge and enclosures against the standards that set them."""

import pytest

from trainer.solver.electrical import (
    JET_FLOW,
    ac_peak,
    capacitance_for,
    decode_ip,
    discharge_time,
    largest_bleed_resistor,
    may_stay_energized,
    pelv_limit,
    residual_voltage,
    stored_charge,
    stored_energy,
)


def test_c098_limits_on_a_wet_floor():
    # EN/IEC 60204-1, 6.4.1, as quoted on the IEEE product-safety list emc-pstc: 6 V AC or 15 V DC in all other cases.
    assert (pelv_limit("wet").ac, pelv_limit("wet").dc) == (6, 15)


def test_c099_limits_where_it_is_dry():
    # The same clause: 25 V AC or 60 V ripple-free DC, dry and no large contact area with the body.
    assert (pelv_limit("dry").ac, pelv_limit("dry").dc) == (25, 60)


@pytest.mark.parametrize(
    ("seconds", "connection", "met"),
    [(4.99, "fixed", True), (5.01, "fixed", False), (0.99, "plug", True), (1.01, "plug", False)],
)
def test_c100_sixty_volts_in_time(seconds, connection, met):
    # EN/IEC 60204-1, 6.2.4, restated in 'Protection against residual voltage' (sdev.dk, 2011): down to 60 V within 5
    # s, or within 1 s where pulling a plug bares the pins.
    resistor = largest_bleed_resistor(1e-3, 340.0, 60.0, seconds)
    assert residual_voltage(1e-3, resistor, 340.0, connection).met is met


def test_c100_and_c105_a_small_charge_is_exempt():
    # EN/IEC 60204-1, 6.2.4: stored charge of 60 uC or less; at 340 V that is 0.176471 uF.
    assert capacitance_for(60e-6, 340.0) == pytest.approx(0.176471e-6, abs=1e-12)
    assert stored_charge(0.176471e-6, 340.0) == pytest.approx(60e-6, rel=1e-5)
    assert residual_voltage(0.176470e-6, 1e9, 340.0).exempt
    assert not residual_voltage(0.176472e-6, 1e9, 340.0).exempt
    assert not residual_voltage(0.176472e-6, 1e9, 340.0).met


@pytest.mark.parametrize(
    ("microfarads", "start", "end", "seconds"),
    [
        pytest.param(1000, 325, 60, 16.89481, id="C101"),
        pytest.param(100, 340, 50, 1.91692, id="C102"),
    ],
)
def test_discharge_through_ten_kilohms(microfarads, start, end, seconds):
    # Vc = V exp(-t/RC), printed in 'Protection against residual voltage' (sdev.dk, 2011), solved for t. Checked
    # forwards.
    time = discharge_time(10e3, microfarads * 1e-6, start, end)
    assert time == pytest.approx(seconds, abs=1e-4)
    assert start * 2.718281828459045 ** (-time / (10e3 * microfarads * 1e-6)) == pytest.approx(end)


def test_c101_such_a_cabinet_fails_the_five_seconds():
    # EN/IEC 60204-1, 6.2.4 with the circuit of C101.
    assert not residual_voltage(1e-3, 10e3, 325.0).met


def test_c103_and_c104_largest_resistor_and_energy():
    # The same formula solved for R (2882.51 ohm), and C V^2/2 = 57.8 J.
    assert largest_bleed_resistor(1e-3, 340.0, 60.0, 5.0) == pytest.approx(2882.51, abs=0.01)
    assert stored_energy(1e-3, 340.0) == pytest.approx(57.8)


@pytest.mark.parametrize(
    ("volts", "added_exposure", "may_stay"), [(49.9, False, True), (49.9, True, False), (50, False, False)]
)
def test_c106_us_line_of_fifty_volts(volts, added_exposure, may_stay):
    # 29 CFR 1910.333(a)(1) (2015 edition): live parts below 50 V to ground need not be de-energised if there is no
    # added exposure to burns or to explosion from arcs.
    assert may_stay_energized(volts, added_exposure) is may_stay


def test_c097_peak_of_24_volts_ac_is_no_24_volts():
    # Peak of a sine is the square root of two times its RMS value (definition of RMS).
    assert ac_peak(24.0) == pytest.approx(33.94113, abs=1e-4)


def test_c107_jets():
    # IEC 60529, numerals 5 and 6, as restated in public: 12.5 and 100 litres a minute.
    assert (JET_FLOW[5], JET_FLOW[6]) == (12.5, 100)
    assert {5, 6} <= decode_ip("IP66").water


@pytest.mark.parametrize(
    ("code", "numeral", "implied"),
    [
        ("IP66", 5, True),
        ("IP66", 1, True),
        ("IP65", 6, False),
        ("IP67", 6, False),
        ("IP67", 5, False),
        ("IP68", 6, False),
        ("IP66/IP67", 6, True),
    ],
)
def test_c108_numerals_above_six_imply_none_below(code, numeral, implied):
    # IEC 60529 as restated in public: compliance with a numeral up to 6 implies the lower ones; 7 and 8 do not imply 5
    # and 6, so such an enclosure is marked twice, as in IP66/IP67.
    assert (numeral in decode_ip(code).water) is implied
