"""What the bench says of a pass, against the survey's own path, against shapes cut by shapely, against the law."""

import json
from dataclasses import asdict, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from trainer.benches.beam.passing import MISSED, ONCE, OVER, TWICE, UNDER, detected, passings, places, row_of
from trainer.benches.beam.rolling import Pass
from trainer.benches.beam.showing import across_table
from trainer.benches.beam.sunlight import looks, sun_minutes_of
from trainer.benches.beam.task import Placed
from trainer.sites.placing.candidates import moved
from trainer.sites.placing.results import Placement
from trainer.sites.survey.reader import Reader
from trainer.sites.survey.seeing import see
from trainer.solver.vehicles import BUMPER_ZONE

INCH = 0.0254
LENS = 0.75 * INCH


def test_an_everyday_car_is_met_at_its_bumper_by_a_level_beam_in_the_bumper_zone(make_task):
    # 49 CFR 581.7(a)(1): bumpers of passenger cars meet 16 to 20 in above the ground. Cars are cut square there.
    task = make_task(level=1, seed="a")
    cars = [i for i, one in enumerate(task.vehicles) if one.body.vehicle_class == "passenger_car"]
    assert cars
    for inches in range(round(BUMPER_ZONE[0] / INCH), round(BUMPER_ZONE[1] / INCH) + 1, 2):
        row = row_of(task, Placed(inches * INCH, inches * INCH, "passenger"))
        assert np.abs(passings(task).nose[row, cars]).max() <= LENS / 2
        assert (passings(task).fates[row, cars] == ONCE).all()


@pytest.mark.parametrize("inches", [(6, 30), (10, 44), (40, 40), (8, 8)])
def test_first_touch_and_last_leave_are_where_shapely_cuts_the_body(make_task, inches):
    # The axis alone, found by cutting polygons; a finite beam switches at most half a lens later or earlier.
    task = make_task(level=2, seed="s")
    placed = Placed(inches[0] * INCH, inches[1] * INCH, "passenger")
    bay = task.sheet.bay.width
    for vehicle in task.vehicles:
        found = detected(task, np.array([placed.driver]), np.array([placed.passenger]), vehicle)
        for at, offset in enumerate(places(task)):
            firsts, lasts = [], []
            for piece in vehicle.body.pieces:
                heights = [
                    placed.passenger + (placed.driver - placed.passenger) * (y + offset + bay / 2) / bay
                    for y in (piece.from_y, piece.to_y)
                ]
                low, high = min(heights), max(heights) + 1e-9
                band = Polygon([(-99, low), (99, low), (99, high), (-99, high)])
                cut = Polygon(piece.profile).intersection(band)
                if not cut.is_empty:
                    firsts.append(-cut.bounds[2])
                    lasts.append(-cut.bounds[0])
            nose, tail = min(firsts), max(lasts) + vehicle.body.tail
            assert found.nose_error[0, at] == pytest.approx(nose, abs=LENS / 2 + 1e-6)
            assert found.tail_error[0, at] == pytest.approx(tail, abs=LENS / 2 + 1e-6)


@settings(max_examples=25)
@given(driver=st.integers(2, 24), passenger=st.integers(2, 24))
def test_a_pass_ends_as_the_survey_counts_it(make_task, driver, passenger):
    task = make_task(level=3, seed="f", room=(4, 48))
    task = replace(
        task, driver=replace(task.driver, low=4 * INCH), passenger=replace(task.passenger, low=4 * INCH)
    )
    placed = Placed(driver * 2 * INCH, passenger * 2 * INCH, "passenger")
    high = "receiver" if placed.passenger >= placed.driver else "emitter"
    ends = sorted((placed.driver, placed.passenger))
    there = moved(task.sheet, task.eye, Placement(*ends, "passenger", high, task.eye.position))
    seen, row = passings(task), row_of(task, placed)
    for at, vehicle in enumerate(task.vehicles):
        survey, fates = see(task.sheet, there, vehicle), seen.fates[row, at]
        # The survey looks at many more places in the lane, so it finds all that we find.
        assert survey.counted >= 2 or not (fates == TWICE).any()
        assert not survey.seen or not np.isin(fates, (UNDER, OVER)).any()
        assert survey.passes_under or not (fates == UNDER).any()
        assert survey.passes_over or not (fates == OVER).any()
        if survey.seen:
            assert abs(seen.nose[row, at]) <= abs(survey.nose_error) + 1e-9
            assert abs(seen.tail[row, at]) <= abs(survey.tail_error) + 1e-9
        if survey.counted == 1 and survey.cuts == 1 and survey.part > task.eye.on_delay * 0.3:
            assert set(fates.tolist()) <= {ONCE, MISSED}


def test_a_beam_over_everything_and_one_under_a_sill_are_told_apart(make_task):
    task = make_task(level=1, seed="a", room=(4, 90))
    over = row_of(task, Placed(task.driver.high, task.passenger.high, "passenger"))
    assert (passings(task).fates[over] == OVER).all()
    assert np.isinf(passings(task).nose[over]).all()
    low = row_of(task, Placed(task.driver.low, task.passenger.low, "passenger"))
    assert (passings(task).fates[low] == TWICE).any()  # wheels alone: two cars out of one


