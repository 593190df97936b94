"""A beam run from its first sight to its debrief: what is shown, what is hidden, what odd acts do, how it replays."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.benches import beam
from trainer.benches.acts import Act, Amount, read_form
from trainer.benches.beam import debriefing, scoring, showing, sunlight
from trainer.benches.beam.passing import passings
from trainer.benches.beam.playing import place_act, play
from trainer.benches.beam.task import Placed
from trainer.benches.catalogue import benches
from trainer.benches.frame import NoTask, done
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet
from trainer.sites.sheet import SIDES, StandingRoom
from trainer.sites.survey.reader import Reader
from trainer.solver.bodies import BODIES

INCH = 0.0254
READERS = [Reader("en", "us"), Reader("es", "metric")]
RUN_ALL, FINISH = Act("run", {"vehicle": "all"}), Act("finish", {})


def at(task, driver, passenger, receiver="passenger"):
    return place_act(task, Placed(driver * INCH, passenger * INCH, receiver))


def test_the_catalogue_knows_the_bench():
    assert benches()["beam"].CARD is beam.CARD


@pytest.mark.parametrize("level", [1, 2, 3])
@pytest.mark.parametrize("reader", READERS, ids=["us", "metric"])
def test_a_whole_run_is_shown_and_debriefed(make_task, level, reader):
    task = make_task(level=level, seed="r", system=reader.system)
    acts = []
    one = task.vehicles[-1].id
    for act in (None, place_act(task, task.start), Act("run", {"vehicle": one}), RUN_ALL, FINISH):
        if act is not None:
            assert beam.refusal(task, acts, act) is None
            acts.append(act)
        shown = beam.show(task, acts, reader)
        assert shown.task and shown.drawings and shown.tables and shown.caution[0] == "warning"
        for drawing in shown.drawings:
            assert drawing.svg.startswith("<svg") and drawing.text and "nan" not in drawing.svg
    assert beam.is_over(task, acts) and not shown.offers
    told = beam.debrief(task, acts, reader)
    assert told.outcome and told.best and told.advice and len(told.moments) == 2
    assert "None" not in repr(told) or reader.language == "en"


def test_a_vehicle_rolls_for_six_to_eight_seconds_and_stands_still_on_its_whole_trace(make_task):
    task = make_task()
    shown = beam.show(task, [at(task, 6, 30), Act("run", {"vehicle": task.vehicles[0].id})], READERS[0])
    assert 6 <= shown.drawings[0].seconds <= 8
    assert 'data-track="' in shown.drawings[0].svg and 'data-during="' in shown.drawings[0].svg


def test_heads_are_pulled_by_the_fields_of_the_form(make_task):
    for system in ("us", "metric"):
        task = make_task(system=system)
        svg = beam.show(task, [], Reader("en", system)).drawings[0].svg
        fields = {one.name for one in beam.kinds(task)[0].fields if isinstance(one, Amount)}
        assert fields == set(SIDES)
        for field in fields:
            assert f'data-y="{field}"' in svg and f'data-name="{field}"' in svg
        assert 'data-end-1="driver" data-end-2="passenger"' in svg


def test_what_is_shown_before_the_end_needs_neither_score_nor_sun(make_task, monkeypatch):
    task = make_task(level=3, seed="h")

    def forbidden(*_):
        raise AssertionError("what is hidden was asked for")

    for room in (scoring, sunlight, debriefing):
        for name in ("suns", "worth", "score", "sun_minutes_of", "best"):
            if hasattr(room, name):
                monkeypatch.setattr(room, name, forbidden)
    assert showing.show(task, [place_act(task, task.start), RUN_ALL], READERS[0]).drawings


def test_two_washes_that_differ_in_their_sun_alone_look_the_same_until_the_end(make_task):
    task = make_task(level=3, seed="h", view_half_angle=0.1)
    north = replace(task, sheet=replace(task.sheet, location=replace(task.sheet.location, latitude=1.0)))
    for acts in ([], [place_act(task, task.start)], [place_act(task, task.start), RUN_ALL]):
        for reader in READERS:
            assert repr(beam.show(task, acts, reader)) == repr(beam.show(north, acts, reader))
        assert [beam.refusal(task, acts, FINISH)] == [beam.refusal(north, acts, FINISH)]
    assert beam.score(task, [FINISH]).merit != beam.score(north, [FINISH]).merit


def test_the_same_stream_gives_the_same_task_and_score():
    for level in "123":
        one, other = (
            beam.make_task(demo_sheet(), {"level": level}, Stream(b"x", "run 7"), "us") for _ in range(2)
        )
        assert one == other and hash(one) == hash(other)
        assert beam.score(one, [RUN_ALL]) == beam.score(other, [RUN_ALL])
    drawn = {beam.make_task(demo_sheet(), {"level": "3"}, Stream(b"x", str(i)), "us") for i in range(12)}
    assert len(drawn) > 6


VALUES = st.dictionaries(
    st.sampled_from(["driver", "passenger", "receiver", "vehicle", "x"]),
    st.one_of(
        st.floats(),
        st.sampled_from(["all", "sedan", "driver", "", "passenger"]),
        st.sampled_from([6 * INCH, 0.762]),
    ),
    max_size=4,
)
ACTS = st.lists(st.builds(Act, st.sampled_from(["place", "run", "finish", "nod", ""]), VALUES), max_size=8)


@settings(max_examples=150)
@given(acts=ACTS, level=st.sampled_from([1, 3]))
def test_odd_acts_count_for_nothing(make_task, acts, level):
    task = make_task(level=level, seed="odd")
    found = beam.score(task, acts)
    assert 0 <= found.points <= 100
    kept = done(beam, task, acts)
    assert beam.score(task, kept) == found
    assert play(task, acts).tried == play(task, kept).tried
    assert beam.show(task, acts, READERS[0]).drawings


def test_nothing_can_be_done_after_the_end(make_task):
    task = make_task()
    acts = [at(task, 6, 30), FINISH, at(task, 48, 48)]
    assert beam.refusal(task, acts[:2], acts[2]) is not None
    assert beam.score(task, acts).points == beam.score(task, acts[:2]).points == 100


def test_running_costs_nothing_and_the_last_placement_counts(make_task):
    task = make_task()
    plain = beam.score(task, [at(task, 40, 40), FINISH])
    assert beam.score(task, [at(task, 6, 30), RUN_ALL, at(task, 40, 40), RUN_ALL, FINISH]) == plain
    assert plain.points < 80 and not plain.passed


def test_the_advice_names_the_head_that_is_farthest_off(make_task):
    task = make_task()
    told = beam.debrief(task, [at(task, 48, 30), FINISH], Reader("en", "us"))
    assert "Lower the driver's side head to 6" in told.advice.replace("\u00a0", " ")
    assert "100 points" in told.best


def test_a_car_that_is_cut_short_is_told_in_inches_and_pulses(make_task):
    task = make_task()  # 12 pulses a foot: an inch is a pulse
    told = beam.debrief(task, [at(task, 48, 48), FINISH], Reader("en", "us"))
    text = " ".join(told.outcome).replace("\u00a0", " ")
    assert "too short" in text and "pulses" in text
    number = float(text.lower().split("measured ")[1].split(" in")[0])
    pulses = int(text.split("too short, ")[1].split(" pulses")[0])
    assert pulses == round(number)


@pytest.mark.parametrize(("eye", "dim"), [("exit", True), ("entry", False)])
def test_light_that_no_height_gives_is_said_to_be_so(make_task, eye, dim):
    task = make_task(eye=eye)
    assert bool((passings(task).margin < 1).all()) is dim  # the demo's steam hangs at the exit
    told = " ".join(beam.debrief(task, beam.best(task).acts, Reader("en", "us")).outcome)
    assert ("too little light" in told) is dim and ("No height mends that" in told) is dim


def test_one_pulse_is_told_as_one(make_task):
    task = make_task()
    told = beam.debrief(task, beam.best(task).acts, Reader("en", "us"))
    text = " ".join(told.outcome).replace("\u00a0", " ")
    assert "too short, 1 pulse." in text and "1 pulses" not in text


def test_a_typed_height_goes_to_the_nearest_of_the_grid(make_task):
    task = make_task()
    act = read_form(
        beam.kinds(task), {"kind": "place", "driver": "6.7 in", "passenger": "2 ft 6 in"}, "en", "us"
    )
    assert [round(act.number(side) / INCH) for side in SIDES] == [6, 30]
    metric = make_task(system="metric")
    act = read_form(
        beam.kinds(metric), {"kind": "place", "driver": "16", "passenger": "77 cm"}, "es", "metric"
    )
    assert [round(act.number(side) * 100) for side in SIDES] == [15, 75]


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_level_fits_the_room_of_the_sheet(make_task, system):
    for level in (1, 2, 3):
        for seed in range(8):
            task = make_task(level=level, seed=str(seed), system=system, room=(5, 47))
            for side in SIDES:
                room = task.room(side)
                assert 5 * INCH <= room.low <= getattr(task.start, side) <= room.high <= 47 * INCH
                assert len(room.heights(task.step)) >= 3
                assert room.low / task.step == pytest.approx(round(room.low / task.step))


def no_task(sheet):
    with pytest.raises(NoTask) as refused:
        beam.make_task(sheet, {"level": "1"}, Stream(b"x", "y"), "us")
    assert refused.value.why.en and refused.value.why.es
    return refused.value.why.en


def test_a_sheet_that_allows_no_task_says_what_to_mend():
    sheet = demo_sheet()
    profiles = tuple(replace(one, purpose="profile") for one in sheet.eyes)
    assert "purpose" in no_task(replace(sheet, eyes=profiles))
    assert "turned_away" in no_task(replace(sheet, turned_away=tuple(BODIES)))
    tight = tuple(replace(one, may_stand=StandingRoom(0.5, 0.55, 0.0, 0.0)) for one in sheet.eyes)
    assert "may_stand" in no_task(replace(sheet, eyes=tight))


def test_other_sheets_make_tasks_too():
    sheet = demo_sheet()
    bare = tuple(replace(one, may_stand=None, opening=None) for one in sheet.eyes[:1])
    few = replace(
        sheet, eyes=bare, turned_away=tuple(set(BODIES) - {"van"}), bay=replace(sheet.bay, lane_offset=0.0)
    )
    assert [one.name for one in beam.options(few)] == ["level"]
    assert [one.name for one in beam.options(sheet)] == ["level", "eye"]
    for level in "123":
        task = beam.make_task(few, {"level": level}, Stream(b"x", "y"), "metric")
        assert [one.id for one in task.vehicles] == ["van"]
        assert beam.best(task).score.points == 100
        assert beam.show(task, [RUN_ALL], READERS[1]).drawings
