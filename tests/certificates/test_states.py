from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.certificates.whole import WITHDRAWN
from trainer.certificates.states import add_months, certificate_state, expiry, months_later

START = datetime(2026, 1, 5, 18, tzinfo=UTC)
END = datetime(2028, 1, 5, 18, tzinfo=UTC)
SECOND = timedelta(seconds=1)


@pytest.mark.parametrize(
    ("day", "months", "until"),
    [
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 2, 29), 36, date(2027, 2, 28)),
        (date(2024, 2, 29), 48, date(2028, 2, 29)),
        (date(2026, 8, 31), 18, date(2028, 2, 29)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
    ],
)
def test_calendar_months_clip_to_the_end_of_the_month(day, months, until):
    # ISO 8601 durations of months; both python-dateutil and isodate give these dates.
    assert add_months(day, months) == until


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)), st.integers(0, 240))
def test_months_agree_with_dateutil(day, months):
    relativedelta = pytest.importorskip("dateutil.relativedelta").relativedelta
    assert add_months(day, months) == day + relativedelta(months=months)


@pytest.mark.parametrize(
    ("now", "state"),
    [
        (START - SECOND, "not_yet"),
        (START, "active"),
        (END - SECOND, "active"),
        (END, "expired"),
        (END + SECOND, "expired"),
    ],
)
def test_state_at_the_edges(now, state):
    assert certificate_state(START, END, (), now) == state


@given(st.datetimes(timezones=st.just(UTC)))
def test_withdrawn_is_withdrawn_at_every_moment(now):
    assert certificate_state(START, END, (WITHDRAWN,), now) == "withdrawn"


def test_expiry_keeps_the_clock_of_the_site_across_summer_time():
    # 29 August is summer time in Chicago (UTC-5), 28 February is not (UTC-6).
    august = datetime(2026, 8, 31, 14, 30, tzinfo=UTC)
    assert months_later(august, 18, "America/Chicago") == datetime(2028, 2, 29, 15, 30, tzinfo=UTC)


def test_the_day_is_the_day_at_the_site():
    # 1 March 03:00 UTC is still 29 February in Chicago, so a year later is 28 February there.
    late = datetime(2024, 3, 1, 3, tzinfo=UTC)
    assert months_later(late, 12, "America/Chicago") == datetime(2025, 3, 1, 3, tzinfo=UTC)


def test_a_certificate_ends_with_the_first_thing_it_rests_on():
    practical = datetime(2025, 12, 1, 18, tzinfo=UTC)
    assert expiry(START, END - timedelta(days=9), START, 24, "America/Chicago") == END - timedelta(days=9)
    assert expiry(START, END, practical, 24, "America/Chicago") == datetime(2027, 12, 1, 18, tzinfo=UTC)
    assert expiry(START, END + SECOND, START, 24, "America/Chicago") == END
