"""What a conveyor's pulses tell: lengths and their bounds, rates, throughput."""

from dataclasses import dataclass

import numpy as np

from trainer.solver.numbers import (
    Numbers,
    as_floats,
    require,
    require_above_one,
    require_above_zero,
    require_from_zero,
    require_part,
    require_whole,
)

SPREAD_OVER_ALL_LENGTHS = 1 / np.sqrt(
    6
)  # pulses; a count's error over all lengths and phases is triangular on (-1, 1)
# Pulses: far above the rounding of floats, far below anything a conveyor does. A whole number of pulses stays whole.
ROUNDING = 1e-9


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
    require_part("phase", phase)
    count: Numbers = np.floor(length * pulses_per_length + phase + ROUNDING)
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
    return CountBounds(least=np.floor(exact + ROUNDING), most=np.ceil(exact - ROUNDING))


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
    require_above_one("samples", samples)
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


def throughput(speed: Numbers, pitch: Numbers) -> Numbers:
    """Cars in a time [1/s]; speed [m/s] and pitch from nose to nose [m] above 0; broadcasts."""
    require_above_zero("speed", speed, "m/s")
    require_above_zero("pitch", pitch, "m")
    return speed / pitch