def test_the_table_of_heights_is_a_straight_line_between_the_lenses(make_task):
    # Similar triangles, Euclid VI.2: 4 in and 40 in, so 22 in over the middle and 1.5 in higher 6 in to one side.
    task = make_task(level=1)
    table = across_table(task, Placed(4 * INCH, 40 * INCH, "passenger"), Reader("en", "us"))
    heights = [float(row[1].split()[0]) for row in table.rows]
    assert heights[0] == 4 and heights[-1] == 40 and heights[3] == 22
    assert heights[4] == 22 + 36 * 6 / 144 and heights[2] == 22 - 36 * 6 / 144
    assert heights[1] + heights[5] == pytest.approx(44)


def test_a_receiver_looks_across_and_down_by_the_tangent(make_task):
    # A right triangle: 24 in over 144 in is 9.46 degrees. Cars face 152, so the passenger's side looks to 62.
    task = make_task(level=3, seed="g", room=(4, 48))
    seen = looks(task, Placed(6 * INCH, 30 * INCH, "passenger"))
    assert np.degrees(seen.elevation) == pytest.approx(-9.462, abs=1e-3)
    assert np.degrees(seen.azimuth) == pytest.approx(62)
    assert np.degrees(looks(task, Placed(30 * INCH, 6 * INCH, "passenger")).elevation) == pytest.approx(
        9.462, abs=1e-3
    )


def test_minutes_of_sun_are_those_of_a_reference_almanac(make_task):
    # pvlib's implementation of the NREL solar position algorithm, every minute of the year, no refraction.
    pandas, pvlib = pytest.importorskip("pandas"), pytest.importorskip("pvlib")
    task = make_task(level=3, seed="sun")
    height = task.driver.high
    placed = Placed(height, height, "driver")
    place, opening, bay = task.sheet.location, task.wall("passenger"), task.sheet.bay.width
    looked = looks(task, placed).azimuth

    def sun(times):
        found = pvlib.solarposition.get_solarposition(times, *np.degrees([place.latitude, place.longitude]))
        aside, up = (
            np.radians(found["azimuth"].to_numpy()) - looked,
            np.radians(found["elevation"].to_numpy()),
        )
        return aside, up, np.arccos(np.clip(np.cos(up) * np.cos(aside), -1, 1))

    tens = pandas.date_range("2026-01-01", "2026-12-31 23:50", freq="10min", tz="UTC")
    near = tens[sun(tens)[2] < np.radians(6)]  # in ten minutes the sky turns by 2.5 degrees
    minutes = pandas.DatetimeIndex([one + pandas.Timedelta(minutes=by) for one in near for by in range(10)])
    aside, up, angle = sun(minutes)
    right, rise = bay * np.tan(aside), bay * np.tan(up) / np.cos(aside)
    forward = -right  # whoever looks from the driver's side has the way of the cars on the left
    through = (opening.sill <= height + rise) & (height + rise <= opening.head)
    through &= (-opening.before <= forward) & (forward <= opening.after)
    through &= up >= 0
    counted = int((through & (angle <= task.eye.view_half_angle)).sum())
    assert counted > 50
    assert sun_minutes_of(task, placed) == pytest.approx(counted, abs=max(4, 0.02 * counted))


def test_a_receiver_that_looks_at_a_solid_wall_has_no_sun(make_task):
    task = make_task(level=3, seed="sun")
    shut = replace(task, openings=(task.openings[0], None))
    height = task.driver.high
    assert sun_minutes_of(shut, Placed(height, height, "driver")) == 0
    assert sun_minutes_of(task, Placed(height, height, "driver")) > 0


def test_the_trace_of_a_pass_ends_where_its_errors_say(make_task):
    task = make_task(level=2, seed="c")
    for vehicle in task.vehicles:
        one = Pass(task, Placed(8 * INCH, 20 * INCH, "passenger"), vehicle)
        assert one.spans[0][0] == pytest.approx(one.nose)
        assert one.spans[-1][1] == pytest.approx(vehicle.body.length + one.tail)


def test_a_neighbors_light_that_holds_the_receiver_lit_takes_every_vehicle_away(make_task):
    task = make_task(level=1, seed="a")
    # A second pair in the very same place, thirty times as strong.
    twin = replace(task.eye, id="twin", excess_gain=1200.0)
    blind = replace(task, sheet=replace(task.sheet, eyes=(*task.sheet.eyes, twin)))
    placed = Placed(6 * INCH, 30 * INCH, "passenger")
    assert passings(blind).blinded[row_of(blind, placed)].any()
    assert not passings(task).blinded.any()


def test_a_task_is_plain_values(make_task):
    for level in (1, 2, 3):
        assert json.loads(json.dumps(asdict(make_task(level=level))))["level"] == level
