"""What the functions of travel ask of their inputs: pulses, timers, delays, devices."""

from tests.solver.refusals.rules import (
    ABOVE_ONE,
    PART,
    Rule,
    above,
    above_zero,
    between,
    case,
    from_zero,
    one_of,
    whole,
)
from trainer.solver import applications, conveyor, delays, timers

M, SPEED, DENSITY, S = above_zero("m"), above_zero("m/s"), above_zero("per m"), above_zero("s")
DELAY, DISTANCE, PLAIN = from_zero("s"), from_zero("m"), above_zero()
LEAD = between("from 0 m to distance", 0.0, 3.0)
TRAIL = Rule("finite", then=above("above minus the length", -4.5, 0.0))
FLOW = above_zero("m³/s")

CASES = [
    case(conveyor.vehicle_length, pulses=(180, whole(1)), pulses_per_length=(39.37, DENSITY)),
    case(conveyor.count_pulses, length=(4.5, M), pulses_per_length=(39.37, DENSITY), phase=(0.3, PART)),
    case(conveyor.count_bounds, length=(4.5, M), pulses_per_length=(39.37, DENSITY)),
    case(conveyor.count_spread, length=(4.5, M), pulses_per_length=(39.37, DENSITY)),
    case(conveyor.pulses_per_length_for, error=(0.05, M)),
    case(conveyor.calibrate, pulses=(180, whole(2)), length=(4.5, M)),
    case(conveyor.pulse_rate, speed=(0.3, SPEED), pulses_per_length=(39.37, DENSITY)),
    case(conveyor.encoder_rate, pulses_per_turn=(100.0, PLAIN), turns_per_time=(0.5, above_zero("per s"))),
    case(
        conveyor.scan_limit,
        scan_time=(0.01, S),
        filter_time=(0.01, DELAY),
        duty=(0.4, Rule("above 0 and below 1", (0.0, 1.0), (1e-9, 1 - 1e-9))),
    ),
    case(conveyor.input_limit, on_delay=(0.01, S), off_delay=(0.02, S)),
    case(conveyor.scan_time_for, frequency=(12.0, above_zero("Hz")), samples=(3.0, ABOVE_ONE)),
    case(conveyor.length_error, speed=(0.3, SPEED), on_delay=(0.05, DELAY), off_delay=(0.25, DELAY)),
    case(conveyor.travel, speed=(0.3, SPEED), time=(2.0, DELAY)),
    case(conveyor.throughput, speed=(0.25, SPEED), pitch=(8.0, M)),
    case(
        applications.application_window,
        distance=(3.0, M),
        lead=(0.3, LEAD),
        trail=(0.3, TRAIL),
        length=(4.5, M),
        pulses_per_length=(39.37, DENSITY),
    ),
    case(
        applications.timed_window,
        distance=(3.0, M),
        lead=(0.3, LEAD),
        trail=(0.3, TRAIL),
        length=(4.5, M),
        speed=(0.25, SPEED),
        tolerance=(0.03, PART),
    ),
    case(applications.timer_allowance, distance=(3.0, M), length=(4.5, M), tolerance=(0.03, PART)),
    case(
        applications.tire_reach,
        radius=(0.33, M),
        height=(0.3, between("from 0 m to twice the radius", 0.0, 0.66)),
    ),
    case(
        applications.wheel_window,
        distance=(3.0, M),
        axle=(0.9, DISTANCE),
        radius=(0.33, M),
        height=(0.3, between("from 0 m to twice the radius", 0.0, 0.66)),
        lead=(0.1, Rule("from 0 m to where the nose meets the beam", (-1e-9, 3.9), (0.0, 3.5))),
        trail=(0.1, DISTANCE),
        pulses_per_length=(39.37, DENSITY),
    ),
    case(
        applications.solution_used,
        flow=(1e-4, FLOW),
        speed=(0.25, SPEED),
        lead=(0.3, DISTANCE),
        trail=(0.3, DISTANCE),
        length=(4.5, M),
    ),
    case(
        applications.solution_wasted,
        flow=(1e-4, FLOW),
        speed=(0.25, SPEED),
        lead=(0.3, DISTANCE),
        trail=(0.3, DISTANCE),
    ),
    case(applications.share_saved, before=(4.0, PLAIN), after=(3.0, between("from 0 to before", 0.0, 4.0))),
    case(timers.walker_time, depth=(0.3, M), speed=(1.0, SPEED)),
    case(timers.longest_off_delay, gap=(0.9, M), speed=(0.25, SPEED)),
    case(timers.bridge_time, length=(0.1, M), speed=(0.25, SPEED)),
    case(
        timers.debounce,
        arrays=False,
        on_delay=(0.1, DELAY),
        off_delay=(0.5, DELAY),
        spans=([[0.0, 1.0]], Rule("", numbers=False)),
    ),
    case(
        timers.timer,
        arrays=False,
        kind=("TON", one_of("TON", "TOF", "TP")),
        preset=(0.5, DELAY),
        spans=([[0.0, 1.0]], Rule("", numbers=False)),
    ),
    case(
        delays.delay_window,
        walker=(0.6, DELAY),
        bridge=(0.1, DISTANCE),
        gap=(0.9, M),
        nose_error=(0.2, M),
        speed=(0.25, SPEED),
        tolerance=(0.03, PART),
    ),
    case(
        delays.recommended_delays,
        walker=(0.6, DELAY),
        bridge=(0.1, DISTANCE),
        gap=(
            0.9,
            above_zero("m", then=Rule("long enough for the off-delay that the hole asks for", (0.01,))),
        ),
        nose_error=(
            0.2,
            above_zero("m", then=Rule("long enough for the on-delay that a walker asks for", (0.01,))),
        ),
        speed=(0.25, SPEED),
        tolerance=(0.03, Rule(PART.allowed, PART.bad, (0.0,))),
    ),
]

SENTENCES = []
