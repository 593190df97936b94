"""The array form of the two delays against the solver's timers, and the recording against what it promises."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.benches.delay import make_task
from trainer.benches.delay.counting import begun, outcomes, readings, worth
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet
from trainer.solver.recorded import scanned_count, what_counts
from trainer.solver.timers import walker_time

LEVELS = ("1", "2", "3")


def task_of(level="1", label="a", system="us", **fixed):
    return make_task(demo_sheet(), {"level": level, **fixed}, Stream(b"secret", label), system)


@st.composite
def traces(draw):
    edges = np.cumsum(draw(st.lists(st.integers(1, 60), min_size=2, max_size=24)))
    return [(int(on), int(off)) for on, off in zip(edges[::2], edges[1::2], strict=False)]


@given(traces(), st.integers(0, 60), st.integers(0, 90))
def test_which_blocks_begin_is_what_the_solver_s_timers_make_of_them(blocks, on_delay, off_delay):
    counted = what_counts(on_delay, off_delay, blocks)
    first = [
        owner is not None and counted.belongs.index(owner) == i for i, owner in enumerate(counted.belongs)
    ]
    assert begun(blocks, on_delay, off_delay).tolist() == first


@given(traces())
def test_many_settings_at_once_are_each_setting_alone(blocks):
    ons, offs = np.arange(0, 60, 7), np.arange(0, 90, 11)
    together = begun(blocks, ons[:, None], offs[None])
    alone = [[begun(blocks, on, off) for off in offs] for on in ons]
    assert (np.moveaxis(together, 0, -1) == np.array(alone)).all()


@given(traces(), st.integers(0, 12), st.integers(0, 18))
def test_a_delay_counts_as_whole_readings_as_a_scanned_controller_has_it(blocks, on_steps, off_steps):
    # IEC 61131-3 timers run on what the controller reads; all edges fall on readings here, so any phase reads alike.
    scan, on, off = 0.01, on_steps * 0.05, off_steps * 0.05
    spans = [(a * scan, b * scan) for a, b in blocks]
    found = scanned_count(on, off, spans, scan)
    assert found.least == found.most == begun(blocks, readings(on, scan), readings(off, scan)).sum()


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("label", ["a", "b", "c", "d"])
def test_a_recording_keeps_to_its_numbers(level, label):
    task = task_of(level, label)
    facts, scan = task.facts, task.facts.scan
    # Walking speed of the slowest person: 3.0 ft/s, MUTCD 2009, 4E.06; the demo's person is 20 1/2 in deep.
    assert walker_time(20.5 * 0.0254, 3.0 * 0.3048) == pytest.approx(facts.walker)
    events = task.events
    blocks = [block for event in events for block in event.blocks]
    assert all(before[1] <= after[0] for before, after in pairwise(blocks))
    assert blocks[-1][1] <= task.rest.end
    people = [one for one in events if one.kind == "person"]
    longest = max((one.blocks[0][1] - one.blocks[0][0]) * scan for one in people)
    assert facts.walker - scan <= longest <= facts.walker + scan
    assert (len(people) + facts.carts, sum(one.kind == "spray" for one in events)) == (
        facts.people,
        facts.sprays,
    )
    cars = [one for one in events if one.kind == "car"]
    assert len(cars) == facts.cars and sum(one.close for one in cars) == facts.pairs
    assert sum(one.holed for one in cars) == facts.holed
    for one in cars:
        assert facts.slow - 1e-9 <= one.speed <= facts.fast + 1e-9
        for before, after in pairwise(one.blocks):
            assert (after[0] - before[1] - 1) * scan * one.speed <= facts.hole
    for ahead, one in pairwise(events):
        gap = (one.blocks[0][0] - ahead.blocks[-1][1] + 1) * scan
        assert gap * (one.speed if one.close else facts.slow) >= (
            facts.rolled or facts.gap if one.close else facts.gap
        )


def test_the_hidden_part_is_harder_than_the_practice_part():
    task = task_of("2")
    scan = task.facts.scan

    def hardest(events):
        people = [(one.blocks[0][1] - one.blocks[0][0]) * scan for one in events if one.kind == "person"]
        holes = [b[0] - a[1] for one in events if one.holed for a, b in pairwise(one.blocks)]
        gaps = [one.blocks[0][0] - ahead.blocks[-1][1] for ahead, one in pairwise(events) if one.close]
        return max(people), max(holes), -min(gaps)

    practice, rest = hardest(task.practice.events), hardest(task.rest.events)
    assert all(mild < hard for mild, hard in zip(practice, rest, strict=True))


def test_a_nose_is_late_by_what_the_chain_goes_in_the_time():
    task = task_of("1")
    for one in outcomes(task, task.events, 0.6, 1.0):
        if one.event.kind == "car":
            facts = task.facts
            at_least = one.event.speed * (0.6 + facts.input_filter)
            assert at_least <= one.late <= at_least + one.event.speed * facts.scan + facts.beam_late + 1e-9


@pytest.mark.parametrize("level", LEVELS)
def test_every_setting_at_once_is_worth_what_each_is_alone(level):
    task = task_of(level)
    all_ = worth(task)
    for i, j in [(0, 0), (5, 3), (12, 40), (13, 20), (20, 4), (40, 90), (13, 85)]:
        told = outcomes(task, task.events, float(all_.on_delays[i]), float(all_.off_delays[j]))
        people = [one.times == 0 for one in told if one.event.kind in ("person", "cart")]
        spray = [one.times == 0 for one in told if one.event.kind == "spray"]
        cars = [one for one in told if one.event.kind == "car"]
        whole = [one.times == 1 for one in cars if one.event.holed]
        apart = [a.times >= 1 and b.times >= 1 for a, b in pairwise(cars) if b.event.close]
        nose = [one.late <= task.facts.nose_error + 1e-9 for one in cars]
        shares = (
            (25, people), (10, spray), (20, whole), (20, apart), (25, nose),
        )  # fmt: skip
        assert all_.raw[i, j] == pytest.approx(sum(of * sum(right) / len(right) for of, right in shares))
