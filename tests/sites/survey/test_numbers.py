"""The survey's numbers, each worked out again from the sheet by arithmetic of the test's own or another library."""

import time
from dataclasses import replace
from math import acos, asin, ceil, cos, exp, floor, hypot, log, pi, radians, sin, sqrt, tan
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pvlib import solarposition

from tests.sites.survey.plants import FOOT, INCH, YEAR, put
from trainer.sites import demo_sheet, demo_text, read_sheet
from trainer.sites.fleet import BODY_NAMES
from trainer.sites.survey.bay_axes import deciding_offsets, lenses
from trainer.sites.survey.delays import survey_delays
from trainer.sites.survey.light import visits
from trainer.sites.survey.seeing import see_all
from trainer.sites.survey.survey import survey
from trainer.solver.bodies import BODIES
from trainer.solver.detection import detect

DEMO = demo_sheet()
SURVEY = survey(DEMO, YEAR)
ENTRY, PROFILE, EXIT = SURVEY.pairs
SLOW, FAST = 9 * INCH * 0.97, 9 * INCH * 1.03


def edge_late(gain, radius):
    """How far past the axis an edge stands when 1/gain of a disc is left: half the segment's angle by bisection."""
    low, high = 0.0, 2 * pi
    for _ in range(60):
        angle = (low + high) / 2
        left = (angle - sin(angle)) / (2 * pi)
        low, high = (angle, high) if left < 1 / gain else (low, angle)
    return radius * cos(angle / 2)


def body(pair, name):
    return next(one for one in pair.bodies if one.id == name)


def test_a_sedan_is_seen_by_the_lens_alone_late_at_both_ends():
    late = edge_late(40, 0.375 * INCH)
    sedan = body(ENTRY, "sedan")
    assert (sedan.nose_error, sedan.tail_error) == pytest.approx((late, -late), abs=1e-7)
    assert sedan.nose_pulses == pytest.approx(late / INCH, abs=1e-5)  # 12 pulses a foot: one an inch
    assert sedan.length_ends == pytest.approx((-2 * late, -2 * late), abs=1e-6)
    # A sedan's bumper reaches from 0.26 m to 0.64 m up, and this beam crosses the car between 12 and 24 inches.
    (stretch,) = sedan.blocked
    assert stretch == pytest.approx((late, BODIES["sedan"].length - late), abs=1e-6)


def test_a_thin_hitch_is_seen_at_some_places_in_the_lane_only():
    hitch = body(ENTRY, "suv_with_hitch")
    assert hitch.tail_ends[0] < -0.25 + 2 * INCH  # the ball stands out 0.25 m
    assert hitch.tail_ends[1] == pytest.approx(-edge_late(40, 0.375 * INCH), abs=1e-6)
    assert hitch.cuts == 2
    assert hitch.counted == 1  # the ball passes faster than the on-delay


def test_a_level_beam_at_five_feet_runs_over_a_sedan():
    # 60 inches are 1.524 m; the sedan is 1.45 m high.
    assert BODIES["sedan"].height < 60 * INCH < BODIES["pickup"].height
    sedan = body(PROFILE, "sedan")
    assert (sedan.seen, sedan.passes_over, sedan.cuts, sedan.missed_at) == (False, True, 0, 0.0)
    assert body(PROFILE, "pickup").seen


@settings(max_examples=60, deadline=None)
@example(low=0.125, rise=0.3125, offset=0.25, name="suv_with_trailer")  # its tail passes from piece to piece
@given(
    low=st.floats(4 * INCH, 40 * INCH), rise=st.floats(0, 30 * INCH), offset=st.floats(0, 12 * INCH),
    name=st.sampled_from(sorted(BODIES)),
)  # fmt: skip
def test_no_place_in_the_lane_is_worse_than_the_worst_of_those_looked_at(low, rise, offset, name):
    sheet = put(DEMO, bay__lane_offset=offset)
    eye = replace(sheet.eyes[2], low=low, high=low + rise)
    emitter, receiver = lenses(sheet, eye)
    few = detect(emitter, receiver, BODIES[name], deciding_offsets(sheet, eye, BODIES[name]))
    many = detect(emitter, receiver, BODIES[name], np.linspace(-offset, offset, 1501))
    assert bool(few.seen.all()) <= bool(many.seen.all())
    if few.seen.all():
        assert few.nose_error.max() >= many.nose_error.max() - 1e-6
        assert few.tail_error.min() <= many.tail_error.min() + 1e-6
        assert few.count.max() >= many.count.max()


