from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.certificates.whole import ANA, MIA, NOW, OPEN, RAY, READY, SIGNED, TOM, UNTIL, WITHDRAWN
from trainer.certificates.permission import cabinet_permission, lapses_within, waiting_for

SECOND = timedelta(seconds=1)

ONE_GONE = [
    ({"left_at": NOW}, "person.left"),
    ({"exam_id": None}, "exam.none_valid"),
    ({"exam_passed": False}, "exam.none_valid"),
    ({"exam_valid_until": None}, "exam.none_valid"),
    ({"exam_scheme": "new-hire"}, "exam.other_scheme"),
    ({"exam_valid_until": NOW}, "exam.lapsed"),
    ({"practical_id": None}, "practical.not_signed"),
    ({"observed_by_id": None}, "practical.not_signed"),
    ({"practical_machine_id": 6}, "practical.other_machine"),
    ({"practical_passed": False}, "practical.failed"),
    ({"observed_by_id": ANA}, "practical.self_signed"),
    ({"granted": False}, "decision.refused"),
    ({"decided_by_id": None}, "decision.none"),
    ({"decided_by_id": ANA}, "decision.own"),
    ({"certificate_public_id": None}, "certificate.none"),
    ({"effective_at": NOW + SECOND}, "certificate.not_yet"),
    ({"expires_at": NOW}, "certificate.expired"),
    ({"changes": (WITHDRAWN,)}, "certificate.withdrawn"),
]


def test_whole_evidence_opens_the_cabinet():
    assert cabinet_permission(OPEN, NOW).may_open


@pytest.mark.parametrize(("gone", "reason"), ONE_GONE)
def test_each_thing_alone_closes_it(gone, reason):
    assert cabinet_permission(replace(OPEN, **gone), NOW).missing == (reason,)


@given(st.lists(st.sampled_from(ONE_GONE), min_size=1, max_size=6))
def test_any_things_together_close_it(gone):
    taken = {}
    for change, _ in gone:
        taken |= change
    assert not cabinet_permission(replace(OPEN, **taken), NOW).may_open


def test_nothing_at_all_is_told_in_the_order_to_mend_it():
    bare = replace(READY, exam_id=None, practical_id=None)
    assert cabinet_permission(bare, NOW).missing == (
        "exam.none_valid",
        "practical.not_signed",
        "decision.none",
        "certificate.none",
    )


def test_expiry_closes_it_to_the_second():
    assert cabinet_permission(OPEN, UNTIL - SECOND).may_open
    assert not cabinet_permission(OPEN, UNTIL).may_open


@pytest.mark.parametrize("overlap", [{"trained_by_id": MIA}, {"decision_observer_id": MIA}])
def test_who_trained_or_observed_needs_reason_and_second_approver(overlap):
    alone = replace(OPEN, **overlap)
    assert cabinet_permission(alone, NOW).missing == ("overlap.no_reason", "second_approver.none")
    said = replace(alone, overlap_reason="Only two of us on site.")
    assert cabinet_permission(said, NOW).missing == ("second_approver.none",)
    assert cabinet_permission(replace(said, second_approver_id=RAY), NOW).may_open
    assert cabinet_permission(replace(said, second_approver_id=MIA), NOW).missing[0] == "second_approver.same"
    assert cabinet_permission(replace(said, second_approver_id=ANA), NOW).missing == ("second_approver.same",)


def test_a_second_approver_who_trained_or_observed_does_not_count():
    said = replace(OPEN, trained_by_id=MIA, overlap_reason="Only two of us on site.", second_approver_id=TOM)
    assert cabinet_permission(said, NOW).missing == ("second_approver.overlaps",)


def test_a_later_practical_seen_by_the_decider_takes_nothing_away():
    later = replace(OPEN, practical_id=22, observed_by_id=MIA)
    assert cabinet_permission(later, NOW).may_open


def test_a_renewal_that_waits_takes_nothing_away():
    assert cabinet_permission(replace(OPEN, pending_public_id="d-2"), NOW).may_open


def test_a_first_decision_that_waits_is_said_so():
    waits = replace(READY, pending_public_id="d-2", pending_exam_id=11, pending_practical_id=21)
    assert cabinet_permission(waits, NOW).missing == ("second_approver.none", "certificate.none")
    assert waiting_for(waits, NOW) == "second_approval"


@pytest.mark.parametrize(
    ("evidence", "waits"),
    [
        (OPEN, "nothing"),
        (READY, "decision"),
        (replace(READY, practical_passed=False), "practical"),
        (replace(READY, exam_valid_until=NOW), "exam"),
        (replace(READY, left_at=NOW), "nothing"),
        (replace(OPEN, changes=(WITHDRAWN,), last_withdrawn_at=SIGNED), "practical"),
        (replace(OPEN, changes=(WITHDRAWN,), last_withdrawn_at=SIGNED - SECOND), "decision"),
        (replace(OPEN, granted=False, certificate_public_id=None), "nothing"),
        (replace(OPEN, granted=False, certificate_public_id=None, practical_id=22), "decision"),
        (replace(OPEN, expires_at=NOW), "decision"),
    ],
)
def test_what_each_waits_for(evidence, waits):
    assert waiting_for(evidence, NOW) == waits


def test_lapses_are_counted_from_now_to_the_day():
    assert lapses_within(OPEN, UNTIL - timedelta(days=60), 60)
    assert not lapses_within(OPEN, UNTIL - timedelta(days=60) - SECOND, 60)
    assert not lapses_within(OPEN, UNTIL, 60)
