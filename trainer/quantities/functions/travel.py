"""Pulses, lengths and delays."""

from __future__ import annotations

import dataclasses

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
from trainer.solver import applications, conveyor, delays, timers

_WAY = number("distance", "ft", POSITIVE)
_LEAD = number("lead", "in", FROM_ZERO)
_TRAIL = number("trail", "in", FROM_ZERO)
_LENGTH = number("length", "ft", POSITIVE)
_FLOW = number("flow", "gal/min", POSITIVE)
_TOLERANCE = number("tolerance", "%", "a share from 0 to below 1")
_FROM_NOSE_TO_TAIL = (
    number("distance", "ft", POSITIVE),
    number("lead", "in", "from 0 to distance"),
    number("trail", "in", "finite, above minus the length"),
    _LENGTH,
)
_FOUR_DEMANDS = (
    number("walker", "s", FROM_ZERO),
    number("bridge", "in", FROM_ZERO),
    number("gap", "ft", POSITIVE),
    number("nose_error", "in", POSITIVE),
    CHAIN,
    _TOLERANCE,
)
_BRIEF = "by definition of the delays; the chain is taken at its worse end for each demand"
_SPANS = structure("spans", "s", "a sorted list of [on, off] pairs in s")

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
    Published(
        "scan_limit", conveyor.scan_limit,
        (number("scan_time", "ms", POSITIVE), number("filter_time", "ms", FROM_ZERO),
         dataclasses.replace(number("duty", "%", "above 0 and below 1"), optional=True)),
        (result("frequency", "Hz"),), "both parts of a pulse must outlast scan and filter together",
        "Pulse frequency below which a scanned input surely sees every pulse.",
    ),
    Published(
        "count_bounds", conveyor.count_bounds, (_LENGTH, PER_LENGTH), (result("least", "1"), result("most", "1")),
        DEFINITION, "Fewest and most pulses that one length can give.",
    ),
    Published(
        "count_spread", conveyor.count_spread, (_LENGTH, PER_LENGTH), (result("spread", "1"),),
        "standard deviation of a count with two values (Bernoulli)",
        "Standard deviation of the pulses of one length, wherever the first one falls.",
    ),
    Published(
        "cars_per_hour", conveyor.throughput, (CHAIN, number("pitch", "ft", POSITIVE)), (result("rate", "cars/h"),),
        DEFINITION, "Cars in a time when the line is full.",
    ),
    Published(
        "delay_window", delays.delay_window, _FOUR_DEMANDS,
        (result("on_delay_least", "s"), result("on_delay_most", "s"), result("off_delay_least", "s"),
         result("off_delay_most", "s")),
        _BRIEF, "Least and most of both delays that ignore a walker, bridge a hole, keep cars apart, report the nose.",
    ),
    Published(
        "recommended_delays", delays.recommended_delays, _FOUR_DEMANDS,
        (result("on_delay", "s"), result("off_delay", "s"), result("slack", "s")), _BRIEF,
        "The middle of the delay window, and how far either delay may drift from it.",
    ),
    Published(
        "delay_region", structured.delay_region,
        (structure("demands", "1", "a list of {kind, amount, name?}: " + ", ".join(delays.DEMANDS)), CHAIN, _TOLERANCE,
         dataclasses.replace(number("scan_time", "ms", FROM_ZERO), optional=True)),
        tuple(Result(name, d.TIME, unit("s"), structure=True) for name in ("corners", "recommended"))
        + tuple(Result(name, d.PLAIN, unit("1"), structure=True) for name in ("binding", "conflict")),
        _BRIEF, "All pairs of on-delay and off-delay that meet every demand; demands are told by their place, from 0.",
    ),
    Published(
        "what_counts", structured.what_counts,
        (number("on_delay", "s", FROM_ZERO), number("off_delay", "s", FROM_ZERO), _SPANS),
        (Result("count", d.PLAIN, unit("1"), structure=True), Result("spans", d.TIME, unit("s"), structure=True),
         Result("belongs", d.PLAIN, unit("1"), structure=True)),
        DEFINITION, "What both delays make of a recorded trace: vehicles, when the output is on, whose each block is.",
    ),
    Published(
        "application_window", applications.application_window, (*_FROM_NOSE_TO_TAIL, PER_LENGTH),
        (result("on_pulse", "1"), result("off_pulse", "1"), result("on_travel", "ft"), result("off_travel", "ft")),
        DEFINITION, "Pulse and travel of the nose at which a device opens and closes.",
    ),
    Published(
        "timed_window", applications.timed_window, (*_FROM_NOSE_TO_TAIL, CHAIN, _TOLERANCE),
        (result("on_time", "s"), result("off_time", "s"), result("least_lead", "in"), result("most_lead", "in"),
         result("least_trail", "in"), result("most_trail", "in")),
        DEFINITION, "A device on timers: settings, and what a fast or slow chain leaves of lead and trail.",
    ),
    Published(
        "timer_allowance", applications.timer_allowance, (_WAY, _LENGTH, _TOLERANCE),
        (result("lead", "in"), result("trail", "in")), DEFINITION,
        "Least lead and trail with which timers cover a whole vehicle, however the chain runs.",
    ),
    Published(
        "wheel_window", applications.wheel_window,
        (_WAY, number("axle", "in", FROM_ZERO), number("radius", "in", POSITIVE),
         number("height", "in", "from 0 to twice the radius"), _LEAD, _TRAIL, PER_LENGTH),
        (result("on_pulse", "1"), result("off_pulse", "1"), result("on_travel", "ft"), result("off_travel", "ft"),
         result("least_lead", "in"), result("least_trail", "in")),
        "a chord halved by the diameter (Euclid, Elements III.35)",
        "Pulse and travel of the nose at which a device that follows one wheel opens and closes.",
    ),
    Published(
        "solution_used", applications.solution_used, (_FLOW, CHAIN, _LEAD, _TRAIL, _LENGTH),
        (result("volume", "gal"),), DEFINITION, "Solution that one vehicle takes.",
    ),
    Published(
        "solution_wasted", applications.solution_wasted, (_FLOW, CHAIN, _LEAD, _TRAIL), (result("volume", "gal"),),
        DEFINITION, "Solution that misses the vehicle, early on and late off together.",
    ),
)  # fmt: skip