def test_the_delays_are_bounded_by_walkers_noses_and_gaps():
    # 20.5 in deep at 3 ft/s. 7 in less the lens's own lateness and 10 ms of filter, on a fast chain, less two scans.
    walker = 20.5 / 36
    latest = (7 * INCH - edge_late(40, 0.375 * INCH)) / FAST - 0.010 - 0.020
    gap = 36 * INCH / FAST - 0.020
    ons, offs = ({corner[axis] for corner in ENTRY.delays.region} for axis in (0, 1))
    assert sorted(ons)[0] == pytest.approx(walker, abs=1e-9)
    assert sorted(ons)[-1] == pytest.approx(latest, abs=1e-6)
    assert (min(offs), max(offs)) == pytest.approx((0.0, gap), abs=1e-9)
    assert ENTRY.delays.holds
    assert EXIT.delays.broken == ("ignore",)
    assert EXIT.delays.walker == pytest.approx(walker)


def test_a_hitch_rack_must_be_bridged_and_a_ball_must_not():
    hitch, rack = body(ENTRY, "suv_with_hitch"), body(ENTRY, "pickup_hitch_rack")
    # The tray hangs 0.15 m behind the tail; both edges are seen a lens late.
    assert rack.bridge == pytest.approx(0.15 + 2 * edge_late(40, 0.375 * INCH), abs=1e-5)
    assert rack.counted == 2
    assert (hitch.bridge, hitch.hole > 0.2) == (0.0, True)


def test_delays_near_the_present_ones_are_recommended():
    eye = replace(DEMO.eyes[2], off_delay=0.7)
    found = survey_delays(DEMO, eye, see_all(DEMO, eye))
    assert found.recommended[1] == 0.7
    least, most = (pick(on for on, _ in found.region) for pick in (min, max))
    assert least < found.recommended[0] < (least + most) / 2


def test_the_length_is_wrong_by_beam_pulses_delays_and_scan():
    parts = {one.key: (one.least, one.most) for one in ENTRY.measures.parts}
    late = edge_late(40, 0.375 * INCH)
    assert parts["beam"][1] == pytest.approx(-2 * late, abs=1e-6)
    assert parts["beam"][0] == pytest.approx(body(ENTRY, "suv_with_hitch").length_ends[0])
    assert parts["quantisation"] == pytest.approx((-INCH, INCH))
    assert parts["delays"] == pytest.approx((-0.9 * INCH, -0.9 * INCH))  # 0.1 s at 9 in/s
    assert parts["scan"] == pytest.approx((-2 * FAST * 0.01, 2 * FAST * 0.01))
    assert ENTRY.measures.largest.key == "beam"
    total = ENTRY.measures.total
    assert (total.least, total.most) == pytest.approx(
        tuple(sum(ends) for ends in zip(*parts.values(), strict=True))
    )
    assert (PROFILE.measures, EXIT.measures) == (None, None)


def test_the_signal_falls_with_distance_and_steam():
    # Koschmieder's law with 5 % contrast over the beam's own length: 144 in across and 24 in up.
    way = hypot(144, 24)
    assert [one.left for one in EXIT.signal.steps] == pytest.approx(
        [3 * (60 * 12 / way) ** 2, 12, 12 * 0.05 ** (way / (16 * 12))]
    )
    assert (EXIT.signal.required, EXIT.signal.least) == (10.0, 1.5)


