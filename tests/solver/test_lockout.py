"""Orders of a lockout by brute enumeration, several sources, own locks, and the clause of each broken constraint."""

import importlib.util
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver import lockout
from trainer.solver.lockout import (
    ABSENT_OWNER,
    CONTRACTOR,
    GIVING_BACK,
    LOCKOUT,
    PROCEDURES,
    TRIAL_RUN,
    absent_owner_check,
    contractor_check,
    count_orders,
    lockout_check,
    lockout_plan,
    release_check,
    trial_run_check,
)
from trainer.solver.numbers import BadInput
from trainer.solver.procedures import (
    Broken,
    Constraint,
    Procedure,
    Step,
    count_orders_of,
    orders,
    plan_of,
    procedure_check,
    right_orders,
)

RIGHT = ("prepare", "notify", "shut_down", "isolate", "lock", "release", "verify", "work")


def steps(*acts):
    return [Step(act) for act in acts]


@pytest.mark.parametrize("order", ["strict", "tolerant"])
def test_the_check_accepts_just_the_right_orders(order):
    accepted = {
        acts for acts in permutations(RIGHT) if lockout_check(["electric"], steps(*acts), order).valid
    }
    assert accepted == set(right_orders(LOCKOUT[order]))
    assert len(accepted) == count_orders(order)


def test_giving_back_and_test_run_orders():
    back = {a for a in permutations(GIVING_BACK.acts) if release_check(["air"], steps(*a)).valid}
    trial = {a for a in permutations(TRIAL_RUN.acts) if trial_run_check(["air"], steps(*a)).valid}
    assert back == set(right_orders(GIVING_BACK))
    assert trial == {("clear_tools", "clear_people", "remove", "energize_and_test", "reapply")}


def test_every_broken_constraint_is_named_with_step_rule_and_clause():
    verdict = lockout_check(
        ["electric"], steps("prepare", "notify", "isolate", "lock", "shut_down", "verify", "work")
    )
    assert verdict.broken == (
        Broken(2, "shut_down_before_isolate", "29 CFR 1910.147(d)(2)"),
        Broken(5, "release_before_verify", "29 CFR 1910.147(d)(5)(i)", "electric"),
    )


SOURCES = ("mains", "air", "brush")


@st.composite
def right_order(draw, plan):
    """Any right order of a plan, drawn step by step from those that are ready."""
    done = []
    while len(done) < len(plan.steps):
        done.append(draw(st.sampled_from(plan.ready(done))))
    return [plan.steps[index] for index in done]


@pytest.mark.parametrize("name", sorted(PROCEDURES))
@given(data=st.data(), sources=st.sets(st.sampled_from(SOURCES), min_size=1).map(sorted))
def test_any_right_order_is_accepted_and_any_swap_over_an_edge_is_named_with_its_clause(name, data, sources):
    procedure = PROCEDURES[name]
    plan = plan_of([(procedure, sources)])
    order = data.draw(right_order(plan))
    assert procedure_check(procedure, order, sources).valid
    for first, then, clause in plan.edges:
        assert_swap_is_named(
            plan, order, (first, then, clause), lambda s: procedure_check(procedure, s, sources)
        )


@given(data=st.data(), order=st.sampled_from(["strict", "tolerant"]))
def test_so_it_is_with_energy_that_comes_back(data, order):
    sources = data.draw(st.sets(st.sampled_from(SOURCES), min_size=1).map(sorted))
    comes_back = sorted(data.draw(st.sets(st.sampled_from(sources))))
    plan = lockout_plan(sources, order, comes_back)
    sequence = data.draw(right_order(plan))
    assert lockout_check(sources, sequence, order, comes_back).valid
    for edge in plan.edges:
        assert_swap_is_named(plan, sequence, edge, lambda s: lockout_check(sources, s, order, comes_back))


def assert_swap_is_named(plan, order, edge, judge):
    first, then, clause = plan.steps[edge[0]], plan.steps[edge[1]], edge[2]
    swapped = list(order)
    at, later = swapped.index(first), swapped.index(then)
    swapped[at], swapped[later] = then, first
    verdict = judge(swapped)
    assert not verdict.valid
    named = {(fault.step, fault.rule, fault.clause, fault.source) for fault in verdict.broken}
    assert (at, f"{first.act}_before_{then.act}", clause, first.source) in named


@pytest.mark.parametrize("name", sorted(PROCEDURES))
def test_leaving_out_any_demanded_act_breaks_any_procedure(name):
    procedure = PROCEDURES[name]
    for left_out in set(procedure.acts) - procedure.optional:
        rest = [Step(act) for act in procedure.acts if act != left_out]
        verdict = procedure_check(procedure, rest)
        assert not verdict.valid
        assert any(left_out in fault.rule for fault in verdict.broken)
        assert all(fault.clause.startswith("29 CFR 1910.147(") for fault in verdict.broken)


