"""What a conveyor's pulses tell: lengths and their bounds, rates, application windows, solution and throughput."""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
    Numbers,
    as_floats,
    require,
    require_above_zero,
    require_finite,
    require_from_zero,
    require_whole,
)

SPREAD_OVER_ALL_LENGTHS = 1 / np.sqrt(
    6
)  # pulses; a count's error over all lengths and phases is triangular on (-1, 1)
# Pulses: far above the rounding of floats, far below anything a conveyor does. A whole number of pulses stays whole.
_ROUNDING = 1e-9


@dataclass(frozen=True)
class VehicleLength:
    """Length that a count stands for [m], and the strict bounds between which the true length lies [m]."""

    length: Numbers
    shortest: Numbers
    longest: Numbers


@dataclass(frozen=True)
class CountBounds:
    """Least and most pulses that one length can give, over all phases."""

    least: Numbers
    most: Numbers


@dataclass(frozen=True)
class Calibration:
    """Pulses per length from a measured run [1/m], and its strict bounds from the count alone [1/m]."""

    pulses_per_length: Numbers
    least: Numbers
    most: Numbers


@dataclass(frozen=True)
class ApplicationWindow:
    """Travel of the nose past the eye [m] and whole pulse since then, at which a device goes on and off."""

    on_travel: Numbers
    off_travel: Numbers
    on_pulse: Numbers
    off_pulse: Numbers


def vehicle_length(pulses: Numbers, pulses_per_length: Numbers) -> VehicleLength:
    """Length of what blocked the eye for a whole number of pulses, with strict bounds [m].

    pulses: pulses counted while blocked, a whole number from 1
    pulses_per_length: pulses per length of travel [1/m], above 0
    The first and last pulse fall anywhere, so the true length lies strictly within one pulse of the count.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    require_whole("pulses", pulses)
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    return VehicleLength(
        length=pulses / pulses_per_length,
        shortest=(pulses - 1) / pulses_per_length,
        longest=(pulses + 1) / pulses_per_length,
    )


def count_pulses(length: Numbers, pulses_per_length: Numbers, phase: Numbers) -> Numbers:
    """Pulses counted while a length passes the eye.

    length: what passes [m], above 0
    pulses_per_length: pulses per length of travel [1/m], above 0
    phase: share of a pulse already travelled when the eye is blocked, from 0 to below 1
    Inputs broadcast; the result, whole numbers, has their broadcast shape. Raises BadInput.
    """
    require_above_zero("length", length, "m")
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    phases = as_floats("phase", phase)
    require("phase", phase, (phases >= 0) & (phases < 1), "from 0 to below 1")
    count: Numbers = np.floor(length * pulses_per_length + phase + _ROUNDING)
    return count


def count_bounds(length: Numbers, pulses_per_length: Numbers) -> CountBounds:
    """Least and most pulses that a length can give: its exact number of pulses, rounded down and up.

    length: what passes [m], above 0
    pulses_per_length: pulses per length of travel [1/m], above 0
    Inputs broadcast; both results have their broadcast shape. Raises BadInput.
    """
    require_above_zero("length", length, "m")
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    exact = length * pulses_per_length
    return CountBounds(least=np.floor(exact + _ROUNDING), most=np.ceil(exact - _ROUNDING))


def count_spread(length: Numbers, pulses_per_length: Numbers) -> Numbers:
    """Standard deviation of the count of one length over all phases, in pulses: √(f(1 − f)), f the odd part.

    length: what passes [m], above 0
    pulses_per_length: pulses per length of travel [1/m], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    Source: standard deviation of a two-valued (Bernoulli) count.
    """
    require_above_zero("length", length, "m")
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    odd = np.mod(length * pulses_per_length, 1.0)
    spread: Numbers = np.sqrt(odd * (1 - odd))
    return spread


def pulses_per_length_for(error: Numbers) -> Numbers:
    """Least pulses per length [1/m] so that a counted length is less than `error` [m, above 0] from the true one."""
    require_above_zero("error", error, "m")
    return 1 / error


def calibrate(pulses: Numbers, length: Numbers) -> Calibration:
    """Pulses per length from a run measured by tape [1/m].

    pulses: pulses counted over the run, the pulse at its start not counted, a whole number from 2
    length: taped length of the run [m], above 0
    The bounds are those of the count, one pulse either way; the tape's own error comes on top.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    require_whole("pulses", pulses, least=2)
    require_above_zero("length", length, "m")
    return Calibration(
        pulses_per_length=pulses / length, least=(pulses - 1) / length, most=(pulses + 1) / length
    )


def pulse_rate(speed: Numbers, pulses_per_length: Numbers) -> Numbers:
    """Pulse frequency of a moving conveyor [Hz]; speed [m/s] and pulses_per_length [1/m] above 0; broadcasts."""
    require_above_zero("speed", speed, "m/s")
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    return speed * pulses_per_length


def encoder_rate(pulses_per_turn: Numbers, turns_per_time: Numbers) -> Numbers:
    """Pulse frequency of a shaft encoder [Hz]; pulses_per_turn and turns_per_time [1/s] above 0; broadcasts."""
    require_above_zero("pulses_per_turn", pulses_per_turn)
    require_above_zero("turns_per_time", turns_per_time, "per s")
    return pulses_per_turn * turns_per_time


