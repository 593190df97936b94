"""Tasks, acts and what is shown: the same for ever, without an error, and never what is hidden."""

import json
import math
import random
import time
from dataclasses import asdict, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.benches.aiming.aiming_cast import (
    FINISH,
    READ,
    SHEET,
    WAIT,
    HonestPlayer,
    clean,
    make_task,
    random_act,
    string,
    turn,
    with_hidden,
)
from trainer.benches import aiming
from trainer.benches.acts import Act, Pick
from trainer.benches.aiming.task import FINE, MOST_ACTS, Mist, Splash
from trainer.benches.aiming.telling import done_words
from trainer.benches.aiming.walk import walk
from trainer.benches.frame import NoTask, done
from trainer.language.draws import Stream
from trainer.sites.survey.reader import Reader

READERS = [Reader(language, system) for language in ("en", "es") for system in ("us", "metric")]


def test_the_same_stream_gives_the_same_task_and_plain_values():
    one, other = (aiming.make_task(SHEET, {"level": "3"}, Stream(b"s", "x"), "us") for _ in range(2))
    assert one == other
    assert json.loads(json.dumps(asdict(one)))["level"] == 3
    assert one != aiming.make_task(SHEET, {"level": "3"}, Stream(b"s", "y"), "us")


@pytest.mark.parametrize("eye", ["entry", "profile", "exit"])
def test_a_trainer_picks_level_and_pair(eye):
    picks = {pick.name: [option.id for option in pick.options] for pick in aiming.options(SHEET)}
    assert list(picks) == ["level", "eye"]
    assert picks == {"level": ["1", "2", "3"], "eye": ["entry", "profile", "exit"]}
    assert make_task(2, eye=eye).eye_name.en == f"{eye.capitalize()} eye"


def test_no_head_may_be_left_as_it_is():
    for level in (1, 2, 3):
        for label in range(40):
            task = make_task(level, str(label))
            for head in (0, 1):
                off = task.hidden.off[2 * head : 2 * head + 2]
                far = max(map(abs, off)) * task.steps[head] / FINE / task.half_angles[head]
                assert 1.3 < far < 2.4


def test_level_one_holds_no_surprise_level_two_one_level_three_both():
    for label in range(20):
        one, two, three = (make_task(level, str(label)).hidden for level in (1, 2, 3))
        assert (one.mist, one.splash, one.squint, one.strength) == (None, None, (0, 0, 0, 0), 1.0)
        assert (two.mist is None) != (two.splash is None)
        assert three.mist is not None and three.splash is not None


def test_a_pair_too_wide_to_aim_is_refused_with_the_mend():
    wide = tuple(replace(eye, view_half_angle=math.radians(30)) for eye in SHEET.eyes)
    with pytest.raises(NoTask) as refused:
        aiming.make_task(replace(SHEET, eyes=wide), {"level": "1"}, Stream(b"s", "x"), "us")
    assert "10° or less" in refused.value.why.en and "10° o menos" in refused.value.why.es
    one_wide = (wide[0], *SHEET.eyes[1:])
    task = aiming.make_task(replace(SHEET, eyes=one_wide), {"level": "1"}, Stream(b"s", "x"), "us")
    assert task.half_angles == (math.radians(1.5), math.radians(1.5))


@settings(max_examples=40, deadline=None)
@given(
    half=st.floats(0.1, 10),
    view=st.floats(0.1, 10),
    width=st.floats(2.4, 12),
    gain=st.floats(1.01, 5000),
    low=st.floats(0.1, 1),
    rise=st.floats(0, 1.5),
    level=st.sampled_from("123"),
    reader=st.sampled_from(READERS),
)
def test_any_sane_sheet_gives_a_task_to_show_and_play(half, view, width, gain, low, rise, level, reader):
    pair = replace(
        SHEET.eyes[0],
        half_angle=math.radians(half),
        view_half_angle=math.radians(view),
        excess_gain=gain,
        low=low,
        high=low + rise,
    )
    sheet = replace(SHEET, bay=replace(SHEET.bay, width=width), eyes=(pair,))
    task = aiming.make_task(sheet, {"level": level}, Stream(b"s", "x"), reader.system)
    best = aiming.best(task)
    assert best.score.points == 100
    acts = (string("emitter"), string("receiver"), READ, *best.acts)
    assert aiming.score(task, acts).points == 100
    for count in range(len(acts)):
        shown = aiming.show(task, acts[:count], reader)
        assert shown.drawings and all(one.svg.startswith("<svg") for one in shown.drawings)
        assert "nan" not in shown.drawings[1].svg
    assert aiming.debrief(task, acts, reader).advice


def test_steps_are_round_in_the_units_of_the_task():
    assert make_task(1).string_steps == pytest.approx((4 * 0.0254, 4 * 0.0254))
    assert make_task(1, system="metric").string_steps == pytest.approx((0.1, 0.1))
    assert make_task(1).steps == pytest.approx((math.radians(0.25), math.radians(0.25)))


def test_acts_replay_to_the_same_score_and_page():
    for level in (1, 2, 3):
        task = make_task(level)
        player = HonestPlayer(task)
        first = player.play()
        again = make_task.__wrapped__(level)
        assert aiming.score(again, player.acts) == first
        assert aiming.debrief(again, player.acts, READERS[0]) == aiming.debrief(task, player.acts, READERS[0])


ODD = st.one_of(
    st.builds(
        Act, st.text(max_size=8), st.dictionaries(st.text(max_size=4), st.floats() | st.text(max_size=4))
    ),
    st.builds(
        lambda kind, by: Act(kind, {"by": by}),
        st.sampled_from(["turn_emitter_pan", "turn_receiver_tilt", "read", "string"]),
        st.floats() | st.text(max_size=3),
    ),
    st.sampled_from(
        [READ, WAIT, FINISH, clean("emitter"), string("receiver"), Act("clean", {"head": "moon"})]
    ),
    st.builds(lambda steps: turn(make_task(3), "emitter_tilt", steps), st.integers(-60, 60)),
)