def test_number_of_orders_of_two_sources():
    # Two chains of four weave in 8!/(4! 4!) = 70 ways. In 30 the first lock stands after one isolation, in 40 after
    # two; notify goes anywhere before it: among prepare, shut down and those isolations, in 4 or 5 places.
    plan = lockout_plan(("mains", "air"))
    assert count_orders_of(plan) == 30 * 4 + 40 * 5
    assert count_orders_of(plan) == sum(1 for _ in orders(plan))
    # Monitoring the air is one more step, anywhere between its release and work.
    assert count_orders_of(lockout_plan(("air",), comes_back=("air",))) == 4 * 2


def test_energy_that_comes_back_is_verified_until_the_work_is_done():
    air = [*steps(*RIGHT[:-1]), Step("keep_verifying", "air"), Step("work")]
    assert lockout_check(["mains", "air"], air, comes_back=["air"]).valid
    assert lockout_check(["mains", "air"], steps(*RIGHT), comes_back=["air"]).broken == (
        Broken(7, "keep_verifying_before_work", "29 CFR 1910.147(d)(5)(ii)", "air"),
    )
    assert lockout_check(["mains", "air"], steps(*RIGHT[:-1]), comes_back=["air"]).broken == (
        Broken(None, "keep_verifying_missing", "29 CFR 1910.147(d)(5)(ii)", "air"),
    )
    with pytest.raises(BadInput, match="comes_back is 'steam'"):
        lockout_check(["air"], air, comes_back=["steam"])
    with pytest.raises(BadInput, match="comes_back is 'steam'"):
        lockout_plan(["air"], comes_back=["steam"])


def test_the_lock_of_somebody_who_is_away():
    # 29 CFR 1910.147(e)(3): verified away, tried to reach, told before resuming; (i) and (ii) in either order.
    assert len(list(right_orders(ABSENT_OWNER))) == 6
    done = steps("have_written_procedure", "try_to_reach", "verify_absent", "remove")
    assert absent_owner_check(["mains"], done).valid
    assert absent_owner_check(["mains"], [*done, Step("owner_resumes")]).broken == (
        Broken(4, "tell_owner_before_owner_resumes", "29 CFR 1910.147(e)(3)(iii)"),
    )
    assert {fault.clause for fault in absent_owner_check(["mains"], steps("remove")).broken} == {
        "29 CFR 1910.147(e)(3)", "29 CFR 1910.147(e)(3)(i)", "29 CFR 1910.147(e)(3)(ii)",
    }  # fmt: skip


def test_two_firms_tell_each_other_first():
    assert len(list(right_orders(CONTRACTOR))) == 3
    verdict = contractor_check(steps("tell_contractor", "contractor_works"))
    assert [fault.clause for fault in verdict.broken] == [
        "29 CFR 1910.147(f)(2)(i)",
        "29 CFR 1910.147(f)(2)(ii)",
    ]


@pytest.mark.parametrize("left_out", [act for act in RIGHT if act != "work"])
def test_leaving_out_any_act_breaks_the_order(left_out):
    verdict = lockout_check(["electric"], steps(*(act for act in RIGHT if act != left_out)))
    assert not verdict.valid
    assert all(left_out in fault.rule for fault in verdict.broken)


def test_nothing_done_lacks_everything():
    verdict = lockout_check(["electric", "air"], [])
    assert {(fault.rule, fault.source) for fault in verdict.broken} == {
        ("prepare_missing", None),
        ("notify_missing", None),
        ("shut_down_missing", None),
        *(
            (f"{act}_missing", s)
            for act in ("isolate", "lock", "release", "verify")
            for s in ("electric", "air")
        ),
    }


def test_each_source_needs_its_own_chain():
    whole = [
        *steps("prepare", "notify", "shut_down"),
        *(
            Step(act, source)
            for source in ("electric", "air")
            for act in ("isolate", "lock", "release", "verify")
        ),
        Step("work"),
    ]
    assert lockout_check(["electric", "air"], whole).valid
    without = [step for step in whole if step != Step("verify", "air")]
    assert lockout_check(["electric", "air"], without).broken == (
        Broken(len(without) - 1, "verify_before_work", "29 CFR 1910.147(d)(6)", "air"),
    )


@given(
    order=st.permutations(
        [(a, s) for s in ("electric", "air") for a in ("isolate", "lock", "release", "verify")]
    )
)
def test_two_sources_are_right_exactly_when_each_is(order):
    whole = [*steps("prepare", "notify", "shut_down"), *(Step(*pair) for pair in order), Step("work")]
    each = all(
        lockout_check([source], [step for step in whole if step.source in (None, source)]).valid
        for source in ("electric", "air")
    )
    assert lockout_check(["electric", "air"], whole).valid == each


