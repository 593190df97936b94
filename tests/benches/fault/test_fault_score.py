"""The score of a search: nothing beats the best, luck counts for nothing, an open cabinet ends it."""

import json
import random
from dataclasses import asdict, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.benches.fault.fault_cast import ISOLATE, SHEET, make, make_test, name_act, with_hidden
from trainer.benches import fault
from trainer.benches.acts import Act, act_document, read_form, read_kept
from trainer.benches.fault.faults import repair_of
from trainer.benches.fault.loop_tests import TESTS
from trainer.benches.fault.run import repairs, run_of
from trainer.benches.fault.showing import spent
from trainer.benches.frame import NoTask
from trainer.solver.search_rules import RULES, rule_test

TASKS = [make(level, seed=f"{level}{i}") for level in (1, 2, 3) for i in range(4)]


def cost_by_recursion(task):
    """Least expected minutes to the end, by trying every test on every set of faults: no use of the solver."""
    known = {}
    chance = dict(enumerate(task.chances))
    closed = {i for i, one in enumerate(task.tests) if TESTS[one].after_isolation}

    def cost(left, isolated):
        if (left, isolated) not in known:
            found = []
            for test, took in enumerate(task.minutes):
                parts = {}
                for one in left:
                    parts.setdefault(task.outcomes[test][one], set()).add(one)
                if len(parts) > 1:
                    now = isolated or test not in closed
                    rest = sum(cost(frozenset(part), isolated or not now) for part in parts.values())
                    extra = took + (0 if now else task.isolation)
                    found.append(extra * sum(chance[one] for one in left) + rest)
            known[left, isolated] = min(found, default=0.0)
        return known[left, isolated]

    there = frozenset(i for i, one in chance.items() if one)
    return cost(there, False) / sum(task.chances)


@pytest.mark.parametrize("task", [one for one in TASKS if sum(map(bool, one.chances)) <= 11][:6])
def test_the_least_minutes_agree_with_a_search_through_everything(task):
    assert task.policy.expected_minutes == pytest.approx(cost_by_recursion(task), rel=1e-9)


@pytest.mark.parametrize("task", TASKS)
def test_the_best_has_full_points_whatever_is_hidden(task):
    total = 0.0
    for one in with_hidden(task):
        best = fault.best(one)
        assert (best.score.points, best.score.merit, best.score.failed) == (100, 0.0, None)
        assert best.score == fault.score(one, best.acts)
        assert fault.is_over(one, best.acts) and not fault.is_over(one, best.acts[:-1])
        total += one.chances[one.hidden] * spent(one, run_of(one, best.acts))
    # Over all that may be hidden, the minutes of the best are what the solver says.
    assert total / 100 == pytest.approx(task.policy.expected_minutes)


def random_act(task, chance):
    kind = chance.random()
    if kind < 0.75:
        return make_test(chance.choice(task.tests))
    if kind < 0.9:
        return ISOLATE
    return name_act(chance.choice(task.hypotheses), chance.choice(repairs(task)))


def test_ten_thousand_random_runs_never_beat_the_best():
    chance = random.Random(1)
    hidden = [one for task in TASKS for one in with_hidden(task)]
    for _ in range(10_000):
        task = chance.choice(hidden)
        score = fault.score(task, [random_act(task, chance) for _ in range(chance.randint(0, 12))])
        assert score.merit <= 0.0 and 0 <= score.points <= 100
        assert (score.merit < 0.0) or score.points == 100


def greedy_run(task, rule, chance):
    """Tests by a rule of thumb, at times another one, until all that is left has one repair or patience ends."""
    acts, left, isolated = [], set(task.policy.table.faults(task.policy.table.everything)), False
    while len({repair_of(task.hypotheses[one]) for one in left}) > 1 and chance.random() < 0.97:
        test = rule_test(task.policy.table, rule, task.policy.table.bits(left), isolated)
        if chance.random() < 0.1:
            test = chance.randrange(len(task.tests))
        if TESTS[task.tests[test]].after_isolation and not isolated:
            acts.append(ISOLATE)
            isolated = True
        acts.append(make_test(task.tests[test]))
        left = {one for one in left if task.outcomes[test][one] == task.outcomes[test][task.hidden]}
    likeliest = task.hypotheses[max(left, key=lambda one: task.chances[one])]
    return [*acts, name_act(likeliest, repair_of(likeliest))]


def test_ten_thousand_greedy_runs_never_beat_the_best():
    chance = random.Random(2)
    hidden = [one for task in TASKS for one in with_hidden(task)]
    for _ in range(10_000):
        task = chance.choice(hidden)
        score = fault.score(task, greedy_run(task, chance.choice(list(RULES)), chance))
        assert score.merit <= 0.0 and 0 <= score.points <= 100


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("task", TASKS[4:9])
def test_regret_is_what_a_rule_costs_more_than_the_best_on_average(task, rule):
    # The mean over everything that may be hidden: what luck gives to one, it takes from another.
    table = task.policy.table
    minutes = regret = 0.0
    for one in with_hidden(task):
        acts, left, isolated = [], table.everything, False
        while (test := rule_test(table, rule, left, isolated)) is not None:
            if test in table.after_isolation and not isolated:
                acts.append(ISOLATE)
                isolated = True
            acts.append(make_test(one.tests[test]))
            left = table.split(left, test)[one.code(test, one.hidden)]
        run = run_of(one, acts)
        minutes += one.chances[one.hidden] * spent(one, run) / 100
        regret += one.chances[one.hidden] * -(fault.score(one, acts).merit + 60.0) / 100
    assert minutes - regret == pytest.approx(task.policy.expected_minutes)


