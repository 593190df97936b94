from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.certificates.whole import (
    ANA,
    CHANGED,
    MIA,
    NOW,
    OPEN,
    RAY,
    READY,
    SIGNED,
    SUSPENDED,
    TERMS,
    TOM,
    UNTIL,
    WITHDRAWN,
)
from trainer.certificates.changing import (
    Changer,
    judge_lift,
    judge_machine_change,
    judge_reduction,
    judge_suspension,
    judge_withdrawal,
    touched_by,
)
from trainer.certificates.decision import Proposal, judge_decision, judge_second
from trainer.certificates.permission import cabinet_permission, waiting_for
from trainer.certificates.scope import OPEN_ALONE, TASKS
from trainer.certificates.states import Change, Standing, certificate_state, changes_until, standing

MIA_SAYS = Changer(MIA, "manager", "An incident is looked into.")
ACTIVE = Standing("active")
MINUTE = timedelta(minutes=1)


def lifted(suspension, public_id="k-9"):
    return Change(public_id, "lifted", "by_manager", NOW, NOW, lifts=suspension.public_id)


def reduced(*taken):
    return Change("k-5", "reduced", "by_manager", NOW, NOW, taken=taken)


# The fold


@pytest.mark.parametrize(
    ("changes", "state"),
    [
        ((), "active"),
        ((SUSPENDED,), "suspended"),
        ((SUSPENDED, lifted(SUSPENDED)), "active"),
        ((SUSPENDED, CHANGED, lifted(SUSPENDED)), "suspended"),
        ((SUSPENDED, lifted(CHANGED)), "suspended"),
        ((reduced(OPEN_ALONE),), "reduced"),
        ((reduced(OPEN_ALONE), SUSPENDED), "suspended"),
        ((reduced(OPEN_ALONE), SUSPENDED, lifted(SUSPENDED)), "reduced"),
        ((WITHDRAWN,), "withdrawn"),
        ((SUSPENDED, WITHDRAWN, lifted(SUSPENDED)), "withdrawn"),
    ],
)
def test_each_change_tells_in_the_state(changes, state):
    assert certificate_state(NOW - MINUTE, UNTIL, changes, NOW) == state


def test_time_ends_what_is_suspended_and_begins_what_is_reduced():
    assert certificate_state(NOW, UNTIL, (SUSPENDED,), UNTIL) == "expired"
    assert certificate_state(NOW, UNTIL, (reduced(OPEN_ALONE),), NOW - MINUTE) == "not_yet"
    assert certificate_state(NOW, UNTIL, (SUSPENDED,), NOW - MINUTE) == "suspended"


def test_an_earlier_moment_is_asked_by_leaving_out_what_came_later():
    changes = (replace(SUSPENDED, at=NOW), replace(WITHDRAWN, at=NOW + MINUTE))
    assert standing(SIGNED, UNTIL, changes_until(changes, NOW - MINUTE), NOW - MINUTE).state == "active"
    assert standing(SIGNED, UNTIL, changes_until(changes, NOW), NOW).state == "suspended"
    assert standing(SIGNED, UNTIL, changes, NOW + MINUTE).state == "withdrawn"


KINDS = st.sampled_from(["suspended", "lifted", "reduced", "withdrawn"])


@given(
    st.lists(st.tuples(KINDS, st.integers(0, 3)), max_size=12), st.datetimes(timezones=st.just(NOW.tzinfo))
)
def test_no_change_after_a_withdrawal_brings_it_back(said, now):
    changes = [
        Change(f"k{i}", kind, "by_manager", NOW, NOW, lifts=f"k{which}", taken=(OPEN_ALONE,))
        for i, (kind, which) in enumerate(said)
    ]
    state = certificate_state(SIGNED, UNTIL, changes, now)
    assert (state == "withdrawn") == any(one.kind == "withdrawn" for one in changes)