@settings(max_examples=150, deadline=None)
@given(st.lists(ODD, max_size=25))
def test_odd_acts_score_without_an_error(acts):
    task = make_task(3)
    found = aiming.score(task, acts)
    assert 0 <= found.points <= 100
    kept = done(aiming, task, acts)
    assert aiming.score(task, kept) == found
    assert aiming.is_over(task, acts) == (FINISH in acts)


def test_acts_after_the_end_change_nothing():
    task = make_task(2)
    best = aiming.best(task)
    assert aiming.score(task, [*best.acts, turn(task, "emitter_pan", 3), READ]) == best.score
    assert aiming.refusal(task, best.acts, READ) is not None


def test_the_run_ends_when_the_acts_run_out():
    task = make_task(1)
    assert not aiming.is_over(task, [READ] * (MOST_ACTS - 1))
    assert aiming.is_over(task, [READ] * MOST_ACTS)


def test_refusals_say_why():
    task = make_task(1)
    assert "Zero" in aiming.refusal(task, [], turn(task, "emitter_pan", 0)).en
    assert "stops" in aiming.refusal(task, [], turn(task, "emitter_pan", task.reach[0] + 1)).en
    assert aiming.refusal(task, [], turn(task, "emitter_pan", -task.reach[0])) is None
    worn = [turn(task, "emitter_pan", 1 if i % 2 else -1) for i in range(task.turns)]
    assert f"all {task.turns}" in aiming.refusal(task, worn, turn(task, "receiver_pan", 1)).en
    offered = [one.kind.kind for one in aiming.show(task, worn, READERS[0]).offers]
    assert not [kind for kind in offered if kind.startswith("turn_")]


# What tells nothing of what is hidden: no string, no reading.
BLIND = ["emitter_pan", "emitter_tilt", "receiver_pan", "receiver_tilt"]


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.builds(
                lambda axis, by: turn(make_task(3), axis, by), st.sampled_from(BLIND), st.integers(-30, 30)
            ),
            st.sampled_from([WAIT, clean("emitter"), clean("receiver")]),
        ),
        max_size=20,
    ),
    st.sampled_from(READERS),
)
def test_nothing_hidden_is_shown_to_who_measures_nothing(acts, reader):
    task = make_task(3)
    other = with_hidden(
        task,
        off=tuple(-one for one in task.hidden.off),
        squint=(0, 0, 0, 0),
        strength=0.7,
        film=(0.9, 0.0),
        wobble=(0.05,) * 60,
        mist=Mist(2, 50, 1.0),
        splash=Splash(3, 1, 0.5),
    )
    assert repr(aiming.show(task, acts, reader)) == repr(aiming.show(other, acts, reader))
    assert repr(aiming.kinds(task)) == repr(aiming.kinds(other))
    probes = [*acts, FINISH, READ, turn(task, "emitter_pan", 4)]
    assert [aiming.refusal(task, acts, one) for one in probes] == [
        aiming.refusal(other, acts, one) for one in probes
    ]


def test_what_is_measured_tells_only_what_was_measured():
    """Equal strings and readings, other dirt and surprises to come: the same page."""
    task = make_task(3)
    later = with_hidden(task, mist=Mist(45, 50, 1.0), splash=Splash(50, 0, 0.5))
    acts = [string("emitter"), string("receiver"), READ]
    assert repr(aiming.show(task, acts, READERS[0])) == repr(aiming.show(later, acts, READERS[0]))
    misses = make_task(3, "another")
    assert repr(aiming.show(task, acts, READERS[0])) != repr(aiming.show(misses, acts, READERS[0]))


def test_a_score_is_quick():
    task, dice = make_task(3), random.Random(1)
    acts = [random_act(task, dice) for _ in range(MOST_ACTS)]
    aiming.score(task, acts)
    start = time.perf_counter()
    for _ in range(10):
        aiming.score(task, acts)
    assert (time.perf_counter() - start) / 10 < 0.1


@pytest.mark.parametrize("reader", READERS)
def test_every_form_holds_what_its_fields_allow(reader):
    task = make_task(2, system=reader.system)
    for offer in aiming.show(task, [], reader).offers:
        for field in offer.kind.fields:
            if not isinstance(field, Pick):
                assert field.snapped(offer.values[field.name]) == pytest.approx(0, abs=1e-12)


def test_what_is_said_is_the_sentence_of_the_last_act():
    task = make_task(1)
    acts = [string("emitter"), READ, READ]
    shown = aiming.show(task, acts, READERS[0])
    assert shown.said == done_words(task, *walk(task, acts)[-2:], READERS[0])
    assert "You touched nothing in between." in shown.said
    assert len(shown.notes) == 3


def test_handles_pull_the_form_of_their_own_axis():
    task = make_task(1)
    plan, side = aiming.show(task, [], READERS[0]).drawings[1:]
    assert [f'data-form="turn_{head}_pan"' in plan.svg for head in ("emitter", "receiver")] == [True, True]
    assert [f'data-form="turn_{head}_tilt"' in side.svg for head in ("emitter", "receiver")] == [True, True]
    assert 'data-y="by"' in plan.svg


def test_no_line_lies_over_a_handle():
    """What is drawn after a handle and not inside one would take the finger: handles come last."""
    task = make_task(1)
    for drawing in aiming.show(task, [string("emitter")], READERS[0]).drawings[1:]:
        last_tied = drawing.svg.rindex("data-end-2")
        assert last_tied < drawing.svg.index('class="handle"')
