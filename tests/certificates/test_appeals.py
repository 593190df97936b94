from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.certificates.whole import ANA, MIA, NOW, RAY, TOM
from trainer.certificates.appeals import (
    Adverse,
    Filing,
    Hearing,
    deadlines,
    is_late,
    judge_filing,
    judge_outcome,
    judge_taking,
    last_day_to_appeal,
    working_days_later,
)

ZONE = "America/Chicago"
FAILED = Adverse("exam", "e-1", ANA, "exam", NOW)
MINE = Filing(ANA, "learner", "Question 4 shows another bay.", appealed=False)
HANDS = frozenset({TOM, MIA})
DAY = timedelta(days=1)


def filed(against=FAILED, filing=MINE, now=NOW):
    return judge_filing(against, filing, now, ZONE)


@pytest.mark.parametrize(
    ("how", "reasons"),
    [
        ({}, ()),
        ({"against": None}, ("appeal.nothing_adverse",)),
        ({"filing": replace(MINE, by_id=RAY)}, ("appeal.not_yours",)),
        ({"filing": replace(MINE, by_id=RAY, role="manager")}, ()),
        ({"filing": replace(MINE, grounds=" ")}, ("appeal.no_grounds",)),
        ({"filing": replace(MINE, appealed=True)}, ("appeal.twice",)),
        ({"now": NOW + 30 * DAY}, ()),
        ({"now": NOW + 31 * DAY}, ("appeal.too_late",)),
    ],
)
def test_who_appeals_what_and_until_when(how, reasons):
    assert filed(**how) == reasons


def test_the_last_day_is_a_whole_day_at_the_site():
    # 02:00 UTC on the 3rd is still the 2nd in Chicago.
    late = datetime(2026, 3, 3, 2, tzinfo=UTC)
    assert last_day_to_appeal(late, ZONE) == date(2026, 4, 1)
    assert filed(replace(FAILED, at=late), now=datetime(2026, 4, 2, 4, 59, tzinfo=UTC)) == ()
    assert filed(replace(FAILED, at=late), now=datetime(2026, 4, 2, 5, tzinfo=UTC)) == ("appeal.too_late",)


@pytest.mark.parametrize(
    ("who", "role", "state", "reasons"),
    [
        (RAY, "manager", "filed", ()),
        (RAY, "administrator", "taken", ()),
        (RAY, "trainer", "filed", ("handler.no_right",)),
        (TOM, "manager", "filed", ("handler.not_independent",)),
        (MIA, "manager", "filed", ("handler.not_independent",)),
        (ANA, "manager", "filed", ("handler.is_person",)),
        (RAY, "manager", "decided", ("appeal.decided",)),
    ],
)
def test_only_somebody_who_had_no_hand_in_it_hears_it(who, role, state, reasons):
    assert judge_taking(ANA, HANDS, state, by_id=who, role=role) == reasons


TAKEN = Hearing("taken", RAY, HANDS)


@pytest.mark.parametrize(
    ("how", "reasons"),
    [
        ({}, ()),
        ({"outcome": "maybe"}, ("appeal.no_outcome",)),
        ({"reason": " "}, ("appeal.no_reason",)),
        ({"by_id": MIA}, ("handler.other", "handler.not_independent")),
        ({"hearing": replace(TAKEN, state="filed", handler_id=None)}, ("appeal.not_taken",)),
        ({"hearing": replace(TAKEN, state="decided")}, ("appeal.decided",)),
        ({"hearing": replace(TAKEN, hands=HANDS | {RAY})}, ("handler.not_independent",)),
    ],
)
def test_who_decides_it_and_how(how, reasons):
    asked = {"hearing": TAKEN, "by_id": RAY, "outcome": "upheld", "reason": "The drawing was wrong.", **how}
    assert judge_outcome(**asked) == reasons


def test_five_working_days_skip_a_weekend():
    assert working_days_later(date(2026, 3, 2), 5) == date(2026, 3, 9)
    assert working_days_later(date(2026, 3, 6), 1) == date(2026, 3, 9)
    assert working_days_later(date(2026, 3, 7), 5) == date(2026, 3, 13)


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(0, 30))
def test_working_days_agree_with_numpy(day, count):
    numpy = pytest.importorskip("numpy")
    # numpy's busday_offset from the working day on or before the start counts the same days.
    expected = numpy.busday_offset(numpy.datetime64(day), count, roll="backward").astype(date)
    assert working_days_later(day, count) == (expected if count else day)


def test_what_is_late():
    due = deadlines(NOW, ZONE)
    assert (due.acknowledge, due.decide) == (date(2026, 3, 9), date(2026, 4, 1))
    assert not is_late("filed", due, due.acknowledge)
    assert is_late("filed", due, due.acknowledge + DAY)
    assert not is_late("taken", due, due.decide)
    assert is_late("taken", due, due.decide + DAY)
    assert not is_late("decided", due, due.decide + 99 * DAY)
