"""Wires, stored charge, voltage limits on a wet floor, and what an IP code promises."""

import re
from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
    BadInput,
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_between,
    require_from_zero,
    require_one_of,
)

COPPER_RESISTIVITY = 1.7241e-8  # ohm metre at 20 °C, International Annealed Copper Standard
COPPER_COEFFICIENT = 0.00393  # per °C at 20 °C, the same
CIRCULAR_MIL = np.pi / 4 * (0.0254e-3) ** 2  # m²
_KILOFOOT = 304.8  # m

# NEC (NFPA 70) chapter 9 table 8, uncoated copper at 75 °C (167 °F), ohm per 1000 ft: (solid, stranded).
NEC_RESISTANCE = {
    18: (7.77, 7.95),
    16: (4.89, 4.99),
    14: (3.07, 3.14),
    12: (1.93, 1.98),
    10: (1.21, 1.24),
}

# IEC 60228 class 5 (flexible), plain copper, most at 20 °C, ohm per km, by section in mm².
CLASS_5_RESISTANCE = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98}


def voltage_drop(current: Numbers, length: Numbers, resistance_per_length: Numbers) -> Numbers:
    """Voltage lost in a two-wire run, there and back [V], 2·I·L·r.

    current: [A], 0 or more
    length: one way [m], above 0
    resistance_per_length: of one conductor [ohm/m], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: Ohm's law.
    """
    require_from_zero("current", current, "A")
    require_above_zero("length", length, "m")
    require_above_zero("resistance_per_length", resistance_per_length, "ohm/m")
    return 2 * current * length * resistance_per_length


def short_distance(loop_resistance: Numbers, resistance_per_length: Numbers) -> Numbers:
    """Distance to a dead short between two conductors [m], R/(2·r).

    loop_resistance: measured from the near end, supply off [ohm], above 0
    resistance_per_length: of one conductor at the cable's temperature [ohm/m], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: Ohm's law.
    """
    require_above_zero("loop_resistance", loop_resistance, "ohm")
    require_above_zero("resistance_per_length", resistance_per_length, "ohm/m")
    return loop_resistance / (2 * resistance_per_length)


def short_distance_at(loop_resistance: Numbers, resistance_per_length: Numbers, celsius: Numbers) -> Numbers:
    """As short_distance, for a cable that is not at 20 °C [m]: a cold wire resists less, so the short is farther.

    loop_resistance: measured from the near end, supply off [ohm], above 0
    resistance_per_length: of one conductor at 20 °C [ohm/m], above 0
    celsius: temperature of the cable, a plain number of °C, -50 to 200
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: Ohm's law; temperature coefficient of annealed copper, 0.00393 per °C at 20 °C.
    """
    require_above_zero("resistance_per_length", resistance_per_length, "ohm/m")
    return short_distance(loop_resistance, resistance_at(resistance_per_length, celsius))


def k_form_drop(current: Numbers, length: Numbers, circular_mils: Numbers, k: Numbers) -> Numbers:
    """Voltage lost in a two-wire run by the electricians' form 2·K·I·L/cmil [V].

    current: [A], 0 or more
    length: one way [m], above 0
    circular_mils: cross-section of one conductor, a plain number of circular mils, above 0
    k: resistance per length of a wire of one circular mil [ohm/m], above 0; 12.9 ohm/ft for warm copper
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: the K form of published drop calculators; the same as voltage_drop with K/cmil.
    """
    require_above_zero("circular_mils", circular_mils)
    require_above_zero("k", k, "ohm/m")
    return voltage_drop(current, length, k / circular_mils)


def awg_diameter(gauge: Numbers) -> Numbers:
    """Diameter of a solid wire of an American wire gauge [m]: 0.005 in · 92^((36 − n)/39).

    gauge: whole number from −3 (4/0) to 40. Broadcasts. Raises BadInput.
    Source: ASTM B258 (the form is from memory; values agree with the printed wire tables).
    """
    gauges = as_floats("gauge", gauge)
    require(
        "gauge",
        gauge,
        (gauges >= -3) & (gauges <= 40) & (gauges == np.round(gauges)),
        "a whole number, -3 to 40",
    )
    diameter: Numbers = 0.005 * 0.0254 * 92 ** ((36 - gauges) / 39)
    return diameter


def awg_area(gauge: Numbers) -> Numbers:
    """Cross-section of a solid wire of an American wire gauge [m²]; gauge as awg_diameter; broadcasts."""
    return np.pi / 4 * awg_diameter(gauge) ** 2


def wire_resistance(
    area: Numbers, celsius: Numbers = 20.0, resistivity: Numbers = COPPER_RESISTIVITY
) -> Numbers:
    """Resistance per length of one conductor at a temperature [ohm/m].

    area: cross-section [m²], above 0
    celsius: temperature of the conductor, a plain number of °C, -50 to 200
    resistivity: at 20 °C [ohm m], above 0; annealed copper by default
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: International Annealed Copper Standard.
    """
    require_above_zero("area", area, "m²")
    require_above_zero("resistivity", resistivity, "ohm m")
    return resistance_at(resistivity / area, celsius)


