"""Wire sizes, resistances and drops against handbook tables."""

import numpy as np
import pytest

from trainer.solver.electrical import (
    CIRCULAR_MIL,
    awg_area,
    awg_diameter,
    correction_to_20,
    flexible_resistance,
    k_form_drop,
    nec_resistance,
    resistance_at,
    short_distance,
    short_distance_at,
    voltage_drop,
    wire_resistance,
)

INCH, FOOT = 0.0254, 0.3048
KILOFOOT = 1000 * FOOT


@pytest.mark.parametrize(
    ("gauge", "inches"),
    [
        pytest.param(24, 0.0201, id="C082-24"),
        pytest.param(22, 0.02535, id="C083"),
        pytest.param(20, 0.03196, id="C082-20"),
        pytest.param(18, 0.0403, id="C082"),
        pytest.param(16, 0.05082, id="C082-16"),
        pytest.param(14, 0.06408, id="C082-14"),
        pytest.param(12, 0.0808, id="C082-12"),
        pytest.param(10, 0.10189, id="C082-10"),
    ],
)
def test_diameter(gauge, inches):
    # American Wire Gauge table of HyperPhysics (Georgia State University), after the National Bureau of Standards'
    # copper wire tables; printed to four or five decimals.
    assert awg_diameter(gauge) / INCH == pytest.approx(inches, abs=6e-5)


@pytest.mark.parametrize(
    ("gauge", "circular_mils"),
    [(18, 1624.3), (16, 2582.9), (14, 4106.8), pytest.param(12, 6529, id="C084"), (10, 10381)],
)
def test_area(gauge, circular_mils):
    # The same table; NEC (NFPA 70) chapter 9 table 8 prints 6530 for 12 AWG.
    assert awg_area(gauge) / CIRCULAR_MIL == pytest.approx(circular_mils, rel=4e-4)


@pytest.mark.parametrize(
    ("gauge", "ohms"),
    [
        (24, 25.67),
        pytest.param(22, 16.14, id="C085"),
        (20, 10.15),
        pytest.param(18, 6.385, id="C086"),
        (16, 4.016),
        (14, 2.525),
        (12, 1.588),
        (10, 0.9989),
    ],
)
def test_resistance_at_20_degrees(gauge, ohms):
    # HyperPhysics, American Wire Gauge table, ohm per 1000 ft at 20 °C. Resistivity 1.7241e-8 ohm m is the IACS value.
    assert wire_resistance(awg_area(gauge)) * KILOFOOT == pytest.approx(ohms, rel=2e-3)


@pytest.mark.parametrize(
    ("gauge", "ohms"),
    [
        pytest.param(18, 7.77, id="C087"),
        (16, 4.89),
        pytest.param(14, 3.07, id="C088"),
        (12, 1.93),
        (10, 1.21),
    ],
)
def test_resistance_at_75_degrees(gauge, ohms):
    # NEC (NFPA 70) chapter 9 table 8, solid uncoated copper, 75 °C, ohm per 1000 ft: two sources meet, because ours
    # starts from the resistivity at 20 °C. The table is printed to two decimals.
    worked_out = wire_resistance(awg_area(gauge), 75.0) * KILOFOOT
    assert worked_out == pytest.approx(ohms, abs=0.0075)
    assert nec_resistance(gauge, stranded=False) * KILOFOOT == pytest.approx(ohms)


@pytest.mark.parametrize(("gauge", "ohms"), [(18, 7.95), (16, 4.99), (14, 3.14), (12, 1.98), (10, 1.24)])
def test_c089_stranded_at_75_degrees(gauge, ohms):
    # NEC (NFPA 70) chapter 9 table 8, stranded uncoated copper, 75 °C. Lay makes strands about 2 % longer than the
    # wire.
    assert nec_resistance(gauge) * KILOFOOT == pytest.approx(ohms)
    assert nec_resistance(gauge) / nec_resistance(gauge, stranded=False) == pytest.approx(1.02, abs=0.006)


