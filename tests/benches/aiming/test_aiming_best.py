"""Nothing beats the stated best, and an honest player who knows nothing hidden comes near it."""

import math
import random
from statistics import mean

import pytest

from tests.benches.aiming.aiming_cast import FINISH, HonestPlayer, clean, make_task, random_act, turn
from trainer.benches import aiming
from trainer.benches.acts import Act
from trainer.benches.aiming.light import Heads, budget, margin
from trainer.benches.aiming.scoring import best_turned
from trainer.benches.aiming.task import AXES
from trainer.solver.signal_budget import signal_budget

TASKS = [(level, f"b{level}", eye) for level in (1, 2, 3) for eye in ("entry", "exit")]
PLAYS = 10_000 // len(TASKS) + 1


@pytest.mark.parametrize(("level", "label", "eye"), TASKS)
def test_random_plays_never_beat_the_best(level, label, eye):
    task, dice = make_task(level, label, eye), random.Random(level)
    top = aiming.best(task).score
    assert top.points == 100
    for _ in range(PLAYS):
        acts = [random_act(task, dice, most=9) for _ in range(dice.randint(0, 9))]
        found = aiming.score(task, [*acts, FINISH])
        assert found.merit <= top.merit
        assert 0 <= found.points <= 100


@pytest.mark.parametrize(("level", "label", "eye"), TASKS)
def test_greedy_plays_never_beat_the_best(level, label, eye):
    """Greedy: for each axis in a drawn order the turn with the most light of three drawn ones; then lenses at will."""
    task, dice = make_task(level, label, eye), random.Random(level)
    top = aiming.best(task).score.merit
    seen = 0.0
    for _ in range(PLAYS):
        acts = _greedy(task, dice)
        found = aiming.score(task, acts).merit
        assert found <= top
        seen = max(seen, found)
    assert seen > 0.9 * top


def _greedy(task, dice):
    turned = [0, 0, 0, 0]
    for axis in dice.sample(range(4), 4):
        goal = best_turned(task)[axis]
        tries = [goal + dice.randint(-3, 3) for _ in range(3)]
        fitting = [one for one in tries if abs(one) <= task.reach[axis // 2]] or [0]
        turned[axis] = max(fitting, key=lambda one: margin(task, Heads(_with(turned, axis, one))))
    acts = [turn(task, AXES[axis], steps) for axis, steps in enumerate(turned)]
    return [*acts, *(clean(head) for head in ("emitter", "receiver") if dice.random() < 0.8), FINISH]


def _with(turned, axis, steps):
    return tuple(steps if i == axis else at for i, at in enumerate(turned))


def test_the_best_is_the_largest_of_all_settings_near_it():
    """Every setting within two steps of the best, all 625 of them, scored in full."""
    task = make_task(3, "all")
    top, goal = aiming.best(task).score.merit, best_turned(task)
    around = range(-2, 3)
    for a, b, c, d in ((a, b, c, d) for a in around for b in around for c in around for d in around):
        turned = [at + more for at, more in zip(goal, (a, b, c, d), strict=True)]
        acts = [turn(task, AXES[axis], steps) for axis, steps in enumerate(turned)]
        found = aiming.score(task, [*acts, clean("emitter"), clean("receiver"), FINISH]).merit
        assert found <= top if (a, b, c, d) == (0, 0, 0, 0) else found <= top + 1e-12


def test_the_best_is_done_before_anything_comes():
    for level in (2, 3):
        for label in "abcdefgh":
            task = make_task(level, label)
            hidden = task.hidden
            starts = [
                one
                for one in (hidden.mist and hidden.mist.start, hidden.splash and hidden.splash.minute)
                if one
            ]
            acts = aiming.best(task).acts
            minutes = sum({"clean": 2, "finish": 0}.get(act.kind, 1) for act in acts)
            assert minutes < min(starts)


@pytest.mark.parametrize("level", [1, 2, 3])
def test_an_honest_player_reaches_the_best(level):
    """Reads, turns, reads, and wipes; sees what a learner sees."""
    eyes = ("entry", "profile", "exit")
    points = [HonestPlayer(make_task(level, f"h{i}", eyes[i % 3])).play().points for i in range(18)]
    assert mean(points) >= 95
    assert min(points) >= 90
    assert max(points) == 100


@pytest.mark.parametrize("level", [1, 2, 3])
def test_the_string_alone_seldom_passes(level):
    results = [HonestPlayer(make_task(level, f"h{i}"), signal=False).play() for i in range(24)]
    assert mean(one.points for one in results) < 50
    assert sum(one.passed for one in results) <= 3


@pytest.mark.parametrize("lone", ["emitter", "receiver"])
@pytest.mark.parametrize("level", [1, 2, 3])
def test_one_head_aimed_is_not_enough(level, lone):
    for label in "abcdef":
        task = make_task(level, label)
        acts = [act for act in aiming.best(task).acts if not act.kind.startswith("turn") or lone in act.kind]
        found = aiming.score(task, acts)
        assert found.points < 20
        assert not found.passed


def test_turns_beyond_the_free_ones_cost_points():
    task = make_task(1)
    *turns, wipe, wipe_other, end = aiming.best(task).acts
    to_and_fro = [Act("turn_emitter_pan", {"by": by * task.steps[0]}) for by in (1, -1)]
    spare = (task.par - len(turns)) // 2
    free = [*to_and_fro * spare, *turns, wipe, wipe_other, end]
    assert aiming.score(task, free).points == 100
    dear = [*to_and_fro * (spare + 1), *turns, wipe, wipe_other, end]
    assert aiming.score(task, dear).points < 100
    assert aiming.score(task, dear).merit < aiming.score(task, free).merit


def test_wiped_lenses_are_part_of_the_best():
    task = make_task(1)
    without = [act for act in aiming.best(task).acts if act.kind != "clean"]
    assert aiming.score(task, without).merit < aiming.best(task).score.merit


def test_scored_light_is_the_margin_of_a_gain_measured_on_the_spot():
    task = make_task(1)
    goal = Heads(best_turned(task), (0.2, 0.1))
    measured = signal_budget(budget(task, goal).gain, task.distance, environment=task.environment)
    assert margin(task, goal) == pytest.approx(measured.margin, rel=1e-12)


def test_pan_and_tilt_add_up_like_directions_in_space():
    """The angle of two small turns against the exact angle between two unit vectors (spherical trigonometry)."""
    for degrees in (0.5, 2, 5, 10, 23):
        pan = tilt = math.radians(degrees)
        exact = math.acos(math.cos(pan) * math.cos(tilt))
        assert math.hypot(pan, tilt) == pytest.approx(exact, rel=0.02)