def resistance_at(resistance_20: Numbers, celsius: Numbers) -> Numbers:
    """A copper resistance known at 20 °C (above 0, any unit) at another temperature, same unit.

    celsius: plain number of °C, -50 to 200. Broadcasts. Raises BadInput.
    Source: temperature coefficient of annealed copper, 0.00393 per °C at 20 °C.
    """
    require_above_zero("resistance_20", resistance_20, "ohm")
    _require_celsius(celsius)
    return resistance_20 * (1 + COPPER_COEFFICIENT * (celsius - 20))


def _require_celsius(celsius: Numbers) -> None:
    require_between("celsius", celsius, -50, 200, "from -50 to 200 °C")


def correction_to_20(celsius: Numbers) -> Numbers:
    """Factor that turns a copper resistance measured at a temperature into that at 20 °C, 250/(230 + t).

    celsius: plain number of °C, -50 to 200. Broadcasts. Raises BadInput. Source: IEC 60228, temperature correction.
    """
    _require_celsius(celsius)
    return 250 / (230 + celsius)


def nec_resistance(gauge: int, stranded: bool = True) -> float:
    """Resistance per length of uncoated copper at 75 °C [ohm/m]; gauge 18, 16, 14, 12 or 10. Raises BadInput.

    Source: NEC (NFPA 70) chapter 9 table 8, which is at 75 °C, not at 20 °C.
    """
    if gauge not in NEC_RESISTANCE:
        raise BadInput("gauge", gauge, "one of " + ", ".join(map(str, NEC_RESISTANCE)))
    return NEC_RESISTANCE[gauge][int(stranded)] / _KILOFOOT


def flexible_resistance(area: float) -> float:
    """Most resistance per length of a plain flexible copper conductor at 20 °C [ohm/m]; area [m²]. Raises BadInput.

    Sections of 0.5, 0.75, 1.0, 1.5 and 2.5 mm². Source: IEC 60228, class 5.
    """
    given = as_floats("area", area)
    for section, resistance in CLASS_5_RESISTANCE.items():
        if np.isclose(given, section * 1e-6, rtol=1e-6, atol=0):
            return resistance / 1000
    raise BadInput("area", given, "0.5, 0.75, 1.0, 1.5 or 2.5 mm²")


def ac_peak(rms: Numbers) -> Numbers:
    """Peak of a sine voltage [V] from its RMS value [V, 0 or more]; broadcasts."""
    require_from_zero("rms", rms, "V")
    peak: Numbers = np.sqrt(2) * rms
    return peak


def discharge_time(
    resistance: Numbers, capacitance: Numbers, from_voltage: Numbers, to_voltage: Numbers
) -> Numbers:
    """Time for a capacitor to discharge through a resistor [s], R·C·ln(from/to).

    resistance: [ohm], above 0
    capacitance: [F], above 0
    from_voltage, to_voltage: [V], above 0, to_voltage at most from_voltage
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: exponential discharge.
    """
    require_above_zero("resistance", resistance, "ohm")
    require_above_zero("capacitance", capacitance, "F")
    return resistance * capacitance * _log_fall(from_voltage, to_voltage)


def largest_bleed_resistor(
    capacitance: Numbers, from_voltage: Numbers, to_voltage: Numbers, time: Numbers
) -> Numbers:
    """Largest resistor that discharges a capacitor within a time [ohm].

    capacitance: [F], above 0; from_voltage, to_voltage: [V], above 0, to_voltage below from_voltage; time: [s], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput. Source: exponential discharge.
    """
    require_above_zero("capacitance", capacitance, "F")
    require_above_zero("time", time, "s")
    fall = _log_fall(from_voltage, to_voltage)
    require("to_voltage", to_voltage, np.greater(fall, 0), "below from_voltage")
    return time / (capacitance * fall)


def _log_fall(from_voltage: Numbers, to_voltage: Numbers) -> Numbers:
    high = require_above_zero("from_voltage", from_voltage, "V")
    low = require_above_zero("to_voltage", to_voltage, "V")
    require("to_voltage", low, low <= high, "at most from_voltage")
    fall: Numbers = np.log(high / low)
    return fall


def stored_charge(capacitance: Numbers, voltage: Numbers) -> Numbers:
    """Charge of a capacitor [C], C·V; capacitance [F] above 0, voltage [V] 0 or more; broadcasts. Raises BadInput."""
    require_above_zero("capacitance", capacitance, "F")
    require_from_zero("voltage", voltage, "V")
    return capacitance * voltage


def capacitance_for(charge: Numbers, voltage: Numbers) -> Numbers:
    """Capacitor that holds a charge at a voltage [F], Q/V: with 60 µC, the largest that is exempt at that voltage.

    charge: [C], above 0; voltage: [V], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: definition of capacitance; 60 µC: EN/IEC 60204-1, 6.2.4, as restated in public.
    """
    require_above_zero("charge", charge, "C")
    require_above_zero("voltage", voltage, "V")
    return charge / voltage