def angles_off(one, other):
    """Angle between two directions [rad]."""
    dot = sum(a * b for a, b in zip(one, other, strict=True))
    return acos(dot / sqrt(sum(a * a for a in one) * sum(b * b for b in other)))


def test_a_neighbor_in_the_cone_is_lit_and_the_angle_is_that_between_the_lines():
    sheet = put(DEMO, eyes__exit__position=5 * INCH)
    found = next(
        one for one in survey(sheet, YEAR).crosstalk if (one.emitter_of, one.receiver_of) == ("entry", "exit")
    )
    own, across = (0, -144, 24), (5, -144, 24)
    assert found.margin == pytest.approx(angles_off(own, across) - radians(1.5), abs=1e-9)
    assert found.spacing == pytest.approx(hypot(5, 144, 24) * INCH)


def test_pairs_that_look_against_each_other_do_not_disturb():
    assert not any(one.lit for one in SURVEY.crosstalk)
    assert len(SURVEY.crosstalk) == 6


def sun_by_pvlib(axis, view, when):
    """Whether the sun stands above the horizon and within a level receiver's view, by NREL's algorithm (pvlib)."""
    sun = solarposition.spa_python(when, 39.1, -94.6, altitude=0)
    up, turn = np.radians(90 - sun["zenith"]), np.radians(sun["azimuth"])
    off = np.arccos(np.clip(np.cos(up) * np.cos(turn - axis), -1, 1))
    # The window: 30 to 96 in from the floor, the lens at 60 in, 12 ft away; 4 ft before to 8 ft after the emitter.
    rise = np.tan(up) / np.cos(turn - axis)
    side = np.tan(turn - axis)
    through = (rise >= -30 / 144) & (rise <= 36 / 144) & (side >= -8 / 12) & (side <= 4 / 12)
    return ((up > 0) & (off <= view) & through).to_numpy()


def test_the_sun_looks_in_as_often_as_another_library_says():
    when = pd.date_range("2026-01-01", "2026-12-31 23:59", freq="min", tz="UTC")
    when = when[when.month.isin([1, 2, 10, 11, 12]) & (when.hour >= 21)]
    lit = sun_by_pvlib(radians(152 + 90), radians(1.5), when)
    local = when[lit].tz_convert(ZoneInfo("America/Chicago"))
    # Ours has a mean parallax and no refraction; the two may differ by a minute at an edge, some 20 days.
    assert PROFILE.sun.total == pytest.approx(lit.sum(), abs=6)
    for month in range(1, 13):
        assert sum(PROFILE.sun.calendar[month - 1]) == pytest.approx((local.month == month).sum(), abs=4)
    assert set(PROFILE.sun.months) == set(local.month)
    assert {hour for row in PROFILE.sun.calendar for hour, count in enumerate(row) if count} <= {16, 17}


def test_a_window_that_ends_before_the_sun_keeps_it_out():
    # The sun stands near the axis: a window wholly to one side of the emitter by more than the view lets none in.
    side = 144 * INCH * tan(radians(1.6))
    opening = replace(DEMO.eyes[1].opening, before=-side, after=8 * FOOT)
    assert visits(DEMO, replace(DEMO.eyes[1], opening=opening), YEAR) == []
    # Looking west-southwest from the driver's side the way of the cars, south-southeast, is to the left.
    left = replace(DEMO.eyes[1].opening, before=4 * FOOT, after=-0.01)
    right = replace(DEMO.eyes[1].opening, before=-0.01, after=8 * FOOT)
    found = [set(visits(DEMO, replace(DEMO.eyes[1], opening=one), YEAR)) for one in (left, right)]
    assert found[0]
    assert found[1]
    assert not found[0] & found[1]


def test_where_a_receiver_looks():
    # Cars face 152 degrees; right of that is 242, left of it 62. High receivers look down by atan(24/144).
    assert PROFILE.sun.azimuth == pytest.approx(radians(242))
    assert ENTRY.sun.azimuth == pytest.approx(radians(62))
    assert (PROFILE.sun.elevation, ENTRY.sun.elevation) == pytest.approx((0.0, -asin(24 / hypot(24, 144))))