def scan_limit(scan_time: Numbers, filter_time: Numbers, duty: Numbers = 0.5) -> Numbers:
    """Pulse frequency below which a scanned input surely sees every pulse [Hz].

    scan_time: longest time between two readings of the input [s], above 0
    filter_time: delay of the input's own filter [s], 0 or more
    duty: share of a period for which the pulse is on, above 0 and below 1
    Both parts of a pulse, on and off, must outlast scan and filter together.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("scan_time", scan_time, "s")
    require_from_zero("filter_time", filter_time, "s")
    duties = as_floats("duty", duty)
    require("duty", duty, (duties > 0) & (duties < 1), "above 0 and below 1")
    return np.minimum(duties, 1 - duties)[()] / (scan_time + filter_time)


def input_limit(on_delay: Numbers, off_delay: Numbers) -> Numbers:
    """Highest pulse frequency that an input with these delays passes [Hz]; delays [s] above 0; broadcasts.

    A pulse must outlast the on-delay and its period both delays together.
    """
    require_above_zero("on_delay", on_delay, "s")
    require_above_zero("off_delay", off_delay, "s")
    return 1 / (on_delay + off_delay)


def scan_time_for(frequency: Numbers, samples: Numbers) -> Numbers:
    """Longest scan [s] that reads a pulse train `samples` times a period (3 at least, 10 to be safe); broadcasts.

    frequency: pulse rate [Hz], above 0; samples: readings in a period, above 1
    """
    require_above_zero("frequency", frequency, "Hz")
    counts = as_floats("samples", samples)
    require("samples", samples, np.isfinite(counts) & (counts > 1), "finite and above 1")
    return 1 / (frequency * samples)


def length_error(speed: Numbers, on_delay: Numbers, off_delay: Numbers) -> Numbers:
    """Measured minus true length when both edges come late and nothing is corrected [m].

    speed: conveyor speed [m/s], above 0
    on_delay, off_delay: how late the eye reports the nose and the tail [s], 0 or more
    Equal delays shift the vehicle and leave its length alone.
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("speed", speed, "m/s")
    require_from_zero("on_delay", on_delay, "s")
    require_from_zero("off_delay", off_delay, "s")
    return speed * (off_delay - on_delay)


def travel(speed: Numbers, time: Numbers) -> Numbers:
    """Length travelled in a time [m]: how far a nose is past the beam after an on-delay, the gap an off-delay bridges.

    speed: conveyor speed [m/s], above 0; time: [s], 0 or more. Broadcasts. Raises BadInput.
    """
    require_above_zero("speed", speed, "m/s")
    require_from_zero("time", time, "s")
    return speed * time


def cars_per_hour(speed: Numbers, pitch: Numbers) -> Numbers:
    """Cars an hour, plain number; speed [m/s] and pitch from nose to nose [m] above 0; broadcasts."""
    require_above_zero("speed", speed, "m/s")
    require_above_zero("pitch", pitch, "m")
    return 3600 * speed / pitch


def application_window(
    distance: Numbers, lead: Numbers, trail: Numbers, length: Numbers, pulses_per_length: Numbers
) -> ApplicationWindow:
    """When to open and close a device downstream of the eye, in travel since the nose met the beam.

    distance: from the beam to the device along the conveyor [m], above 0
    lead: how far before the nose the device opens [m], 0 to distance (no device opens before the eye has seen the nose)
    trail: how far behind the tail it closes [m], finite, above minus the length (negative: it closes on the vehicle)
    length: the vehicle [m], above 0
    pulses_per_length: pulses per length of travel [1/m], above 0
    The on pulse is rounded down and the off pulse up, so that what was asked for is covered; a whole number of pulses
    stays itself. Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("distance", distance, "m")
    require(
        "lead",
        lead,
        (as_floats("lead", lead) >= 0) & (as_floats("lead", lead) <= distance),
        "from 0 m to distance",
    )
    require_above_zero("length", length, "m")
    require_finite("trail", trail)
    require(
        "trail", trail, as_floats("trail", trail) > -as_floats("length", length), "above minus the length"
    )
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    every = 0 * as_floats("distance", distance + lead + trail + length + pulses_per_length)
    on_travel, off_travel = distance - lead + every, distance + length + trail + every
    return ApplicationWindow(
        on_travel=on_travel[()],
        off_travel=off_travel[()],
        on_pulse=np.floor(on_travel * pulses_per_length + _ROUNDING),
        off_pulse=np.ceil(off_travel * pulses_per_length - _ROUNDING),
    )


def solution_used(flow: Numbers, speed: Numbers, lead: Numbers, trail: Numbers, length: Numbers) -> Numbers:
    """Solution that one vehicle takes [m³].

    flow: of the device [m³/s], above 0
    speed: conveyor speed [m/s], above 0
    lead, trail: how far before the nose and behind the tail the device runs [m], 0 or more
    length: the vehicle [m], above 0
    Inputs broadcast; the result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("length", length, "m")
    return solution_wasted(flow, speed, lead, trail) + flow * length / speed


def solution_wasted(flow: Numbers, speed: Numbers, lead: Numbers, trail: Numbers) -> Numbers:
    """Solution that misses the vehicle, early on and late off together [m³]; inputs as solution_used; broadcasts."""
    require_above_zero("flow", flow, "m³/s")
    require_above_zero("speed", speed, "m/s")
    require_from_zero("lead", lead, "m")
    require_from_zero("trail", trail, "m")
    return flow * (lead + trail) / speed


def share_saved(before: Numbers, after: Numbers) -> Numbers:
    """Share saved when a use falls from `before` (above 0) to `after` (0 to before), in one unit; broadcasts."""
    require_above_zero("before", before)
    afters = as_floats("after", after)
    require("after", after, (afters >= 0) & (afters <= before), "from 0 to before")
    return 1 - after / before