def test_whoever_works_has_a_lock_of_their_own():
    mine = Step("lock", None, "Ines")
    whole = [Step(act) if act not in ("lock", "work") else Step(act, None, "Ines") for act in RIGHT]
    assert lockout_check(["electric"], whole).valid
    helped = [*whole, Step("work", None, "Tom")]
    assert lockout_check(["electric"], helped).broken == (
        Broken(8, "own_lock_before_work", "29 CFR 1910.147(f)(3)(ii)(D)", "electric"),
    )
    assert lockout_check(["electric"], [*whole, Step("lock", None, "Tom"), Step("work", None, "Tom")]).valid
    assert mine in whole


def test_unknown_words_are_refused():
    with pytest.raises(BadInput, match="act is 'hope'"):
        lockout_check(["electric"], steps("hope"))
    with pytest.raises(BadInput, match="source is 'steam'"):
        lockout_check(["electric"], [Step("lock", "steam")])
    with pytest.raises(BadInput, match="order is 'lax'"):
        lockout_check(["electric"], [], "lax")
    with pytest.raises(BadInput, match="sources"):
        lockout_check([], [])
    with pytest.raises(BadInput, match="sources"):
        lockout_check(["air", "air"], [])
    with pytest.raises(BadInput):
        count_orders("lax")


def test_a_lock_on_one_source_is_none_on_the_other():
    locks = [Step("lock", "mains", "Ines"), Step("lock", "air", "Tom")]
    whole = [*steps("prepare", "notify", "shut_down", "isolate"), *locks, *steps("release", "verify")]
    assert lockout_check(["mains", "air"], [*whole, Step("work", None, "Tom")]).broken == (
        Broken(8, "own_lock_before_work", "29 CFR 1910.147(f)(3)(ii)(D)", "mains"),
    )


def test_own_locks_are_asked_for_only_where_locks_name_persons():
    named = [Step(act, None, "Tom" if act == "work" else None) for act in RIGHT]
    assert lockout_check(["mains"], named).valid


def test_a_plan_has_one_step_a_source_and_one_more_where_energy_comes_back():
    plan = lockout_plan(("mains", "air"), comes_back=("air",))
    both = [Step(act, source) for act in RIGHT[3:7] for source in ("mains", "air")]
    assert plan.steps == (*steps(*RIGHT[:3]), *both, Step("work"), Step("keep_verifying", "air"))
    last = {
        (plan.steps[a], plan.steps[b], clause) for a, b, clause in plan.edges if plan.steps[b].act == "work"
    }
    assert last == {
        (Step("verify", "mains"), Step("work"), "29 CFR 1910.147(d)(6)"),
        (Step("verify", "air"), Step("work"), "29 CFR 1910.147(d)(6)"),
        (Step("keep_verifying", "air"), Step("work"), "29 CFR 1910.147(d)(5)(ii)"),
    }
    assert lockout_plan(("mains",)) == plan_of([(LOCKOUT["strict"], ("mains",))])
    assert count_orders() == count_orders("strict")


# 29 CFR 1910.147(c)(9) and (d), in the sequence of the rule.
RULE = {
    "prepare": "(d)(1)", "notify": "(c)(9)", "shut_down": "(d)(2)", "isolate": "(d)(3)", "lock": "(d)(4)(i)",
    "release": "(d)(5)(i)", "verify": "(d)(6)", "work": "(d)",
}  # fmt: skip
COMMON = [("prepare", "shut_down"), ("shut_down", "isolate"), ("isolate", "lock"), ("notify", "lock")]
ORDERED = {
    "strict": [*COMMON, ("lock", "release"), ("release", "verify"), ("verify", "work")],
    "tolerant": [
        *COMMON,
        ("isolate", "release"),
        ("lock", "verify"),
        ("release", "verify"),
        ("verify", "work"),
    ],
}


@pytest.mark.parametrize("order", sorted(ORDERED))
def test_the_procedure_is_that_of_the_rule_clause_by_clause(order):
    # Loaded anew, so that what the module makes of itself as it loads is seen by this test.
    spec = importlib.util.spec_from_file_location(lockout.__name__, lockout.__file__)
    anew = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(anew)
    clauses = {act: f"29 CFR 1910.147{clause}" for act, clause in RULE.items()}
    assert anew.LOCKOUT[order] == Procedure(
        demands=clauses,
        per_source=frozenset({"isolate", "lock", "release", "verify"}),
        constraints=tuple(Constraint(first, then, clauses[first]) for first, then in ORDERED[order]),
        optional=frozenset({"work"}),
    )