def stored_energy(capacitance: Numbers, voltage: Numbers) -> Numbers:
    """Energy in a charged capacitor [J], C·V²/2; capacitance [F] above 0, voltage [V] 0 or more; broadcasts."""
    require_above_zero("capacitance", capacitance, "F")
    require_from_zero("voltage", voltage, "V")
    return capacitance * voltage**2 / 2


@dataclass(frozen=True)
class VoltageLimit:
    """Highest AC (rms) and ripple-free DC voltage of a PELV circuit [V]."""

    ac: float
    dc: float


# EN/IEC 60204-1, 6.4.1, as quoted in public; the standard itself was not open to us.
PELV_LIMITS = {"dry": VoltageLimit(ac=25.0, dc=60.0), "wet": VoltageLimit(ac=6.0, dc=15.0)}


def pelv_limit(condition: str) -> VoltageLimit:
    """Voltage limits of PELV: `dry` (dry place, no large contact area) or `wet` (all other cases, so a wash bay).

    Raises BadInput. Source: EN/IEC 60204-1, 6.4.1.
    """
    require_one_of("condition", condition, tuple(PELV_LIMITS))
    return PELV_LIMITS[condition]


def may_stay_energized(voltage: float, added_burn_exposure: bool) -> bool:
    """Whether parts at a voltage to ground [V, 0 or more] need not be de-energised before work on or near them.

    Only below 50 V, and only where that adds no exposure to burns or to explosion from an arc. Raises BadInput.
    Source: 29 CFR 1910.333(a)(1), 2015 edition.
    """
    require_from_zero("voltage", voltage, "V")
    return voltage < 50 and not added_burn_exposure


RESIDUAL_VOLTAGE = 60.0  # V; EN/IEC 60204-1, 6.2.4
RESIDUAL_TIME = {"fixed": 5.0, "plug": 1.0}  # s; the same: after switching off, or with bare pins of a plug
RESIDUAL_CHARGE = 60e-6  # C; the same: less charge is exempt


@dataclass(frozen=True)
class ResidualVoltage:
    """Time to fall to 60 V [s], whether the charge is small enough to be exempt, and whether the rule is met."""

    time: float
    exempt: bool
    met: bool


def residual_voltage(
    capacitance: float, resistance: float, voltage: float, connection: str = "fixed"
) -> ResidualVoltage:
    """Whether stored charge falls to 60 V in time; if not, the cabinet needs a warning with the waiting time.

    capacitance: [F], above 0; resistance: that bleeds it [ohm], above 0; voltage: before switching off [V], above 0
    connection: fixed (5 s) or plug (1 s, bare pins)
    Raises BadInput. Source: EN/IEC 60204-1, 6.2.4, as restated in public; the standard was not open to us.
    """
    require_one_of("connection", connection, tuple(RESIDUAL_TIME))
    require_above_zero("voltage", voltage, "V")
    end = min(voltage, RESIDUAL_VOLTAGE)
    time = float(discharge_time(resistance, capacitance, voltage, end))
    # 60 uC is given in decimals: rounding of C·V must not decide.
    exempt = capacitance * voltage <= RESIDUAL_CHARGE * (1 + 1e-12)
    return ResidualVoltage(time, exempt, exempt or time <= RESIDUAL_TIME[connection])


# IEC 60529 as restated in public: nozzle flow of the two jet tests, in litres a minute.
JET_FLOW = {5: 12.5, 6: 100.0}
_LAST_NESTED = 6


@dataclass(frozen=True)
class Enclosure:
    """What IP codes promise: numeral for solids, numerals for water that were tested or are implied."""

    solids: int | None
    water: frozenset[int]

    @property
    def dust_tight(self) -> bool:
        """Whether no dust gets in (first numeral 6)."""
        return self.solids == 6

    @property
    def stands_jets(self) -> bool:
        """Whether the hand-held jet of a wash bay is covered: second numeral 6 or 9 tested, or 6 implied."""
        return bool(self.water & {6, 9})


def decode_ip(code: str) -> Enclosure:
    """What one IP code, or several joined by '/', promises: `IP67`, `IPX5`, `IP66/IP67`, `IP69K`.

    A second numeral up to 6 implies the lower ones; 7, 8 and 9 imply nothing below them, so IP67 is no promise against
    jets. Raises BadInput. Source: IEC 60529, as restated in public (up to 6 read; 7 to 9 from memory).
    """
    water: set[int] = set()
    solids: int | None = None
    for part in code.upper().replace(" ", "").split("/"):
        found = re.fullmatch(r"(?:IP)?([0-6X])([0-9X])(?:K|[A-D]?[HMSW]?)", part)
        if not found or part in {"IPXX", "XX"}:
            raise BadInput("code", code, "an IP code such as IP67, IPX5 or IP66/IP67")
        first, second = found.groups()
        solids = solids if first == "X" else max(solids or 0, int(first))
        if second != "X":
            water |= set(range(int(second) + 1)) if int(second) <= _LAST_NESTED else {int(second)}
    return Enclosure(solids, frozenset(water))