# What it means at the cabinet


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ((SUSPENDED,), ("certificate.suspended",)),
        ((CHANGED,), ("certificate.suspended", "change.machine")),
        ((CHANGED, lifted(CHANGED)), ()),
        ((reduced(OPEN_ALONE),), ("certificate.reduced",)),
        ((reduced("replace_parts"),), ()),
    ],
)
def test_permission_follows_the_changes(changes, missing):
    assert cabinet_permission(replace(OPEN, changes=changes), NOW).missing == missing


def test_what_a_suspended_person_waits_for():
    assert waiting_for(replace(OPEN, changes=(SUSPENDED,)), NOW) == "lift"
    changed = replace(OPEN, changes=(CHANGED,), changed_at=SIGNED)
    assert waiting_for(changed, NOW) == "practical"
    again = replace(changed, practical_id=22, practical_signed_at=SIGNED + MINUTE)
    assert waiting_for(again, NOW) == "lift"


GRANT = Proposal(by_id=MIA, role="manager", granted=True)


def test_a_suspension_is_not_granted_over():
    fresh = replace(OPEN, exam_id=12, changes=(SUSPENDED,))
    assert judge_decision(fresh, GRANT, TERMS, NOW) == ("decision.suspended",)
    expired = replace(fresh, expires_at=NOW)
    assert judge_decision(expired, GRANT, TERMS, NOW) == ("decision.suspended",)
    assert judge_decision(replace(fresh, changes=(SUSPENDED, lifted(SUSPENDED))), GRANT, TERMS, NOW) == ()
    refuse = replace(GRANT, granted=False, reason="Not now.")
    assert judge_decision(fresh, refuse, TERMS, NOW) == ("certificate.still_active",)


def test_a_suspension_is_not_approved_over():
    waits = replace(
        OPEN, changes=(SUSPENDED,), pending_public_id="d-2", pending_exam_id=11, pending_practical_id=21,
        pending_by_id=TOM,
    )  # fmt: skip
    assert judge_second(waits, RAY, "manager", "d-2", terms=TERMS, now=NOW) == ("decision.suspended",)


@pytest.mark.parametrize(
    ("since", "reason"),
    [
        ({"changed_at": SIGNED}, "practical.before_change"),
        ({"last_reduced_at": SIGNED}, "practical.before_reduction"),
        ({"last_withdrawn_at": SIGNED}, "practical.before_withdrawal"),
    ],
)
def test_a_practical_from_before_carries_no_new_certificate(since, reason):
    assert judge_decision(replace(READY, **since), GRANT, TERMS, NOW) == (reason,)
    after = replace(READY, **since, practical_signed_at=SIGNED + MINUTE)
    assert judge_decision(after, GRANT, TERMS, NOW) == ()


@pytest.mark.parametrize("hands", [{"other_hands": frozenset({MIA})}, {"observed_by_id": MIA}])
def test_who_invigilated_overlaps_as_who_observed_does(hands):
    assert judge_decision(replace(READY, **hands), GRANT, TERMS, NOW) == ("overlap.no_reason",)
    decided = replace(OPEN, decision_other_hands=frozenset({MIA}))
    assert cabinet_permission(decided, NOW).missing == ("overlap.no_reason", "second_approver.none")
    said = replace(decided, overlap_reason="Only two of us.", second_approver_id=RAY)
    assert cabinet_permission(said, NOW).may_open


# Who may change it


@pytest.mark.parametrize(
    ("stands", "changer", "reason"),
    [
        (ACTIVE, replace(MIA_SAYS, role="trainer"), "decider.no_right"),
        (ACTIVE, replace(MIA_SAYS, by_id=ANA), "decider.is_person"),
        (ACTIVE, replace(MIA_SAYS, reason=" "), "suspension.no_reason"),
        (Standing("expired"), MIA_SAYS, "certificate.not_running"),
        (Standing("withdrawn"), MIA_SAYS, "certificate.not_running"),
    ],
)
def test_who_cannot_suspend_and_what(stands, changer, reason):
    assert judge_suspension(ACTIVE, ANA, MIA_SAYS) == ()
    assert judge_suspension(stands, ANA, changer) == (reason,)


