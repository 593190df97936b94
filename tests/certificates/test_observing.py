"""Who may observe, when a second observer is drawn, what stays hidden, what becomes of two that differ."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.certificates.decision import StepMark
from trainer.certificates.observing import (
    LONGEST_QUALIFICATION,
    SECOND_ONE_IN,
    SECOND_WITHIN,
    FirstSigned,
    Qualification,
    Qualifying,
    asks_second,
    differing,
    judge_ending,
    judge_look,
    judge_qualifying,
    judge_second_marks,
    marks_hidden,
    observer_lacks,
    qualification_in_force,
    read_device_times,
)

NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)
DAY = timedelta(days=1)
ANA, TOM, MIA, RAY = 1, 2, 3, 4
CONVEYOR, DRYER = 5, 6
HELD = Qualification("q-1", TOM, CONVEYOR, NOW - DAY, NOW + DAY)
KEY = b"k" * 32


def test_a_qualification_counts_from_its_moment_until_its_end():
    assert [HELD.counts(at) for at in (NOW - 2 * DAY, NOW - DAY, NOW, NOW + DAY)] == [
        False,
        True,
        True,
        False,
    ]
    ended = replace(HELD, ended_at=NOW)
    assert ended.counts(NOW - timedelta(seconds=1))
    assert not ended.counts(NOW)


@pytest.mark.parametrize(
    ("held", "lacks"),
    [
        ((), ("observer.not_qualified",)),
        ((replace(HELD, machine_id=DRYER),), ("observer.not_qualified",)),
        ((replace(HELD, until=NOW),), ("observer.lapsed",)),
        ((replace(HELD, ended_at=NOW),), ("observer.ended",)),
        ((HELD,), ()),
        ((HELD, replace(HELD, public_id="q-2", ended_at=NOW)), ()),
    ],
)
def test_who_may_observe_on_a_machine(held, lacks):
    assert observer_lacks(held, CONVEYOR, NOW) == lacks
    assert (qualification_in_force(held, CONVEYOR, NOW) is None) is bool(lacks)


QUALIFY = Qualifying(MIA, "manager", TOM, "trainer", False, "Twelve years at the tunnel.", NOW + 300 * DAY)


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ({"by_role": "trainer"}, "qualifier.no_right"),
        ({"by_id": TOM}, "qualifier.is_person"),
        ({"person_left": True}, "person.left"),
        ({"person_role": "learner"}, "observer.no_right"),
        ({"grounds": "  "}, "qualification.no_grounds"),
        ({"until": NOW}, "qualification.over"),
        ({"until": NOW + LONGEST_QUALIFICATION + DAY}, "qualification.too_long"),
    ],
)
def test_who_may_be_qualified_by_whom(how, reason):
    assert judge_qualifying(QUALIFY, NOW) == ()
    assert judge_qualifying(replace(QUALIFY, **how), NOW) == (reason,)


def test_ending_a_qualification_needs_a_manager_and_a_reason():
    assert judge_ending("manager", "Moved to the office.") == ()
    assert judge_ending("trainer", " ") == ("qualifier.no_right", "qualification.no_reason")


def drawn(number, person="p-1", key=KEY):
    return asks_second(key, scheme="cabinet", person=person, machine="conveyor", number=number)


def test_everyones_first_on_a_machine_asks_for_a_second_observer():
    assert all(drawn(1, person=f"p-{one}") for one in range(50))


def test_later_ones_are_drawn_at_the_stated_share_and_cannot_be_drawn_again():
    draws = [drawn(number, person=f"p-{one}") for one in range(400) for number in range(2, 12)]
    # Binomial: 4000 draws at 1/5, five standard deviations. The draw is fixed by the key, so this never flickers.
    share = 1 / SECOND_ONE_IN
    assert abs(sum(draws) - 4000 * share) < 5 * sqrt(4000 * share * (1 - share))
    assert draws == [drawn(number, person=f"p-{one}") for one in range(400) for number in range(2, 12)]
    other = [drawn(number, person=f"p-{one}", key=b"x" * 32) for one in range(400) for number in range(2, 12)]
    assert other != draws


FIRST = FirstSigned("p-1", ANA, CONVEYOR, TOM, NOW - DAY, asks_second=True)


@pytest.mark.parametrize(
    ("how", "by", "reason"),
    [
        ({"asks_second": False}, MIA, "second.not_asked"),
        ({"second_id": RAY}, MIA, "second.already"),
        ({}, TOM, "second.same"),
        ({"shown_to": frozenset({MIA})}, MIA, "second.has_seen"),
        ({"signed_at": NOW - SECOND_WITHIN}, MIA, "second.too_late"),
    ],
)
def test_who_may_be_the_second_observer(how, by, reason):
    assert judge_second_marks(FIRST, MIA, NOW) == ()
    assert judge_second_marks(replace(FIRST, **how), by, NOW) == (reason,)
    assert judge_second_marks(None, by, NOW) == ("second.no_first",)


@pytest.mark.parametrize(
    ("how", "viewer", "lacks", "hidden"),
    [
        ({}, MIA, (), True),
        ({}, TOM, (), False),
        ({}, ANA, (), False),
        ({}, MIA, ("observer.not_qualified",), False),
        ({"shown_to": frozenset({MIA})}, MIA, (), False),
        ({"second_id": RAY}, MIA, (), False),
        ({"asks_second": False}, MIA, (), False),
        ({"signed_at": NOW - SECOND_WITHIN}, MIA, (), False),
    ],
)
def test_marks_are_hidden_from_whoever_could_still_be_the_second_observer(how, viewer, lacks, hidden):
    first = replace(FIRST, **how)
    assert marks_hidden(first, viewer, lacks, NOW) is hidden
    if hidden:
        assert judge_second_marks(first, viewer, NOW) == ()


@given(
    st.booleans(), st.sampled_from([None, RAY]), st.frozensets(st.sampled_from([MIA, RAY])),
    st.integers(0, 20), st.sampled_from([ANA, TOM, MIA, RAY]),
)  # fmt: skip
def test_nobody_who_may_write_second_marks_has_seen_the_first(asked, second, shown, days, viewer):
    first = FirstSigned("p-1", ANA, CONVEYOR, TOM, NOW - days * DAY, asked, second_id=second, shown_to=shown)
    may_sign = judge_second_marks(first, viewer, NOW) == () and viewer != ANA
    assert marks_hidden(first, viewer, (), NOW) is may_sign


def marks(**said):
    return [StepMark(step, step != "extra", mark) for step, mark in said.items()]


def test_observers_differ_where_a_critical_step_counts_for_one_alone():
    first = marks(lock="met", tag="not_met", extra="met")
    assert differing(first, marks(lock="met", tag="not_seen", extra="not_met")) == ()
    assert differing(first, marks(lock="not_seen", tag="met", extra="met")) == ("lock", "tag")
    assert differing(first, marks(tag="not_met", extra="met")) == ("lock",)


DIFFERS = replace(FIRST, second_id=RAY, differs=True)


def look(first=DIFFERS, **how):
    usual = {"by_id": MIA, "by_role": "manager", "reason": "Spoke to both; the lock was on.", "counts": True}
    return judge_look(first, **{**usual, **how})


@pytest.mark.parametrize(
    ("how", "reason"),
    [
        ({"first": replace(DIFFERS, differs=False)}, "look.not_differing"),
        ({"first": replace(DIFFERS, looked=True)}, "look.already"),
        ({"by_role": "trainer"}, "decider.no_right"),
        ({"by_id": TOM}, "look.observed"),
        ({"by_id": RAY}, "look.observed"),
        ({"by_id": ANA}, "look.is_person"),
        ({"counts": None}, "look.no_choice"),
        ({"reason": " "}, "look.no_reason"),
    ],
)
def test_who_may_say_what_counts_of_two_that_differ(how, reason):
    assert look() == ()
    assert look(**how) == (reason,)


def test_device_times_are_read_as_utc_to_the_second_and_rubbish_is_left_out():
    said = '{"lock": "2026-03-02T09:15:00.123-06:00", "tag": "yesterday", "extra": 5, "other": "2026-03-02T15:00:00Z"}'
    assert read_device_times(said, ["lock", "tag", "extra"]) == {"lock": "2026-03-02T15:15:00Z"}


@given(
    st.text(max_size=50)
    | st.sampled_from(["", "[]", "null", "[" * 5000, '{"lock": "2026-03-02T15:00"}', "{" * 20_000])
)
def test_whatever_the_device_sends_stops_nobody(text):
    assert read_device_times(text, ["lock"]) == {}
