"""When a device downstream of the eye opens and closes, for a whole car or for its wheels, and what it spends.

Travel is that of the nose past the beam. A count starts anywhere within a pulse, so at pulse N the nose has travelled
more than N − 1 and at most N pulses: a device that opens at a pulse is never late by it, one that closes may be up to a
pulse early. Chain speed does not matter to pulses; it does to a timer.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trainer.solver.beam import Spans, union
from trainer.solver.conveyor import ROUNDING
from trainer.solver.numbers import (
    BadInput,
    Flags,
    Numbers,
    alike,
    require,
    require_above_zero,
    require_between,
    require_finite,
    require_from_zero,
    require_one_of,
    require_part,
)

FOLLOWS = ("body", "wheels")


@dataclass(frozen=True)
class ApplicationWindow:
    """Travel of the nose past the eye [m] and whole pulse since then, at which a device goes on and off."""

    on_travel: Numbers
    off_travel: Numbers
    on_pulse: Numbers
    off_pulse: Numbers


def application_window(
    distance: Numbers, lead: Numbers, trail: Numbers, length: Numbers, pulses_per_length: Numbers
) -> ApplicationWindow:
    """When to open and close a device downstream of the eye, in travel since the nose met the beam.

    distance: from the beam to the device along the conveyor [m], above 0
    lead: how far before the nose the device opens [m], 0 to distance (no device opens before the eye has seen the nose)
    trail: how far behind the tail it closes [m], finite, above minus the length (negative: it closes on the vehicle);
        a trail of less than a pulse may be lost to the count
    length: the vehicle [m], above 0
    pulses_per_length: pulses per length of travel [1/m], above 0
    The on pulse is rounded down and the off pulse up; a whole number of pulses stays itself.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    _require_body(distance, lead, trail, length)
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    on_travel, off_travel, density = alike(distance - lead, distance + length + trail, pulses_per_length)
    return ApplicationWindow(
        on_travel=on_travel,
        off_travel=off_travel,
        on_pulse=_down(on_travel * density),
        off_pulse=_up(off_travel * density),
    )


def _require_body(distance: Numbers, lead: Numbers, trail: Numbers, length: Numbers) -> None:
    require_above_zero("distance", distance, "m")
    require_between("lead", lead, 0, distance, "from 0 m to distance")
    closed = -require_above_zero("length", length, "m")
    require("trail", trail, require_finite("trail", trail) > closed, "above minus the length")


def _down(pulses: Numbers) -> Numbers:
    whole: Numbers = np.floor(pulses + ROUNDING)
    return whole


def _up(pulses: Numbers) -> Numbers:
    whole: Numbers = np.ceil(pulses - ROUNDING)
    return whole


@dataclass(frozen=True)
class TimedWindow:
    """A device that is opened and closed by timers since the nose met the beam.

    on_time, off_time: settings [s], for the set chain speed
    least_lead, most_lead: how far before the nose it then opens, with the chain at its fastest and slowest [m];
        below 0 the nose passes a closed device
    least_trail, most_trail: how far behind the tail it closes, with the chain at its slowest and fastest [m]
    """

    on_time: Numbers
    off_time: Numbers
    least_lead: Numbers
    most_lead: Numbers
    least_trail: Numbers
    most_trail: Numbers

    @property
    def covers(self) -> Flags:
        """Whether the device is open over the whole vehicle, however the chain runs."""
        least = np.minimum(self.least_lead, self.least_trail)
        covered: Flags = least >= -ROUNDING
        return covered


