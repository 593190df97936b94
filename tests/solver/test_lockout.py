"""Orders of a lockout by brute enumeration, several sources, own locks, and the clause of each broken constraint."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.lockout import (
    GIVING_BACK,
    LOCKOUT,
    TRIAL_RUN,
    Broken,
    Step,
    count_orders,
    lockout_check,
    release_check,
    right_orders,
    trial_run_check,
)
from trainer.solver.numbers import BadInput

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
