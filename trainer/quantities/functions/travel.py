"""Pulses, lengths and delays."""

from __future__ import annotations

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    CHAIN,
    DEFINITION,
    FROM_ZERO,
    PER_LENGTH,
    POSITIVE,
    PULSES,
    Published,
    Result,
    number,
    result,
    structure,
    word,
)
from trainer.quantities.units import unit
from trainer.solver import conveyor, timers

TABLE = (
    Published(
        "vehicle_length", conveyor.vehicle_length, (PULSES, PER_LENGTH),
        (result("length", "ft"), result("shortest", "ft"), result("longest", "ft")),
        "counting: the true length lies strictly within one pulse of the count",
        "Length that a count of pulses stands for, with strict bounds.",
    ),
    Published(
        "pulse_rate", conveyor.pulse_rate, (CHAIN, PER_LENGTH), (result("frequency", "Hz"),), DEFINITION,
        "Pulse frequency of a moving conveyor.",
    ),
    Published(
        "input_limit", conveyor.input_limit,
        (number("on_delay", "ms", POSITIVE), number("off_delay", "ms", POSITIVE)), (result("frequency", "Hz"),),
        DEFINITION, "Highest pulse frequency that an input with these delays passes.",
    ),
    Published(
        "length_error", conveyor.length_error,
        (CHAIN, number("on_delay", "ms", FROM_ZERO), number("off_delay", "ms", FROM_ZERO)),
        (result("error", "in"),), DEFINITION,
        "Measured minus true length when both edges come late and nothing is corrected.",
    ),
    Published(
        "walker_time", timers.walker_time,
        (number("depth", "in", POSITIVE), number("speed", "ft/s", POSITIVE)), (result("time", "s"),), DEFINITION,
        "Time for which a walker blocks the beam.",
    ),
    Published(
        "longest_off_delay", timers.longest_off_delay, (number("gap", "ft", POSITIVE), CHAIN),
        (result("time", "s"),), DEFINITION,
        "Time below which an off-delay must stay to keep two vehicles apart.",
    ),
    Published(
        "bridge_time", timers.bridge_time, (number("length", "in", POSITIVE), CHAIN), (result("time", "s"),),
        DEFINITION, "Least off-delay that bridges a hole in a vehicle.",
    ),
    Published(
        "timer", structured.timer,
        (word("kind", "TON", "TOF", "TP"), number("preset", "s", FROM_ZERO),
         structure("spans", "s", "a sorted list of [on, off] pairs in s")),
        (Result("spans", d.TIME, unit("s"), structure=True),), "timing diagrams of IEC 61131-3",
        "Spans at which the output Q of a timer is on.",
    ),
)  # fmt: skip