def timed_window(  # noqa: PLR0917 - questions call it by position
    distance: Numbers, lead: Numbers, trail: Numbers, length: Numbers, speed: Numbers, tolerance: Numbers
) -> TimedWindow:
    """What becomes of lead and trail where timers open and close a device, and the chain runs fast or slow.

    distance, lead, trail, length: as application_window
    speed: of the conveyor as set [m/s], above 0
    tolerance: how far it may be off, either way, a share from 0 to below 1
    The drift grows with the distance from the eye; pulses would have none.
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    _require_body(distance, lead, trail, length)
    require_above_zero("speed", speed, "m/s")
    require_part("tolerance", tolerance)
    opens, closes, rate, share = alike(distance - lead, distance + length + trail, speed, tolerance)
    return TimedWindow(
        on_time=opens / rate,
        off_time=closes / rate,
        least_lead=lead - opens * share,
        most_lead=lead + opens * share,
        least_trail=trail - closes * share,
        most_trail=trail + closes * share,
    )


@dataclass(frozen=True)
class TimerAllowance:
    """Least lead and trail with which timers cover a whole vehicle, however the chain runs [m]."""

    lead: Numbers
    trail: Numbers


def timer_allowance(distance: Numbers, length: Numbers, tolerance: Numbers) -> TimerAllowance:
    """Least lead and trail with which a device on timers covers a whole vehicle, however the chain runs [m].

    distance, length: as application_window; tolerance: as timed_window
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("distance", distance, "m")
    require_above_zero("length", length, "m")
    require_part("tolerance", tolerance)
    ahead, whole, share = alike(distance, distance + length, tolerance)
    return TimerAllowance(lead=ahead * share / (1 + share), trail=whole * share / (1 - share))


@dataclass(frozen=True)
class WheelWindow:
    """When a device that follows one wheel goes on and off.

    on_travel, off_travel: travel of the nose past the eye [m]; on_pulse, off_pulse: whole pulse since then
    least_lead: how far before the tyre the device surely opens [m], whatever the count's phase; at least as asked
    least_trail: how far behind the tyre it closes at least [m]; up to a pulse less than asked
    """

    on_travel: Numbers
    off_travel: Numbers
    on_pulse: Numbers
    off_pulse: Numbers
    least_lead: Numbers
    least_trail: Numbers


def tire_reach(radius: Numbers, height: Numbers) -> Numbers:
    """How far a tyre reaches before and behind its axle at a height, √(h(2r − h)) [m].

    radius: of the tyre [m], above 0; height: above the floor [m], 0 to twice the radius. Broadcasts. Raises BadInput.
    Source: a chord halved by the diameter (Euclid, Elements III.35).
    """
    require_above_zero("radius", radius, "m")
    heights = require_between("height", height, 0, 2 * radius, "from 0 m to twice the radius")
    reach: Numbers = np.sqrt(heights * (2 * radius - heights))
    return reach


def wheel_window(  # noqa: PLR0917 - questions call it by position
    distance: Numbers,
    axle: Numbers,
    radius: Numbers,
    height: Numbers,
    lead: Numbers,
    trail: Numbers,
    pulses_per_length: Numbers,
) -> WheelWindow:
    """When a device that follows one wheel, such as a tyre applicator, goes on and off.

    distance: from the beam to the device along the conveyor [m], above 0
    axle: how far the wheel's axle is behind the nose [m], 0 or more
    radius: of the tyre [m], above 0
    height: at which the device meets the tyre [m], 0 to twice the radius; the axle's height gives the whole tyre
    lead: how far before the tyre the device opens [m], 0 or more; not before the eye has seen the nose
    trail: how far behind the tyre it closes [m], 0 or more
    pulses_per_length: pulses per length of travel [1/m], above 0
    Inputs broadcast; each result has their broadcast shape. Raises BadInput.
    """
    require_above_zero("distance", distance, "m")
    require_from_zero("axle", axle, "m")
    reach = tire_reach(radius, height)
    require_from_zero("trail", trail, "m")
    require_above_zero("pulses_per_length", pulses_per_length, "per m")
    first, last = distance + axle - reach, distance + axle + reach
    require_between("lead", lead, 0, first, "from 0 m to where the nose meets the beam")
    opens, closes, density = alike(first - lead, last + trail, pulses_per_length)
    on_pulse, off_pulse = _down(opens * density), _up(closes * density)
    return WheelWindow(
        on_travel=opens,
        off_travel=closes,
        on_pulse=on_pulse,
        off_pulse=off_pulse,
        least_lead=first - on_pulse / density,
        least_trail=(off_pulse - 1) / density - last,
    )


