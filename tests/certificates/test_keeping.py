"""When a person may be forgotten: never while employed, kept or on hold, and never by one person alone."""

from datetime import UTC, datetime, timedelta

import pytest

from tests.cast import MONDAY
from trainer.certificates.keeping import (
    SCHEDULE,
    Kept,
    judge_carrying_out,
    judge_hold,
    judge_proposal,
    kept_until,
)

ZONE = "America/Chicago"
LONG_AGO = MONDAY - timedelta(days=4000)
GONE = Kept(LONG_AGO, LONG_AGO, 0, forgotten=False, time_zone=ZONE)


def kept(**facts):
    return Kept(**{**vars(GONE), **facts})


def test_records_of_permission_are_kept_for_three_years_after_the_last_of_them_ran_out():
    # The months are common practice, no source; the calendar's arithmetic is clipped to the month's last day.
    left, end = datetime(2024, 5, 1, 17, tzinfo=UTC), datetime(2025, 2, 28, 18, tzinfo=UTC)
    assert kept_until(kept(left_at=left, records_end=end)) == datetime(2028, 2, 28, 18, tzinfo=UTC)
    assert kept_until(kept(left_at=end, records_end=left)) == datetime(2028, 2, 28, 18, tzinfo=UTC)


def test_somebody_without_such_records_is_kept_for_half_a_year():
    left = datetime(2025, 8, 31, 17, tzinfo=UTC)
    assert kept_until(kept(left_at=left, records_end=None)) == datetime(2026, 2, 28, 18, tzinfo=UTC)
    assert kept_until(kept(left_at=None)) is None


@pytest.mark.parametrize(
    ("facts", "reason"),
    [
        ({"left_at": None}, "forget.employed"),
        ({"records_end": MONDAY - timedelta(days=30)}, "forget.kept"),
        ({"left_at": MONDAY - timedelta(days=30), "records_end": None}, "forget.kept"),
        ({"holds": 1}, "forget.hold"),
        ({"forgotten": True}, "forget.done"),
    ],
)
def test_what_stands_against_it_stands_against_both_steps(facts, reason):
    assert judge_proposal(kept(**facts), "manager", "Asked for it.", own=False, now=MONDAY) == (reason,)
    assert judge_carrying_out(
        kept(**facts), "administrator", own=False, proposed=False, open_=True, now=MONDAY
    ) == (reason,)


def test_the_schedule_ends_at_its_very_moment():
    until = kept_until(GONE)
    just = {"role": "manager", "reason": "x", "own": False}
    assert judge_proposal(GONE, **just, now=until) == ()
    assert judge_proposal(GONE, **just, now=until - timedelta(microseconds=1)) == ("forget.kept",)


def test_who_may():
    assert judge_proposal(GONE, "manager", "x", own=False, now=MONDAY) == ()
    assert judge_proposal(GONE, "trainer", " ", own=True, now=MONDAY) == (
        "forget.no_right", "forget.own", "forget.no_reason",
    )  # fmt: skip
    carry = {"own": False, "proposed": False, "open_": True, "now": MONDAY}
    assert judge_carrying_out(GONE, "administrator", **carry) == ()
    assert judge_carrying_out(GONE, "manager", **carry) == ("forget.not_administrator",)
    assert judge_carrying_out(GONE, "administrator", **{**carry, "proposed": True}) == ("forget.same_person",)
    assert judge_carrying_out(GONE, "administrator", **{**carry, "own": True, "open_": False}) == (
        "forget.own", "forget.closed",
    )  # fmt: skip
    assert judge_hold("manager", "Letter of 3 March.") == ()
    assert judge_hold("trainer", "", open_=False) == ("hold.no_right", "hold.lifted", "hold.no_reason")


def test_every_class_says_how_long_and_why():
    for one in SCHEDULE:
        assert all(text.en and text.es for text in (one.title, one.holds, one.source))
        assert (one.months is None) == (not one.after.en)
