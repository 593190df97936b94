"""Wires and stored charge."""

from __future__ import annotations

from trainer.quantities.functions.entries import (
    CAPACITANCE,
    CELSIUS,
    DECAY,
    FROM_ZERO,
    OHM,
    POSITIVE,
    WIRE,
    Published,
    number,
    result,
)
from trainer.solver import electrical

TABLE = (
    Published(
        "voltage_drop", electrical.voltage_drop,
        (number("current", "mA", FROM_ZERO), number("length", "ft", POSITIVE), WIRE), (result("drop", "V"),), OHM,
        "Voltage lost in a two-wire run, there and back.",
    ),
    Published(
        "short_distance", electrical.short_distance, (number("loop_resistance", "ohm", POSITIVE), WIRE),
        (result("distance", "ft"),), OHM, "Distance to a dead short between two conductors.",
    ),
    Published(
        "short_distance_at", electrical.short_distance_at,
        (number("loop_resistance", "ohm", POSITIVE),
         number("resistance_per_length", "ohm/kft", f"{POSITIVE}, at 20 °C"), CELSIUS),
        (result("distance", "ft"),), OHM + "; temperature coefficient of annealed copper, 0.00393 per °C at 20 °C",
        "Distance to a dead short in a copper cable that is not at 20 °C.",
    ),
    Published(
        "resistance_at", electrical.resistance_at, (number("resistance_20", "ohm", POSITIVE), CELSIUS),
        (result("resistance", "ohm"),), "temperature coefficient of annealed copper, 0.00393 per °C at 20 °C",
        "A copper resistance known at 20 °C at another temperature.",
    ),
    Published(
        "k_form_drop", electrical.k_form_drop,
        (number("current", "A", FROM_ZERO), number("length", "ft", POSITIVE), number("circular_mils", "1", POSITIVE),
         number("k", "ohm/ft", POSITIVE)),
        (result("drop", "V"),), OHM,
        "Voltage lost in a two-wire run by circular mils; k is the resistance per length of a wire of one.",
    ),
    Published(
        "ac_peak", electrical.ac_peak, (number("rms", "V", FROM_ZERO),), (result("peak", "V"),),
        "root mean square of a sine", "Peak of a sine voltage from its RMS value.",
    ),
    Published(
        "discharge_time", electrical.discharge_time,
        (number("resistance", "ohm", POSITIVE), CAPACITANCE, number("from_voltage", "V", POSITIVE),
         number("to_voltage", "V", "above 0 and at most from_voltage")),
        (result("time", "s"),), DECAY, "Time for a capacitor to discharge through a resistor.",
    ),
    Published(
        "largest_bleed_resistor", electrical.largest_bleed_resistor,
        (CAPACITANCE, number("from_voltage", "V", POSITIVE),
         number("to_voltage", "V", "above 0 and below from_voltage"), number("time", "s", POSITIVE)),
        (result("resistance", "ohm"),), DECAY, "Largest resistor that discharges a capacitor within a time.",
    ),
    Published(
        "stored_charge", electrical.stored_charge, (CAPACITANCE, number("voltage", "V", FROM_ZERO)),
        (result("charge", "uC"),), "definition of capacitance", "Charge of a capacitor.",
    ),
    Published(
        "capacitance_for", electrical.capacitance_for,
        (number("charge", "uC", POSITIVE), number("voltage", "V", POSITIVE)), (result("capacitance", "uF"),),
        "definition of capacitance", "Capacitor that holds a charge at a voltage.",
    ),
    Published(
        "stored_energy", electrical.stored_energy, (CAPACITANCE, number("voltage", "V", FROM_ZERO)),
        (result("energy", "J"),), "energy of a charged capacitor", "Energy in a charged capacitor.",
    ),
)  # fmt: skip
