"""What the functions of travel ask of their inputs: pulses, timers, delays, devices."""

from tests.solver.refusals.rules import (
    ABOVE_ONE,
    ANY,
    FINITE,
    PART,
    Rule,
    above,
    above_zero,
    between,
    case,
    from_zero,
    one_of,
    sentence,
    whole,
)
from trainer.solver import applications, conveyor, delays, length_budget, recorded, timers

M, SPEED, DENSITY, S = above_zero("m"), above_zero("m/s"), above_zero("per m"), above_zero("s")
DELAY, DISTANCE, PLAIN = from_zero("s"), from_zero("m"), above_zero()
LEAD = between("from 0 m to distance", 0.0, 3.0)
TRAIL = Rule("finite", then=above("above minus the length", -4.5, 0.0))
FLOW = above_zero("m³/s")
KINDS = one_of("TON", "TOF", "TP")

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
        spans=([[0.0, 1.0]], ANY),
    ),
    case(
        timers.elapsed,
        arrays=False,
        kind=("TON", KINDS),
        preset=(0.5, DELAY),
        spans=([[0.0, 1.0]], ANY),
        at=(0.7, FINITE),
    ),
    case(timers.ScannedTimer, arrays=False, kind=("TON", KINDS), preset=(0.5, DELAY)),
    case(
        recorded.what_counts,
        arrays=False,
        on_delay=(0.1, DELAY),
        off_delay=(0.5, DELAY),
        spans=([[0.0, 1.0]], ANY),
    ),
    case(recorded.scanned, arrays=False, scan_time=(0.1, S), phase=(0.02, FINITE), spans=([[0.0, 1.0]], ANY)),
    case(
        recorded.scanned_count,
        arrays=False,
        on_delay=(0.1, DELAY),
        off_delay=(0.5, DELAY),
        spans=([[0.0, 1.0]], ANY),
        scan_time=(0.1, S),
        delays_in=("eye", one_of("controller", "eye")),
    ),
    case(recorded.fewest_wrong, arrays=False, spans=([[0.0, 1.0]], ANY), wanted=(1, whole(0))),
    case(
        timers.timer,
        arrays=False,
        kind=("TON", KINDS),
        preset=(0.5, DELAY),
        spans=([[0.0, 1.0]], ANY),
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

BLOCKED = [[0.0, 1.0], [2.0, 3.0]]
_SORTED = "it must be sorted and apart, each on before its off"


def _traces(words, spans):
    """The refusal of each function that takes a trace."""
    delayed = {"on_delay": 0.1, "off_delay": 0.5}
    calls = (
        (timers.checked_spans, {}),
        (timers.timer, {"kind": "TON", "preset": 0.5}),
        (timers.elapsed, {"kind": "TON", "preset": 0.5, "at": 1.0}),
        (timers.debounce, delayed),
        (recorded.what_counts, delayed),
        (recorded.count_map, {}),
        (recorded.scanned, {"scan_time": 0.1, "phase": 0.0}),
        (recorded.scanned_count, {**delayed, "scan_time": 0.1}),
        (recorded.fewest_wrong, {"wanted": 1}),
    )
    return [sentence(call, words, **given, spans=spans) for call, given in calls]


def _device(words, **changed):
    good = {"name": "arch", "distance": 3.0, "lead": 0.3, "trail": 0.3, "flow": 1e-3}
    return sentence(applications.Device, words, **{**good, **changed})


def _table(words, **changed):
    good = {"devices": (), "car": CAR, "pulses_per_length": 39.37, "speed": 0.25, "cars_per_year": 1e4}
    return sentence(applications.application_table, words, **{**good, **changed})


def _region(words, **changed):
    return sentence(delays.delay_region, words, **{"demands": (), "speed": 0.25, **changed})


def _length(words, **changed):
    return sentence(
        length_budget.length_budget, words, **{"pulses_per_length": 39.37, "speed": 0.25, **changed}
    )


def _aperture(words, *lens):
    return _length(words, aperture=length_budget.Aperture(*lens))


def _skew(words, *skew):
    return _length(words, skew=length_budget.Skew(*skew))


CAR = applications.Car(4.5, 0.9, 3.6, 0.33)
_HEIGHT = "it must be given where the device follows the wheels, and there alone"
SENTENCES = [
    *_traces("spans is [[1.0]]; it must be a list of pairs [on, off]", [[1.0]]),
    *_traces("spans is [1.0, 2.0]; it must be a list of pairs [on, off]", [1.0, 2.0]),
    *_traces("spans is 'now'; it must be a number", "now"),
    *_traces("spans is nan; it must be finite", [[0.0, float("nan")]]),
    *_traces(f"spans is [[1.0, 1.0]]; {_SORTED}", [[1.0, 1.0]]),
    *_traces(f"spans is [[0.0, 2.0], [1.0, 3.0]]; {_SORTED}", [[0.0, 2.0], [1.0, 3.0]]),
    *[
        sentence(
            call,
            "spans is 101 blocks; it must be at most 100 blocks",
            **given,
            spans=[[i, i + 0.5] for i in range(101)],
        )
        for call, given in ((recorded.count_map, {}), (recorded.fewest_wrong, {"wanted": 1}))
    ],
    *[
        sentence(call, "preset is [0.5, 0.6]; it must be one number", **given, preset=[0.5, 0.6])
        for call, given in (
            (timers.elapsed, {"kind": "TON", "spans": BLOCKED, "at": 1.0}),
            (timers.ScannedTimer, {"kind": "TON"}),
        )
    ],
    _device("flow is 0; it must be finite and above 0 m³/s", flow=0.0),
    _device("trail is -1; it must be finite and 0 m or more", trail=-1.0),
    _device("follows is 'roof'; it must be one of body, wheels", follows="roof"),
    _device(f"height is None; {_HEIGHT}", follows="wheels"),
    _device(f"height is 0.3; {_HEIGHT}", height=0.3),
    _table("speed is 0; it must be finite and above 0 m/s", speed=0.0),
    _table("cars_per_year is -1; it must be finite and 0 or more", cars_per_year=-1.0),
    _table(
        "pulses_per_length is 0; it must be finite and above 0 per m",
        devices=(applications.Device("arch", 3.0, 0.3, 0.3, 1e-3),),
        pulses_per_length=0.0,
    ),
    *[
        sentence(delays.Demand, words, kind=kind, amount=amount)
        for kind, amount, words in (
            (
                "forget",
                1.0,
                "kind is 'forget'; it must be one of ignore, count, bridge, keep_apart, nose, length",
            ),
            ("ignore", -1.0, "amount is -1; it must be finite and 0 s or more"),
            ("bridge", -1.0, "amount is -1; it must be finite and 0 m or more"),
            ("length", -1.0, "amount is -1; it must be finite and 0 m or more"),
            ("count", 0.0, "amount is 0; it must be finite and above 0 m"),
            ("keep_apart", 0.0, "amount is 0; it must be finite and above 0 m"),
            ("nose", "much", "amount is 'much'; it must be a number"),
            ("nose", [0.1, 0.2], "amount is [0.1, 0.2]; it must be one number"),
        )
    ],
    _region("speed is 0; it must be finite and above 0 m/s", speed=0.0),
    _region("tolerance is 1; it must be a share from 0 to below 1", tolerance=1.0),
    _region("tolerance is 'some'; it must be a number", tolerance="some"),
    _region("scan_time is -1; it must be finite and 0 s or more", scan_time=-1.0),
    _region("longest is 0; it must be finite and above 0 s", longest=0.0),
    _length("pulses_per_length is 0; it must be finite and above 0 per m", pulses_per_length=0.0),
    _length("speed is 0; it must be finite and above 0 m/s", speed=0.0),
    _length("tolerance is 1; it must be a share from 0 to below 1", tolerance=1.0),
    _length("on_delay is -1; it must be finite and 0 s or more", on_delay=-1.0),
    _length("off_delay is -1; it must be finite and 0 s or more", off_delay=-1.0),
    _length("scan_time is -1; it must be finite and 0 s or more", scan_time=-1.0),
    _aperture("lens_diameter is 0; it must be finite and above 0 m", 0.0, 2.0, 3.0),
    _aperture("lowest_gain is 1; it must be finite and above 1", 0.02, 1.0, 3.0),
    _aperture("highest_gain is inf; it must be finite and above 1", 0.02, 2.0, float("inf")),
    _aperture("lowest_gain is 3; it must be at most highest_gain", 0.02, 3.0, 2.0),
    _skew("along is nan; it must be finite", float("nan"), 3.6, 1.8),
    _skew("span is 0; it must be finite and above 0 m", 0.1, 0.0, 1.8),
    _skew("car_width is 0; it must be finite and above 0 m", 0.1, 3.6, 0.0),
    _skew("car_width is 3.7; it must be at most span", 0.1, 3.6, 3.7),
]
