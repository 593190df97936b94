"""Windows against a car that rolls past pulse by pulse, timers on a chain that is off, and what devices spend."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from trainer.solver.applications import (
    Car,
    Device,
    application_table,
    application_window,
    share_saved,
    solution_used,
    solution_wasted,
    timed_window,
    timer_allowance,
    tire_reach,
    wheel_window,
)
from trainer.solver.numbers import BadInput

INCH, GALLON_A_MINUTE = 0.0254, 231 * 0.0254**3 / 60
PULSES = 12 / (12 * INCH)


def test_a_window_opens_early_closes_late_and_keeps_whole_pulses():
    window = application_window(
        distance=3.048, lead=0.3048, trail=0.6096, length=4.572, pulses_per_length=12 / 0.3048
    )
    assert (window.on_pulse, window.off_pulse) == (108, 324)
    assert (window.on_travel, window.off_travel) == pytest.approx((2.7432, 8.2296))
    late = application_window(3.05, 0.3, 0.6, 4.57, 12 / 0.3048)
    assert late.on_pulse / (12 / 0.3048) <= late.on_travel
    assert late.off_pulse / (12 / 0.3048) >= late.off_travel


def test_a_window_of_arrays_has_the_broadcast_shape():
    window = application_window(3.0, np.array([0.1, 0.2]), 0.3, np.array([[4.0], [5.0], [6.0]]), 39.37)
    assert window.on_travel.shape == window.off_travel.shape == window.on_pulse.shape == (3, 2)


def test_no_device_opens_before_the_eye_has_seen_the_nose():
    with pytest.raises(BadInput, match="lead is 4; it must be from 0 m to distance"):
        application_window(3.0, 4.0, 0.3, 4.5, 39.37)
    with pytest.raises(BadInput, match="trail"):
        application_window(3.0, 1.0, -4.5, 4.5, 39.37)


def test_solution_used_is_the_vehicle_and_the_waste():
    used, wasted = solution_used(5e-4, 0.25, 0.4, 0.5, 4.5), solution_wasted(5e-4, 0.25, 0.4, 0.5)
    assert wasted == pytest.approx(5e-4 * 0.9 / 0.25)
    assert used - wasted == pytest.approx(5e-4 * 4.5 / 0.25)


def test_shares():
    assert share_saved(10.0, 2.5) == 0.75


timed = {
    "distance": st.floats(1, 20), "lead": st.floats(0, 1), "trail": st.floats(0, 2), "length": st.floats(2, 7),
    "tolerance": st.floats(0, 0.15),
}  # fmt: skip


@given(**timed, chain=st.floats(-1, 1))
def test_timers_drift_with_the_chain_and_stay_within_the_bounds(
    distance, lead, trail, length, tolerance, chain
):
    window = timed_window(distance, lead, trail, length, 0.25, tolerance)
    really = 0.25 * (1 + tolerance * chain)
    opened, closed = distance - window.on_time * really, window.off_time * really - distance - length
    assert window.least_lead - 1e-9 <= opened <= window.most_lead + 1e-9
    assert window.least_trail - 1e-9 <= closed <= window.most_trail + 1e-9
    fast, slow = 0.25 * (1 + tolerance), 0.25 * (1 - tolerance)
    assert distance - window.on_time * fast == pytest.approx(window.least_lead, abs=1e-9)
    assert window.off_time * slow - distance - length == pytest.approx(window.least_trail, abs=1e-9)


@given(**{name: timed[name] for name in ("distance", "length", "tolerance")})
def test_the_allowance_is_just_enough(distance, length, tolerance):
    least = timer_allowance(distance, length, tolerance)
    assert timed_window(distance, least.lead, least.trail, length, 0.25, tolerance).covers
    assume(tolerance > 0.001)
    for lead, trail in ((0.99 * least.lead, least.trail), (least.lead, 0.99 * least.trail)):
        assert not timed_window(distance, lead, trail, length, 0.25, tolerance).covers


def test_a_timed_arch_by_hand():
    # 30 ft from the eye, 3 % off: the nose is 30 ft − 6 in = 354 in on; 3 % of that is 10.62 in, more than the lead.
    window = timed_window(360 * INCH, 6 * INCH, 12 * INCH, 180 * INCH, 9 * INCH, 0.03)
    assert window.on_time == pytest.approx(354 / 9)
    assert window.off_time == pytest.approx(552 / 9)
    assert (window.least_lead / INCH, window.most_lead / INCH) == pytest.approx((6 - 10.62, 6 + 10.62))
    assert (window.least_trail / INCH, window.most_trail / INCH) == pytest.approx((12 - 16.56, 12 + 16.56))
    assert not window.covers


def test_a_tire_is_widest_at_its_axle():
    assert tire_reach(0.33, np.array([0.0, 0.33, 0.66])) == pytest.approx([0, 0.33, 0])
    # 5-12-13: 5 above the axle of a wheel of 13, the half chord is 12.
    assert tire_reach(13.0, 18.0) == tire_reach(13.0, 8.0) == pytest.approx(12)


wheels = {
    "distance": st.floats(2, 20), "axle": st.floats(0.5, 4), "radius": st.floats(0.25, 0.45),
    "share": st.floats(0.05, 1.95), "lead": st.floats(0, 0.5), "trail": st.floats(0, 0.5),
    "density": st.floats(3, 120), "phase": st.floats(0, 0.999),
}  # fmt: skip


@given(**wheels)
@settings(max_examples=200, deadline=None)
def test_a_wheel_rolls_past_the_device_inside_its_window(
    distance, axle, radius, share, lead, trail, density, phase
):
    # The wheel is a disc, rolled past by the millimetre; the controller counts pulses from wherever the nose fell.
    height = share * radius
    assume(lead < distance + axle - radius)
    window = wheel_window(distance, axle, radius, height, lead, trail, density)
    travel = np.arange(distance + axle - radius - 0.01, distance + axle + radius + 0.01, 0.001)
    covered = travel[(travel - axle - distance) ** 2 + (height - radius) ** 2 <= radius**2]
    opened, closed = (window.on_pulse - phase) / density, (window.off_pulse - phase) / density
    assert covered[0] - opened >= window.least_lead - 1e-9
    assert window.least_lead >= lead - 1e-9
    assert closed - covered[-1] > window.least_trail - 1e-9
    assert window.least_trail > trail - 1 / density - 1e-9


def test_no_wheel_is_met_before_the_eye_has_seen_the_nose():
    with pytest.raises(BadInput, match="lead is 4"):
        wheel_window(3.0, 0.9, 0.33, 0.33, 4.0, 0.1, PULSES)
    with pytest.raises(BadInput, match=r"height is 0.7; it must be from 0 m to twice the radius"):
        wheel_window(3.0, 0.9, 0.33, 0.7, 0.1, 0.1, PULSES)


# AASHTO Green Book, design vehicle P, metric: front overhang 0.9 m, wheelbase 3.4 m, length 5.8 m.
CAR = Car(length=5.8, front_axle=0.9, rear_axle=4.3, tire_radius=0.33)
ARCH = Device("presoak", 3.6, 0.3, 0.45, 8 * GALLON_A_MINUTE)
TIRES = Device("tires", 4.0, 0.1, 0.1, 2 * GALLON_A_MINUTE, follows="wheels", height=0.33)


def table(**inputs):
    given = {"pulses_per_length": 40.0, "speed": 0.25, "cars_per_year": 1000.0} | inputs
    return application_table([ARCH], CAR, **given)


def test_a_table_says_when_and_how_much():
    arch, tires = application_table(
        [ARCH, TIRES], CAR, pulses_per_length=40.0, speed=0.25, cars_per_year=50_000.0
    )
    # By hand: (3.6 − 0.3)·40 and (3.6 + 5.8 + 0.45)·40; the wheel's front edge at 4.57, its rear edge at 5.23.
    assert (arch.on_pulse, arch.off_pulse) == (132, 394)
    assert arch.used == pytest.approx(ARCH.flow * (394 - 132) / 40 / 0.25)
    assert arch.wasted == pytest.approx(solution_wasted(ARCH.flow, 0.25, 0.3, 0.45))
    assert tires.runs == ((178, 214), (314, 350))
    assert (tires.on_pulse, tires.off_pulse) == (178, 350)
    assert tires.used == pytest.approx(TIRES.flow * 72 / 40 / 0.25)
    assert tires.used - tires.wasted == pytest.approx(TIRES.flow * 4 * 0.33 / 0.25)
    for row in (arch, tires):
        assert row.used_a_year == pytest.approx(50_000 * row.used)
        assert row.wasted_a_year == pytest.approx(50_000 * row.wasted)


def test_wheels_so_near_that_the_device_stays_open():
    wide = Device("tires", 4.0, 1.5, 1.5, 1e-4, follows="wheels", height=0.33)
    (row,) = application_table([wide], CAR, pulses_per_length=40.0, speed=0.25, cars_per_year=0.0)
    assert len(row.runs) == 1
    assert row.used_a_year == 0


@pytest.mark.parametrize(
    ("make", "name"),
    [
        (lambda: Device("x", 3.0, 0.1, 0.1, 0.0), "flow"),
        (lambda: Device("x", 3.0, 0.1, -0.1, 1e-4), "trail"),
        (lambda: Device("x", 3.0, 0.1, 0.1, 1e-4, follows="roof"), "follows"),
        (lambda: Device("x", 3.0, 0.1, 0.1, 1e-4, follows="wheels"), "height"),
        (lambda: Device("x", 3.0, 0.1, 0.1, 1e-4, height=0.3), "height"),
        (lambda: table(pulses_per_length=0.0), "pulses_per_length"),
        (lambda: table(speed=0.0), "speed"),
        (lambda: table(cars_per_year=-1), "cars_per_year"),
    ],
)  # fmt: skip
def test_a_device_is_refused(make, name):
    with pytest.raises(BadInput) as refused:
        make()
    assert refused.value.name == name


def test_a_device_at_the_floor_meets_no_length_of_tire():
    # A circle that stands on the floor touches it in a point: all that is used there is wasted.
    nozzle = Device("floor", 4.0, 0.1, 0.1, 1e-4, follows="wheels", height=0.0)
    (row,) = application_table([nozzle], CAR, pulses_per_length=40.0, speed=0.25, cars_per_year=1.0)
    assert row.name == "floor"
    assert row.wasted == row.used > 0
