"""Deadlines, receipts and whether an exam may start."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest

from tests.exams.sittings import START, make_scheme, make_sitting
from trainer.exams.scheme import Tries
from trainer.exams.sitting import (
    MOST_BENCH_ACTS,
    ActArrival,
    Arrival,
    Receipt,
    deadline,
    judge_act,
    judge_answer,
    may_start,
)

SLOTS = range(1, 6)


def arrival(**facts):
    return Arrival(**{"person_id": 7, "slot": 1, "revision": 1, "text": "4.20", "at": START, **facts})


def test_the_deadline_crosses_a_clock_change_in_utc():
    # Own computation: 30 min x 1.5 + 95 s is 46 min 35 s, while clocks in the US go forward at 08:00Z that night.
    start = datetime(2026, 3, 8, 6, 30, tzinfo=UTC)
    ends = datetime(2026, 3, 8, 7, 16, 35, tzinfo=UTC)
    assert deadline(start, 30, Fraction(3, 2), timedelta(seconds=95)) == ends


def test_a_start_on_the_wall_clock_gives_the_same_instant():
    # Chicago, 8 March 2026: 01:30 CST + 60 min is 03:30 CDT, an hour later in truth (tz database).
    start = datetime(2026, 3, 8, 1, 30, tzinfo=ZoneInfo("America/Chicago"))
    assert deadline(start.astimezone(UTC), 60) == datetime(2026, 3, 8, 8, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "wrong",
    [
        {"minutes": 0},
        {"factor": Fraction(1, 2)},
        {"credits": timedelta(-1)},
        {"start": START.replace(tzinfo=None)},
    ],
)
def test_a_deadline_is_refused_where_it_has_no_meaning(wrong):
    with pytest.raises(ValueError, match="out of range"):
        deadline(**{"start": START, "minutes": 10, **wrong})


def test_an_answer_in_time_is_accepted():
    assert judge_answer(make_sitting(), SLOTS, {}, arrival()) == Receipt(True)


@pytest.mark.parametrize(
    ("sitting", "sent", "reason"),
    [
        ({}, {"person_id": 8}, "exam.not_yours"),
        ({"ended_at": START}, {}, "exam.closed"),
        ({}, {"at": START + timedelta(minutes=10)}, "exam.late"),
        ({}, {"slot": 6}, "exam.unknown_slot"),
        ({}, {"revision": 0}, "exam.revision_unknown"),
        ({}, {"revision": 10_000}, "exam.revision_unknown"),
        ({}, {"text": "x" * 2001}, "exam.answer_too_long"),
        ({}, {"text": "4\0"}, "exam.answer_not_text"),
        ({}, {"text": "\ud800"}, "exam.answer_not_text"),
    ],
)
def test_a_refusal_names_its_reason(sitting, sent, reason):
    assert judge_answer(make_sitting(**sitting), SLOTS, {}, arrival(**sent)) == Receipt(
        False, reasons=(reason,)
    )


def test_the_last_microsecond_before_the_deadline_counts():
    just = START + timedelta(minutes=10) - timedelta(microseconds=1)
    assert judge_answer(make_sitting(), SLOTS, {}, arrival(at=just)).accepted


def test_all_reasons_are_given_at_once():
    sent = arrival(slot=9, revision=-1, at=START + timedelta(hours=1))
    reasons = judge_answer(make_sitting(), SLOTS, {}, sent).reasons
    assert reasons == ("exam.late", "exam.unknown_slot", "exam.revision_unknown")


def test_a_repeat_is_acknowledged_again_even_after_the_end():
    kept = {1: "4.20"}
    for sitting in (make_sitting(), make_sitting(ended_at=START)):
        late = arrival(at=START + timedelta(hours=2))
        assert judge_answer(sitting, SLOTS, kept, late) == Receipt(True, repeated=True)


def test_a_revision_with_another_text_is_refused():
    assert judge_answer(make_sitting(), SLOTS, {1: "4.2"}, arrival()).reasons == ("exam.revision_taken",)


def test_nobody_elses_answer_is_acknowledged_as_a_repeat():
    assert judge_answer(make_sitting(), SLOTS, {1: "4.20"}, arrival(person_id=8)).reasons == (
        "exam.not_yours",
    )


def failed(days_ago, **facts):
    at = START - timedelta(days=days_ago)
    return make_sitting(started_at=at, ended_at=at, passed=False, **facts)


def test_a_first_try_may_start():
    answer = may_start(make_scheme(), [], set(), START)
    assert (answer.allowed, answer.tries_left, answer.not_before) == (True, 3, None)


def test_one_open_exam_at_a_time_of_any_scheme():
    assert may_start(make_scheme(), [make_sitting(scheme="other")], set(), START).reasons == (
        "exam.one_open",
    )


def test_a_wait_stands_between_tries():
    scheme = make_scheme()
    ended = START - timedelta(hours=23)
    history = [make_sitting(started_at=ended, ended_at=ended, passed=False)]
    answer = may_start(scheme, history, set(), START)
    assert (answer.reasons, answer.not_before) == (("exam.wait",), ended + timedelta(hours=24))
    assert may_start(scheme, history, set(), ended + timedelta(hours=24)).allowed


def test_tries_run_out_and_come_back():
    scheme = make_scheme(tries=Tries(2, 30, 0))
    history = [failed(20), failed(10), failed(90)]
    answer = may_start(scheme, history, set(), START)
    assert (answer.reasons, answer.tries_left) == (("exam.tries_used",), 0)
    assert answer.not_before == START + timedelta(days=10)
    assert may_start(scheme, history, set(), answer.not_before).allowed


def test_tries_at_another_scheme_do_not_count():
    assert may_start(make_scheme(), [failed(1, scheme="other")] * 5, set(), START).tries_left == 3


def test_a_void_exam_costs_no_try_and_no_wait():
    void = make_sitting(started_at=START, ended_at=START, passed=None)
    answer = may_start(make_scheme(), [void], set(), START)
    assert (answer.allowed, answer.tries_left) == (True, 3)


def test_a_valid_pass_is_not_sat_again_until_it_nears_its_end():
    passed = make_sitting(ended_at=START, passed=True, valid_until=START + timedelta(days=365))
    answer = may_start(make_scheme(), [passed], set(), START + timedelta(days=1))
    assert (answer.reasons, answer.not_before) == (("exam.still_valid",), START + timedelta(days=305))
    assert may_start(make_scheme(), [passed], set(), START + timedelta(days=306)).allowed


def test_skills_must_be_proven_first_where_the_scheme_demands_it():
    scheme = make_scheme(mastery="critical")
    answer = may_start(scheme, [], {"lockout.lock"}, START)
    assert (answer.reasons, answer.open_skills) == (("exam.skills_open",), ("lockout.verify",))
    assert may_start(scheme, [], {"lockout.lock", "lockout.verify"}, START).allowed


def on_bench(acts=(), finished=False, sitting=None, **facts):
    arrival = ActArrival(**{"person_id": 7, "number": 1, "document": "push", "at": START, **facts})
    return judge_act(sitting or make_sitting(), acts, arrival, finished=finished)


def test_acts_are_only_ever_added():
    assert on_bench() == Receipt(True)
    assert on_bench(("push",), number=2) == Receipt(True)
    assert on_bench(("push",)) == Receipt(True, repeated=True)
    assert on_bench(("pull",)).reasons == ("exam.out_of_step",)
    assert on_bench(("push", "pull"), number=2).reasons == ("exam.out_of_step",)
    assert on_bench(("push",), number=3).reasons == ("exam.out_of_step",)


def test_every_reason_against_an_act_is_told():
    ends = START + timedelta(minutes=10)
    assert on_bench(person_id=8).reasons == ("exam.not_yours",)
    assert on_bench(("push",), number=2, at=ends).reasons == ("exam.late",)
    assert on_bench(("push",), number=2, finished=True).reasons == ("exam.bench_done",)
    closed = make_sitting(ended_at=START)
    assert on_bench(("push",), number=3, sitting=closed).reasons == ("exam.closed", "exam.out_of_step")
    full = ("push",) * MOST_BENCH_ACTS
    assert on_bench(full, number=MOST_BENCH_ACTS + 1).reasons == ("exam.too_many_acts",)
    # What stands is acknowledged whatever has happened since.
    assert on_bench(("push",), True, closed, at=ends).repeated
