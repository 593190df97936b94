"""Wires and stored charge."""

from __future__ import annotations

from trainer.quantities.functions.entries import (
    CAPACITANCE,
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
        "stored_energy", electrical.stored_energy, (CAPACITANCE, number("voltage", "V", FROM_ZERO)),
        (result("energy", "J"),), "energy of a charged capacitor", "Energy in a charged capacitor.",
    ),
)  # fmt: skip
