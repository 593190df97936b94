"""The best setting of the delay bench is unbeaten, and can be reasoned out from the numbers that are shown."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.benches.delay.test_delay_counting import LEVELS, task_of
from trainer.benches.acts import Act
from trainer.benches.delay import best, is_over, kinds, refusal, score
from trainer.benches.delay.asking import region
from trainer.benches.delay.scoring import MOST_TRIES, best_setting, tries
from trainer.benches.delay.task import STEP

LABELS = ("a", "b", "c")


def put(on_delay, off_delay):
    return Act("set", {"on_delay": on_delay, "off_delay": off_delay})


def random_play(task, chance):
    sets = [
        put(
            STEP * chance.randint(0, round(task.on_most / STEP)),
            STEP * chance.randint(0, round(task.off_most / STEP)),
        )
        for _ in range(chance.randint(0, 3))
    ]
    return [*sets, *([Act("finish", {})] if chance.random() < 0.7 else [])]


@pytest.mark.parametrize("level", LEVELS)
def test_ten_thousand_random_plays_never_beat_the_best(level):
    chance = random.Random(level)
    for label in LABELS:
        task = task_of(level, label)
        top = best(task).score
        assert top.points == 100 and top.passed
        for _ in range(10_000 // (3 * len(LABELS)) + 1):
            found = score(task, random_play(task, chance))
            assert found.merit <= top.merit and 0 <= found.points <= 100
            assert (found.points == 100) == (found.merit == top.merit)


@pytest.mark.parametrize("level", LEVELS)
def test_ten_thousand_greedy_steps_never_beat_the_best(level):
    chance = random.Random(level)
    steps = [(i, j) for i in (-4, -1, 0, 1, 4) for j in (-8, -1, 0, 1, 8)]
    for label in LABELS:
        task, tried = task_of(level, label), 0
        top = best(task).score.merit
        while tried < 10_000 // (3 * len(LABELS)) + 1:
            at = chance.randint(0, round(task.on_most / STEP)), chance.randint(0, round(task.off_most / STEP))
            merit, moved = -1.0, True
            while moved:
                moved = False
                for i, j in steps:
                    near = (
                        min(max(at[0] + i, 0), round(task.on_most / STEP)),
                        min(max(at[1] + j, 0), round(task.off_most / STEP)),
                    )
                    found = score(task, [put(STEP * near[0], STEP * near[1])]).merit
                    tried += 1
                    assert found <= top
                    if found > merit + 1e-9:
                        at, merit, moved = near, found, True


@pytest.mark.parametrize("level", ["1", "2"])
@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("label", [f"run {i}" for i in range(12)])
def test_who_reasons_from_the_numbers_gets_full_points(level, system, label):
    task = task_of(level, label, system)
    recommended = region(task.facts).recommended
    assert recommended is not None
    on_delay, off_delay = (round(one / STEP) * STEP for one in recommended)
    assert score(task, [put(on_delay, off_delay)]).points == 100
    # By hand, from the task's sentences alone: the slowest person's time and the longest hole, up to the next step.
    facts = task.facts
    person = math.ceil(facts.walker_depth / facts.walker_speed / STEP) * STEP
    hole = math.ceil(facts.hole / (facts.speed * (1 - facts.tolerance)) / STEP) * STEP
    assert score(task, [put(person, hole + 2 * STEP)]).points == 100


@pytest.mark.parametrize("label", LABELS)
def test_each_demand_that_is_missed_costs_points(label):
    task = task_of("2", label)
    facts, (on_delay, off_delay) = task.facts, best_setting(task)
    short = math.floor(facts.walker / STEP) * STEP
    long = math.ceil(facts.nose_error / facts.slow / STEP) * STEP + STEP
    narrow = math.floor((facts.hole - 0.01) / facts.slow / STEP) * STEP - STEP
    wide = math.ceil((facts.gap + 0.02) / facts.slow / STEP) * STEP + STEP
    lost = {
        "short": score(task, [put(short, off_delay)]), "long": score(task, [put(long, off_delay)]),
        "narrow": score(task, [put(on_delay, narrow)]), "wide": score(task, [put(on_delay, wide)]),
    }  # fmt: skip
    wrong = {
        name: {i for i, part in enumerate(one.parts) if part.got < part.of} for name, one in lost.items()
    }
    assert wrong["short"] == {0} and wrong["long"] == {4} and wrong["narrow"] == {2} and 3 in wrong["wide"]


def test_at_level_three_something_has_to_give():
    kinds_of_conflict = set()
    for i in range(30):
        task = task_of("3", f"run {i}")
        assert region(task.facts).empty
        assert best(task).score.merit < 100 and best(task).score.points == 100
        kinds_of_conflict.add((task.facts.carts, task.facts.rolled_pairs))
    assert kinds_of_conflict == {(1, 0), (2, 0), (0, 1), (0, 2)}


def test_to_bridge_a_hole_is_right_while_few_cars_were_rolled_up_and_wrong_when_many_were():
    seen = {}
    for i in range(40):
        task = task_of("3", f"run {i}")
        if task.facts.rolled:
            bridges = best_setting(task)[1] >= task.facts.hole / task.facts.slow - 1e-9
            seen.setdefault(task.facts.rolled_pairs, set()).add(bridges)
    assert seen == {1: {True}, 2: {False}}


def test_nothing_ignored_by_ignoring_everything():
    task = task_of("2")
    longest = score(task, [put(task.on_most, task.off_most)])
    assert longest.points < 80 and score(task, []).points < 80


numbers = st.one_of(st.floats(), st.integers(-5, 5).map(float), st.sampled_from(["0.5", "", "x"]))
odd_acts = st.builds(
    Act,
    st.sampled_from(["set", "finish", "", "aim"]),
    st.dictionaries(st.sampled_from(["on_delay", "off_delay", "x"]), numbers, max_size=3),
)


@settings(max_examples=200)
@given(st.lists(st.one_of(odd_acts, st.just(Act("finish", {})), st.just(put(0.6, 1.0))), max_size=30))
def test_odd_acts_have_a_score_and_those_that_are_refused_count_for_nothing(acts):
    task = task_of("1")
    kept = []
    for act in acts:
        if not is_over(task, kept) and refusal(task, kept, act) is None:
            kept.append(act)
    found = score(task, acts)
    assert 0 <= found.points <= 100 and found == score(task, kept)
    assert sum(part.of for part in found.parts) == pytest.approx(100)


def test_after_the_end_and_after_the_last_try_nothing_can_be_set():
    task = task_of("1")
    many = [put(0.6, 1.0)] * MOST_TRIES
    assert refusal(task, many[:-1], put(0.6, 1.0)) is None
    assert refusal(task, many, put(0.6, 1.0)) is not None
    assert refusal(task, many, Act("finish", {})) is None
    over = [*many, Act("finish", {})]
    assert is_over(task, over) and refusal(task, over, Act("finish", {})) is not None
    assert tries(task, [*over, put(0.1, 0.1)]) == tries(task, over)


def test_what_is_off_the_grid_cannot_be_set():
    task = task_of("1")
    assert refusal(task, [], put(0.62, 1.0)) is not None
    assert refusal(task, [], put(task.on_most + STEP, 1.0)) is not None
    assert [one.kind for one in kinds(task)] == ["set", "finish"]
