"""Which orders have full points: those of the regulation, all of them, and no others."""

import random
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.benches.lockout.lockout_cast import (
    AIR_ALONE,
    FINISH,
    TAKE_BACK,
    card,
    drawn_order,
    every_act,
    every_kind,
    laid,
    make,
    play,
)  # fmt: skip
from trainer.benches import lockout
from trainer.benches.lockout.orders import acts_of, right_order
from trainer.benches.lockout.scoring import judge
from trainer.benches.lockout.units import clause, units

# 29 CFR 1910.147(d), "in the following sequence", and (c)(9), 2015 edition read: prepare, shut down, isolate, lock,
# release, verify, work; those affected are told before the lock.
SEQUENCE = ("read", "stop", "isolate.p1", "lock.p1", "release.shop_air", "verify.shop_air", "work")
BACK = ("tools", "people", "remove.p1", "free", "start")


def is_right_by_the_rule(order):
    places = [order.index(one) for one in SEQUENCE]
    return places == sorted(places) and order.index("tell") < order.index("lock.p1")


def with_the_rest(order):
    """The try of Appendix A and the watch of (d)(5)(ii) put where they are in place in any right order."""
    found = []
    for one in order:
        found += {"verify.shop_air": ["try", "off", "keep.shop_air", one]}.get(one, [one])
    return (*found, *BACK)


def test_just_the_orders_of_the_rule_have_full_points():
    task = make(2, sheet=AIR_ALONE)
    steps = (*SEQUENCE[:-1], "tell")
    full = {
        order for order in permutations(steps)
        if lockout.score(task, play(task, *with_the_rest((*order, "work")))).points == 100
    }  # fmt: skip
    assert full == {order for order in permutations(steps) if is_right_by_the_rule((*order, "work"))}
    # By hand: telling goes before any of read, stop, isolate and lock.
    assert len(full) == 4


@pytest.mark.parametrize("task", every_kind(), ids=lambda task: f"{task.level}-{task.variant}")
def test_the_best_is_full_and_no_order_that_the_rules_allow_is_worth_less(task):
    best = lockout.best(task)
    assert best.score.points == 100 and best.score.merit == 0 and best.score.failed is None
    assert best.score == lockout.score(task, best.acts)
    assert sum(part.of for part in best.score.parts) == 100
    chance = random.Random(7)
    for _ in range(12):
        acts = acts_of(task, drawn_order(task, chance))
        got = lockout.score(task, acts)
        assert (got.points, got.merit, got.failed) == (100, 0, None), laid(task, acts)
        assert not judge(task, acts).faults


@given(seed=st.integers(0, 10**6), at=st.integers(0, 100))
def test_every_step_is_needed(seed, at):
    task = TASKS[seed % len(TASKS)]
    acts = [*lockout.best(task).acts]
    # What is done over and over is free; every other card is a step that is demanded.
    places = [i for i, one in enumerate(laid(task, acts)) if one not in ("fetch", "prove", "try", "off")]
    places = [i for i in places if laid(task, acts).count(laid(task, acts)[i]) == 1]
    gone = places[at % len(places)]
    less = lockout.score(task, acts[:gone] + acts[gone + 1 :])
    assert less.points < 100 and less.merit < 0


TASKS = every_kind("2")
FEW = [
    make(1),
    make(3, "absent_owner"),
    make(3, "dead_tester", "4"),
    make(3, "group"),
    make(1, "shift_change"),
]


def test_ten_thousand_random_plays_never_beat_the_best():
    chance = random.Random(11)
    acts = [every_act(task) for task in FEW]
    for i in range(10_000):
        task = FEW[i % len(FEW)]
        drawn = chance.choices(acts[i % len(FEW)], k=chance.randrange(1, 16))
        got = lockout.score(task, [*drawn, FINISH])
        assert got.merit <= 0 and 0 <= got.points <= 100
        assert got.merit < 0 or got.points == 100


def test_ten_thousand_greedy_plays_never_beat_the_best():
    """From a right order, one change after another is kept where the merit does not fall."""
    chance = random.Random(12)
    for round_ in range(100):
        task = FEW[round_ % len(FEW)]
        mine = [*lockout.best(task).acts[:-1]]
        chance.shuffle(mine)
        now = lockout.score(task, [*mine, FINISH]).merit
        for _ in range(100):
            other = changed(task, mine, chance)
            merit = lockout.score(task, [*other, FINISH]).merit
            assert merit <= 0
            if merit >= now:
                mine, now = other, merit


def changed(task, acts, chance):
    """One act taken out and put elsewhere, or another laid in its place."""
    acts = list(acts)
    one = acts.pop(chance.randrange(len(acts)))
    if chance.random() < 0.2:
        one = chance.choice(every_act(task))
    acts.insert(chance.randrange(len(acts) + 1), one)
    return acts


@given(seed=st.integers(0, 10**6))
def test_whatever_the_rules_find_costs_points_and_nothing_else_does(seed):
    chance = random.Random(seed)
    task = TASKS[seed % len(TASKS)]
    acts = acts_of(task, drawn_order(task, chance))[:-1]
    for _ in range(chance.randrange(1, 4)):
        acts = changed(task, acts, chance)
    judged = judge(task, [*acts, FINISH])
    got = lockout.score(task, [*acts, FINISH])
    undone = [one for one in units(task) if one not in judged.done]
    assert (got.points == 100) == (not judged.faults and not judged.traps and not undone)
    assert got.points == 100 or got.merit < 0


def test_greed_finds_its_way_to_the_best():
    # From any shuffle, small changes that do not cost end at full points: the score leads there.
    chance = random.Random(5)
    task = make(3, "absent_owner")
    mine = [*lockout.best(task).acts[:-1]]
    chance.shuffle(mine)
    now = lockout.score(task, [*mine, FINISH])
    for _ in range(3000):
        other = changed(task, mine, chance)
        got = lockout.score(task, [*other, FINISH])
        if got.merit >= now.merit:
            mine, now = other, got
    assert now.points == 100 and now.failed is None


@given(seed=st.integers(0, 10**6))
def test_the_order_beside_yours_is_right_and_begins_as_yours_does(seed):
    chance = random.Random(seed)
    task = TASKS[seed % len(TASKS)]
    mine = drawn_order(task, chance)
    assert list(right_order(task, mine)) == mine
    cut = chance.randrange(len(mine))
    shuffled = mine[:cut] + chance.sample(mine[cut:], len(mine) - cut)
    near = right_order(task, shuffled)
    assert list(near[:cut]) == mine[:cut]
    assert lockout.score(task, acts_of(task, near)).points == 100


def test_a_card_that_was_taken_back_was_never_laid():
    task = make(1)
    best = list(lockout.best(task).acts)
    early = [card("work", task), TAKE_BACK]
    assert lockout.score(task, [*early, *best]) == lockout.score(task, best)
    assert lockout.refusal(task, [], TAKE_BACK) is not None
    live = make(3, "plain")
    assert "done is done" in lockout.refusal(live, lockout.best(live).acts[:3], TAKE_BACK).en
    assert lockout.score(live, [lockout.best(live).acts[0], TAKE_BACK, *best]).points < 100


def test_every_unit_has_a_clause_of_the_rule():
    for task in TASKS:
        for unit in units(task).values():
            assert clause(unit).startswith("29 CFR 1910."), unit