@pytest.mark.parametrize(
    ("square_millimetres", "ohms"), [(0.5, 39.0), (0.75, 26.0), (1.0, 19.5), (1.5, 13.3), (2.5, 7.98)]
)
def test_c090_flexible_conductors(square_millimetres, ohms):
    # IEC 60228, class 5, plain copper, most at 20 °C, ohm per km, as restated in public cable tables. The standard's
    # maximum must lie above what the nominal section has as a solid wire.
    resistance = flexible_resistance(square_millimetres * 1e-6)
    assert resistance * 1000 == pytest.approx(ohms)
    assert 1.0 < resistance / wire_resistance(square_millimetres * 1e-6) < 1.2


@pytest.mark.parametrize(("celsius", "factor"), [(5, 1.064), (35, 0.943), (50, 0.893), (75, 0.820)])
def test_c091_correction_to_20_degrees(celsius, factor):
    # IEC 60228, temperature correction factors, three decimals. The copper coefficient, a second way, agrees to 1 %.
    assert correction_to_20(celsius) == pytest.approx(factor, abs=5e-4)
    assert 1 / resistance_at(1.0, celsius) == pytest.approx(factor, rel=1e-2)


def test_drop_of_a_training_example():
    # Electrician's continuing-education page ('weltrain05', electrician2.com): 100 ft of two-wire 16 AWG at 4 A by NEC
    # table 8, 4.99 ohm per 1000 ft, prints 4.0 V, 16.7 % of 24 V.
    drop = voltage_drop(4.0, 100 * FOOT, nec_resistance(16))
    assert drop == pytest.approx(4.0, abs=0.05)
    assert 100 * drop / 24 == pytest.approx(16.7, abs=0.1)


@pytest.mark.parametrize(
    ("amperes", "feet", "ohms", "volts"),
    [pytest.param(0.03, 100, 16.14, 0.09684, id="C092"), pytest.param(0.5, 500, 6.385, 3.1925, id="C093")],
)
def test_drop_with_handbook_resistances(amperes, feet, ohms, volts):
    # 2 I L r with r from HyperPhysics' American Wire Gauge table (20 °C); the product worked by hand.
    assert voltage_drop(amperes, feet * FOOT, ohms / KILOFOOT) == pytest.approx(volts, abs=1e-9)


def test_c094_drop_in_circular_mils():
    # Electricians' form 2 K I L / cmil with K = 12.9 ohm cmil/ft for copper (the rule of published drop calculators),
    # here as a resistivity and an area. K stands for warm copper: 12.9 against 10.37 at 20 °C.
    drop = k_form_drop(16.0, 150 * FOOT, 6530, 12.9 / FOOT)
    assert drop == pytest.approx(9.48239, abs=1e-4)
    per_metre = wire_resistance(6530 * CIRCULAR_MIL, resistivity=12.9 * CIRCULAR_MIL / FOOT)
    assert voltage_drop(16.0, 150 * FOOT, per_metre) == pytest.approx(2 * 12.9 * 16 * 150 / 6530, rel=1e-12)
    in_circular_mils = wire_resistance(CIRCULAR_MIL) * FOOT
    assert in_circular_mils == pytest.approx(10.37, abs=5e-3)


def test_c095_and_c096_a_short_found_cold_is_nearer_than_it_seems():
    # HyperPhysics' 16.14 ohm per 1000 ft for 22 AWG; a loop of 1.9368 ohm is 60.0 ft at 20 °C and, by the coefficient
    # of annealed copper, 63.76 ft at 5 °C.
    at_20 = 16.14 / KILOFOOT
    assert short_distance(1.9368, at_20) / FOOT == pytest.approx(60.0, abs=1e-9)
    cold = short_distance(1.9368, resistance_at(at_20, 5.0)) / FOOT
    assert cold == pytest.approx(60.0 / (1 - 0.00393 * 15), rel=1e-12)
    assert np.round(cold, 2) == 63.76
    assert short_distance_at(1.9368, at_20, 5.0) / FOOT == pytest.approx(63.7586, abs=1e-3)
    assert short_distance_at(1.9368, at_20, 20.0) / FOOT == pytest.approx(60.0, abs=1e-3)