@dataclass(frozen=True)
class Device:
    """A device downstream of the eye.

    distance: from the beam along the conveyor [m], above 0; lead, trail: before and behind what it follows [m], 0 or
    more; flow: while open [m³/s], above 0; follows: body or wheels; height: where it meets a tyre [m], for wheels alone
    """

    name: str
    distance: float
    lead: float
    trail: float
    flow: float
    follows: str = "body"
    height: float | None = None

    def __post_init__(self) -> None:
        require_above_zero("flow", self.flow, "m³/s")
        require_from_zero("trail", self.trail, "m")
        require_one_of("follows", self.follows, FOLLOWS)
        if (self.height is None) != (self.follows == "body"):
            raise BadInput(
                "height", self.height, "given where the device follows the wheels, and there alone"
            )


@dataclass(frozen=True)
class Car:
    """A car that the devices are set for: its length, how far its axles are behind the nose, its tyres' radius [m]."""

    length: float
    front_axle: float
    rear_axle: float
    tire_radius: float


@dataclass(frozen=True)
class ApplicationRow:
    """What one device does for one car.

    runs: [on, off] pulses since the nose met the beam; wheels give two, or one where they run into each other
    used, wasted: a car, at the set chain speed [m³]; wasted is what misses car or tyres, the rounding to pulses with it
    used_a_year, wasted_a_year: [m³]
    """

    name: str
    runs: Spans
    used: float
    wasted: float
    used_a_year: float
    wasted_a_year: float

    @property
    def on_pulse(self) -> float:
        """The pulse at which it first opens."""
        return self.runs[0][0]

    @property
    def off_pulse(self) -> float:
        """The pulse at which it closes for good."""
        return self.runs[-1][1]


def application_table(
    devices: Sequence[Device], car: Car, *, pulses_per_length: float, speed: float, cars_per_year: float
) -> tuple[ApplicationRow, ...]:
    """What each device does for one car, in the order given, and what it spends in a year of such cars.

    pulses_per_length: [1/m], above 0; speed: of the conveyor [m/s], above 0; cars_per_year: 0 or more
    Raises BadInput.
    """
    require_above_zero("speed", speed, "m/s")
    require_from_zero("cars_per_year", cars_per_year)
    return tuple(_row(one, car, pulses_per_length, speed, cars_per_year) for one in devices)


def _row(device: Device, car: Car, density: float, speed: float, cars: float) -> ApplicationRow:
    runs, target = (_wheel_runs if device.follows == "wheels" else _body_run)(device, car, density)
    used = device.flow * sum(off - on for on, off in runs) / density / speed
    wasted = used - device.flow * target / speed
    return ApplicationRow(device.name, runs, used, wasted, used * cars, wasted * cars)


def _body_run(device: Device, car: Car, density: float) -> tuple[Spans, float]:
    """Pulses of the one run, and the length that it is for [m]."""
    window = application_window(device.distance, device.lead, device.trail, car.length, density)
    return ((float(window.on_pulse), float(window.off_pulse)),), car.length


def _wheel_runs(device: Device, car: Car, density: float) -> tuple[Spans, float]:
    """Pulses of both wheels' runs, and the length of tyre that they are for [m]."""
    height = device.height or 0.0
    windows = [
        wheel_window(device.distance, axle, car.tire_radius, height, device.lead, device.trail, density)
        for axle in (car.front_axle, car.rear_axle)
    ]
    runs = union([(float(one.on_pulse), float(one.off_pulse)) for one in windows])
    return runs, 4 * float(tire_reach(car.tire_radius, height))


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
    return 1 - require_between("after", after, 0, before, "from 0 to before") / before
