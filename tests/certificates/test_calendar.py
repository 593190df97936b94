"""Expiries as a calendar: one entry a person and cabinet that moves, cancels and reminds."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from tests.certificates.test_paper import HELD
from trainer.certificates.calendar import LINE_OCTETS, calendar, escaped, expiries, folded
from trainer.certificates.states import Change

AT = datetime(2026, 1, 5, 12, tzinfo=UTC)
ONE = replace(
    HELD, public_id="cert-0001", effective_at=AT, expires_at=datetime(2028, 1, 5, 18, tzinfo=UTC),
    time_zone="America/Chicago", changes=(),
)  # fmt: skip


def change(kind, at, lifts=None):
    return Change(f"{kind}-{at:%Y%m%d}", kind, "by_manager", at, at, lifts=lifts)


def event(*held, language="en"):
    [found] = Calendar.from_ical(calendar(expiries(held), language)).walk("VEVENT")
    return found


def test_an_entry_parses_to_its_day_with_an_alarm_sixty_days_before():
    # RFC 5545, parsed by icalendar, which shares no code with ours.
    found = event(ONE)
    assert found["DTSTART"].dt == date(2028, 1, 5)
    [alarm] = found.walk("VALARM")
    assert (alarm["ACTION"], alarm["TRIGGER"].dt) == ("DISPLAY", timedelta(days=-60))
    assert found["TRANSP"] == "TRANSPARENT"
    assert HELD.person in found["SUMMARY"]


def test_what_the_library_lets_pass_is_there_too():
    # RFC 5545: PRODID and VERSION once a calendar, UID and DTSTAMP once an entry, every line ends in CR LF.
    text = calendar(expiries([ONE]), "es").decode()
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert text.endswith("END:VCALENDAR\r\n")
    assert text.count("\n") == text.count("\r\n") == text.count("\r")
    for name in ("UID:", "DTSTAMP:", "DTSTART;VALUE=DATE:", "SEQUENCE:"):
        assert text.count(f"\r\n{name}") == 1
    assert "METHOD" not in text


@pytest.mark.parametrize(
    ("zone", "instant", "day"),
    [
        ("America/Chicago", datetime(2028, 1, 6, 5, 59, 59, tzinfo=UTC), date(2028, 1, 5)),
        ("America/Chicago", datetime(2028, 1, 6, 6, tzinfo=UTC), date(2028, 1, 6)),
        # Clocks go forward on 12 March 2028: that evening the site is five hours behind, not six.
        ("America/Chicago", datetime(2028, 3, 13, 4, 59, 59, tzinfo=UTC), date(2028, 3, 12)),
        ("America/Chicago", datetime(2028, 3, 13, 5, tzinfo=UTC), date(2028, 3, 13)),
        ("Pacific/Honolulu", datetime(2028, 1, 6, 9, 59, tzinfo=UTC), date(2028, 1, 5)),
    ],
)
def test_the_day_is_the_day_at_the_site(zone, instant, day):
    assert event(replace(ONE, time_zone=zone, expires_at=instant))["DTSTART"].dt == day


def test_a_renewal_moves_the_same_entry_and_a_withdrawal_cancels_it():
    later = AT + timedelta(days=700)
    renewed = replace(ONE, public_id="cert-0002", effective_at=later, expires_at=later + timedelta(days=730))
    gone = replace(renewed, changes=(change("withdrawn", later + timedelta(days=3)),))
    first, second, third = event(ONE), event(ONE, renewed), event(ONE, gone)
    assert first["UID"] == second["UID"] == third["UID"]
    assert [one["SEQUENCE"] for one in (first, second, third)] == [0, 1, 2]
    assert second["DTSTART"].dt > first["DTSTART"].dt
    assert [one["STATUS"] for one in (first, second, third)] == ["CONFIRMED", "CONFIRMED", "CANCELLED"]
    assert third.walk("VALARM") == []
    assert [one["DTSTAMP"].dt for one in (first, second, third)] == [AT, later, later + timedelta(days=3)]


def test_each_change_gives_a_higher_number():
    days = [AT + timedelta(days=day) for day in (1, 2, 3)]
    changes = (change("suspended", days[0]), change("lifted", days[1], lifts="x"), change("reduced", days[2]))
    numbers = [event(replace(ONE, changes=changes[:count]))["SEQUENCE"] for count in range(4)]
    assert numbers == [0, 1, 2, 3]


def test_two_people_or_two_cabinets_are_two_entries():
    others = [replace(ONE, person_id=99, person_public_id="p-99"), replace(ONE, cabinet_id=98)]
    found = Calendar.from_ical(calendar(expiries([ONE, *others]), "en")).walk("VEVENT")
    assert len({one["UID"] for one in found}) == 3


def test_sixty_accented_letters_fold_between_letters():
    # A value for the check: a summary of 60 times é, two octets each.
    text = calendar(expiries([replace(ONE, person="é" * 60)]), "en")
    assert all(len(line) <= LINE_OCTETS for line in text.split(b"\r\n"))
    for line in text.split(b"\r\n"):
        line.decode("utf-8")
    assert "é" * 60 in event(replace(ONE, person="é" * 60))["SUMMARY"]


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=300))
def test_any_text_comes_back_from_its_folds(text):
    lines = folded(text).split(b"\r\n")
    assert all(len(line) <= LINE_OCTETS for line in lines)
    assert all(line.startswith(b" ") for line in lines[1:])
    assert "".join(line.decode()[bool(number) :] for number, line in enumerate(lines)) == text


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=80))
def test_any_name_comes_back_from_the_calendar(name):
    assert name in str(event(replace(ONE, person=name))["SUMMARY"])


def test_a_name_cannot_begin_a_line_of_its_own():
    wicked = "Ana\r\nATTACH:https://wash.example/x\r\nX:"
    text = calendar(expiries([replace(ONE, person=wicked)]), "en").decode()
    assert "\r\nATTACH" not in text.replace("\r\n ", "")
    assert escaped("a\x00b\x07c\x7f") == "abc"