def test_a_lucky_guess_earns_neither_name_nor_repair():
    task = make(2, eye="entry", fault="dirty_lens")
    score = fault.score(task, [name_act("dirty_lens", "clean")])
    assert score.points == 0 and score.merit < 0
    unlucky = replace(task, hidden=task.hypotheses.index("misaligned"))
    assert fault.score(unlucky, [name_act("dirty_lens", "clean")]) == score


def test_what_is_ruled_out_is_not_named():
    task = make(1, eye="entry", fault="dirty_lens")
    proven = list(fault.best(task).acts[:-1])
    wrong = fault.score(task, [*proven, name_act("misaligned", "clean")])
    assert [part.got for part in wrong.parts] == [60.0, 0.0, 15.0]
    needless = fault.score(task, [*proven, name_act("dirty_lens", "new_receiver")])
    assert [part.got for part in needless.parts] == [60.0, 25.0, 0.0]
    assert not needless.failed


def test_of_two_that_look_alike_either_name_is_right():
    task = make(1, eye="entry", fault="dead_head")
    proven = list(fault.best(task).acts[:-1])
    for one in ("dead_head", "wrong_head"):
        assert fault.score(task, [*proven, name_act(one, "fit_head")]).points == 100


@pytest.mark.parametrize("test", ["fuse", "ohms", "spare_input"])
def test_the_cabinet_before_isolation_ends_the_run_whatever_the_points(test):
    task = make(2, eye="entry", fault="short")
    acts = [make_test("signal"), make_test(test)]
    assert fault.refusal(task, acts[:1], acts[1]) is None
    score = fault.score(task, acts)
    assert score.failed and not score.passed and score.merit < -500
    assert "1910.147" in score.failed.en and "1910.333" in score.failed.es
    assert fault.is_over(task, acts)
    assert fault.score(task, [*acts, *fault.best(task).acts]) == score
    assert not fault.score(task, [ISOLATE, *acts]).failed


def test_a_test_is_made_once_and_the_lockout_too():
    task = make(2)
    assert fault.refusal(task, [make_test("look")], make_test("look"))
    assert fault.refusal(task, [ISOLATE], ISOLATE)
    assert fault.refusal(task, [], make_test("look")) is None
    assert fault.refusal(make(1), [], ISOLATE) and fault.refusal(make(1), [], make_test("fuse"))
    twice = [make_test("look"), make_test("look")]
    assert fault.score(task, twice) == fault.score(task, twice[:1])


odd_acts = st.lists(
    st.builds(
        Act,
        st.sampled_from(["test", "isolate", "name", "run", ""]),
        st.dictionaries(
            st.sampled_from(["test", "fault", "repair", "block"]),
            st.sampled_from(["look", "fuse", "aim", "short", "clean", "dirty_lens", "", "x"]) | st.floats(),
            max_size=3,
        ),
    ),
    max_size=10,
)


@given(odd_acts, st.sampled_from(TASKS))
def test_odd_acts_have_a_score_and_no_error(acts, task):
    score = fault.score(task, acts)
    assert 0 <= score.points <= 100 and score.merit <= 0
    assert sum(part.of for part in score.parts) == 100


@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_task_and_its_acts_replay(system):
    for level in (1, 2, 3):
        one, two = make(level, "7", system), make(level, "7", system)
        assert one == two and json.loads(json.dumps(asdict(one)))["hidden"] == one.hidden
        acts = fault.best(one).acts
        kept = [read_kept(fault.kinds(one), json.loads(json.dumps(act_document(act)))) for act in acts]
        assert tuple(kept) == acts
        assert fault.score(two, kept) == fault.best(two).score


def test_acts_are_read_from_forms():
    task = make(2)
    assert read_form(fault.kinds(task), {"kind": "test", "test": "look"}, "en", "us") == make_test("look")
    assert read_form(fault.kinds(task), {"kind": "isolate"}, "es", "metric") == ISOLATE


def test_what_a_trainer_fixes_is_there():
    for pick in fault.options(SHEET)[1].options:
        task = make(3, fault=pick.id)
        assert task.hypotheses[task.hidden] == pick.id and task.chances[task.hidden] > 0
    assert make(1, eye="profile").eye.en == "Profile eye"


def test_what_cannot_be_made_says_its_mend():
    with pytest.raises(NoTask, match="higher level"):
        make(1, fault="dead_input")
    with pytest.raises(NoTask, match="control cabinet"):
        make(2, sheet=replace(SHEET, cabinets=()))
    with pytest.raises(NoTask, match="energy source"):
        make(2, sheet=replace(SHEET, energy_sources=()))
    dim = replace(SHEET, eyes=tuple(replace(eye, excess_gain=1.0) for eye in SHEET.eyes))
    with pytest.raises(NoTask, match="excess gain"):
        make(1, sheet=dim)
    assert make(1, sheet=replace(SHEET, cabinets=())).isolation == 0


def test_a_wash_of_one_eye_has_no_neighbor():
    task = make(2, sheet=replace(SHEET, eyes=SHEET.eyes[:1]))
    assert "crosstalk" not in task.hypotheses and "neighbor" not in task.tests
    assert sum(task.chances) == 100


def test_chances_add_up_and_nothing_possible_is_left_out():
    for seed in range(60):
        for level in (1, 2, 3):
            task = make(level, str(seed))
            assert sum(task.chances) == 100 and task.chances[task.hidden] > 0
            assert len(task.policy.table.groups) <= 18
