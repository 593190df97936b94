from dataclasses import replace
from datetime import timedelta

import pytest

from tests.certificates.whole import ANA, MIA, NOW, OPEN, RAY, READY, SIGNED, TERMS, TOM, UNTIL, WITHDRAWN
from trainer.certificates.decision import (
    Proposal,
    StepMark,
    expiry_of,
    failed_critical,
    judge_decision,
    judge_practical,
    judge_second,
    practical_passed,
)

GRANT = Proposal(by_id=MIA, role="manager", granted=True)
REFUSE = Proposal(by_id=MIA, role="manager", granted=False, reason="Wants more practice at the disconnect.")


def test_a_manager_may_grant_on_whole_evidence():
    assert judge_decision(READY, GRANT, TERMS, NOW) == ()


@pytest.mark.parametrize(
    ("gone", "reason"),
    [
        ({"exam_id": None}, "exam.none_valid"),
        ({"exam_valid_until": NOW}, "exam.lapsed"),
        ({"exam_scheme": "new-hire"}, "exam.other_scheme"),
        ({"practical_id": None}, "practical.not_signed"),
        ({"practical_machine_id": 6}, "practical.other_machine"),
        ({"practical_passed": False}, "practical.failed"),
        ({"observed_by_id": ANA}, "practical.self_signed"),
        ({"practical_signed_at": NOW - timedelta(days=800)}, "practical.too_old"),
        ({"left_at": NOW}, "person.left"),
        ({"trained_by_id": MIA}, "overlap.no_reason"),
        ({"observed_by_id": MIA}, "overlap.no_reason"),
    ],
)
def test_each_thing_alone_refuses_a_grant(gone, reason):
    assert judge_decision(replace(READY, **gone), GRANT, TERMS, NOW) == (reason,)


def test_all_reasons_are_told_together():
    bare = replace(READY, exam_id=None, practical_id=None)
    assert judge_decision(bare, GRANT, TERMS, NOW) == ("exam.none_valid", "practical.not_signed")


def test_nobody_decides_on_themself():
    own = replace(GRANT, by_id=ANA)
    assert judge_decision(READY, own, TERMS, NOW) == ("decider.is_person",)


def test_a_trainer_does_not_decide():
    assert "decider.no_right" in judge_decision(READY, replace(GRANT, by_id=RAY, role="trainer"), TERMS, NOW)


def test_overlap_with_a_reason_may_be_granted_and_waits():
    overlapping = replace(READY, trained_by_id=MIA)
    assert judge_decision(overlapping, replace(GRANT, overlap_reason="Two of us."), TERMS, NOW) == ()
    assert judge_decision(overlapping, replace(GRANT, overlap_reason="  "), TERMS, NOW) == (
        "overlap.no_reason",
    )


def test_the_same_evidence_is_not_granted_twice():
    assert judge_decision(OPEN, GRANT, TERMS, NOW) == ("decision.already_granted",)
    assert judge_decision(replace(OPEN, exam_id=12), GRANT, TERMS, NOW) == ()


def test_withdrawn_needs_a_new_practical():
    withdrawn = replace(OPEN, changes=(WITHDRAWN,), last_withdrawn_at=SIGNED)
    assert judge_decision(withdrawn, GRANT, TERMS, NOW) == ("practical.before_withdrawal",)
    seen_again = replace(withdrawn, practical_id=22, practical_signed_at=SIGNED + timedelta(hours=1))
    assert judge_decision(seen_again, GRANT, TERMS, NOW) == ()


def test_a_refusal_needs_a_reason_and_no_active_certificate():
    assert judge_decision(READY, REFUSE, TERMS, NOW) == ()
    assert judge_decision(READY, replace(REFUSE, reason=" "), TERMS, NOW) == ("decision.no_reason",)
    assert judge_decision(OPEN, REFUSE, TERMS, NOW) == ("certificate.still_active",)
    assert judge_decision(replace(READY, exam_id=None), REFUSE, TERMS, NOW) == ()


WAITS = replace(
    READY,
    trained_by_id=MIA,
    pending_public_id="d-2",
    pending_exam_id=11,
    pending_practical_id=21,
    pending_by_id=MIA,
)


def second(evidence=WAITS, by=RAY, role="manager", decision="d-2"):
    return judge_second(evidence, by, role, decision, terms=TERMS, now=NOW)


def test_another_manager_may_approve():
    assert second() == ()


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ({"by": MIA}, "second_approver.same"),
        ({"by": ANA}, "second_approver.same"),
        ({"by": TOM}, "second_approver.overlaps"),
        ({"role": "trainer"}, "decider.no_right"),
        ({"decision": "d-1"}, "decision.not_waiting"),
        ({"evidence": replace(WAITS, practical_id=22)}, "decision.older_evidence"),
        ({"evidence": replace(WAITS, exam_valid_until=NOW)}, "exam.lapsed"),
        ({"evidence": replace(WAITS, practical_passed=False)}, "practical.failed"),
        ({"evidence": replace(WAITS, left_at=NOW)}, "person.left"),
    ],
)
def test_who_may_not_approve_and_when_not(how, reason):
    assert reason in second(**how)


STEPS = (StepMark("shut_down", False, "met"), StepMark("verify_zero", True, "met"))


def judged(marks=STEPS, observer=TOM, role="trainer", person=ANA, left=False):
    return judge_practical(marks, observer, role, person, person_left=left)


def test_a_trainer_signs_a_full_practical():
    assert judged() == ()
    assert practical_passed(STEPS)


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ({"observer": ANA}, "observer.is_person"),
        ({"role": "learner"}, "observer.no_right"),
        ({"role": "administrator"}, "observer.no_right"),
        ({"left": True}, "person.left"),
        ({"marks": ()}, "practical.no_steps"),
        ({"marks": (STEPS[0], replace(STEPS[1], mark=None))}, "practical.unanswered"),
        ({"marks": (STEPS[0], replace(STEPS[1], mark="nearly"))}, "practical.unanswered"),
    ],
)
def test_what_cannot_be_signed(how, reason):
    assert judged(**how) == (reason,)


def test_one_critical_step_not_met_fails_whatever_the_rest():
    many = tuple(StepMark(f"step_{i}", False, "met") for i in range(30))
    missed = (*many, StepMark("verify_zero", True, "not_met"))
    assert not practical_passed(missed)
    assert failed_critical(missed) == ("verify_zero",)
    assert practical_passed((*many, StepMark("sweep", False, "not_met")))
    assert not practical_passed(())


def test_expiry_is_the_earliest_of_what_it_rests_on():
    assert expiry_of(READY, TERMS, NOW) == UNTIL
    early = replace(READY, exam_valid_until=NOW + timedelta(days=9000))
    assert expiry_of(early, TERMS, NOW) == SIGNED.replace(year=2028)
    with pytest.raises(ValueError, match="no exam"):
        expiry_of(replace(READY, exam_valid_until=None), TERMS, NOW)