@pytest.mark.parametrize(
    ("taken", "before", "reasons"),
    [
        ([OPEN_ALONE], (), ()),
        ([], (), ("reduction.nothing",)),
        (["fly"], (), ("reduction.nothing",)),
        ([OPEN_ALONE], (OPEN_ALONE,), ("reduction.nothing",)),
        (list(TASKS), (), ("reduction.everything",)),
        (list(TASKS)[1:], (OPEN_ALONE,), ("reduction.everything",)),
    ],
)
def test_what_a_reduction_may_take(taken, before, reasons):
    assert judge_reduction(Standing("active", taken=before), ANA, MIA_SAYS, taken) == reasons


def test_a_reduction_needs_a_reason():
    assert judge_reduction(ACTIVE, ANA, replace(MIA_SAYS, reason=""), [OPEN_ALONE]) == (
        "reduction.no_reason",
    )


@pytest.mark.parametrize(
    ("suspension", "changer", "reasons"),
    [
        (SUSPENDED, MIA_SAYS, ()),
        (None, MIA_SAYS, ("lift.not_suspended",)),
        (SUSPENDED, replace(MIA_SAYS, reason=""), ("lift.no_reason",)),
        (SUSPENDED, replace(MIA_SAYS, by_id=TOM), ("lift.overlaps",)),
        (SUSPENDED, replace(MIA_SAYS, by_id=ANA), ("decider.is_person",)),
        (SUSPENDED, replace(MIA_SAYS, role="trainer"), ("decider.no_right",)),
        (CHANGED, MIA_SAYS, ("lift.no_retraining",)),
    ],
)
def test_who_lifts_and_when(suspension, changer, reasons):
    assert judge_lift(OPEN, suspension, changer) == reasons


@pytest.mark.parametrize(
    ("seen", "reasons"),
    [
        ({}, ()),
        ({"practical_passed": False}, ("lift.no_retraining",)),
        ({"practical_machine_id": 6}, ("lift.no_retraining",)),
        ({"observed_by_id": ANA}, ("lift.no_retraining",)),
        ({"practical_signed_at": SIGNED}, ("lift.no_retraining",)),
        ({"practical_id": None}, ("lift.no_retraining",)),
    ],
)
def test_only_a_practical_passed_on_this_machine_after_the_change_is_retraining(seen, reasons):
    # 29 CFR 1910.147(c)(7)(iii): retraining on a change of machine or procedure.
    after = replace(OPEN, practical_id=22, practical_signed_at=SIGNED + MINUTE)
    assert judge_lift(replace(after, **seen), CHANGED, MIA_SAYS) == reasons


def test_a_change_of_the_machine_is_written_down_once_it_holds():
    assert judge_machine_change("manager", "New drive.", NOW, NOW) == ()
    assert judge_machine_change("trainer", " ", NOW, NOW) == ("decider.no_right", "change.nothing_said")
    assert judge_machine_change("manager", "New drive.", NOW + MINUTE, NOW) == ("change.future",)
    assert judge_machine_change("manager", "x", NOW - timedelta(days=367), NOW) == ("change.too_long_ago",)


def test_a_change_touches_whoever_was_observed_before_it():
    assert touched_by(SIGNED, SIGNED)
    assert touched_by(SIGNED, SIGNED - MINUTE)
    assert not touched_by(SIGNED, SIGNED + MINUTE)


def test_withdrawal_needs_a_manager_and_a_reason():
    assert judge_withdrawal("manager", "Opened it live.") == ()
    assert judge_withdrawal("manager", " ") == ("withdrawal.no_reason",)
    assert judge_withdrawal("trainer", "Opened it live.") == ("decider.no_right",)