def test_devices_run_by_whole_pulses_and_what_misses_the_car_has_a_price():
    presoak = SURVEY.applications[0]
    window = next(one for one in presoak.windows if one.body == "sedan")
    length = 4.85 / INCH  # the catalogue's sedan, in inches and so in pulses
    assert (window.on_pulse, window.off_pulse) == (floor(144 - 12), ceil(144 + length + 18))
    # 8 gal/min at 9 in/s: 12 in and 18 in beside the car, and on the average half a pulse of rounding.
    gallons = 8 / 60 * (30 + 0.5) / 9
    assert presoak.wasted_car * 264.172 == pytest.approx(gallons, rel=0.02)
    assert presoak.wasted_year == pytest.approx(presoak.wasted_car * 450 * 340)
    assert presoak.cost_year == pytest.approx(presoak.wasted_year * 264.172 * 0.40, rel=1e-5)


def test_a_device_for_wheels_runs_once_for_each():
    text = demo_text().replace("flow: 6 gal/min", "flow: 6 gal/min\n    wheels: true")
    found = survey(read_sheet(text, "wash.yaml"), YEAR).applications[1]
    front, rear = [one for one in found.windows if one.body == "sedan"]
    sedan = BODIES["sedan"]
    reach = sedan.tire_radius / INCH
    assert front.on_pulse == floor(360 - sedan.front_axle / INCH - reach - 6)
    assert rear.off_pulse == ceil(360 - sedan.rear_axle / INCH + reach + 12)
    assert front.off_pulse < rear.on_pulse


def test_what_a_wash_turns_away_has_no_window_and_no_finding():
    away = {"lifted_pickup", "pickup_hitch_rack", "sedan_bicycle_rack", "suv_with_trailer"}
    assert {one.id for one in ENTRY.bodies if one.turned_away} == away
    assert not away & {one.body for one in SURVEY.applications[0].windows}


def test_spares_supply_charge_and_pulses():
    mean = 0.25 * 12 * 10 / 365.25
    assert SURVEY.spares.demand == pytest.approx(mean)
    assert exp(-mean) < 0.95 < exp(-mean) * (1 + mean)
    assert SURVEY.spares.needed == 1
    assert SURVEY.spares.reached == pytest.approx(exp(-mean) * (1 + mean + mean**2 / 2))
    drop = 2 * 0.060 * 220 * 16.14 / 1000
    assert SURVEY.supply.at_head == pytest.approx(24 * 0.95 - drop)
    assert SURVEY.charge.seconds == pytest.approx(10_000 * 1000e-6 * log(340 / 15))
    assert (SURVEY.pulse_rate, SURVEY.pulse_limit) == pytest.approx((9.0, 25.0))


def test_every_body_of_the_catalogue_has_a_name_in_both_languages():
    assert set(BODY_NAMES) == set(BODIES)
    assert all(len(set(names)) >= 1 and all(names) for names in BODY_NAMES.values())


def test_a_vehicle_of_the_site_comes_first_and_is_marked_as_its_own():
    body_text = """
bodies:
  - {id: cart, name: {en: Parts cart, es: Carrito de partes}, class: van, length: 9 ft, height: 60 in, width: 55 in,
     wheelbase: 66 in, front_overhang: 20 in, ground_clearance: 8 in, front_bumper_bottom: 12 in,
     front_bumper_top: 22 in, rear_bumper_bottom: 12 in, rear_bumper_top: 22 in, hood_height: 30 in, hood_length: 10 in}
"""
    found = survey(read_sheet(demo_text() + body_text, "wash.yaml"), YEAR).pairs[0].bodies[0]
    assert (found.id, found.own, found.name.es) == ("cart", True, "Carrito de partes")
    assert found.seen


def test_a_survey_is_quick():
    # 0.2 s of one core here; ten times that leaves room for a busy machine.
    start = time.process_time()
    survey(DEMO, YEAR + 1)
    assert time.process_time() - start < 2.0
