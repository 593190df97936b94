"""When a certificate counts: its four states, and the instant at which it expires."""

from __future__ import annotations

import calendar
from datetime import UTC, date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

CertificateState = Literal["active", "not_yet", "expired", "withdrawn"]


def certificate_state(
    effective_at: datetime, expires_at: datetime, withdrawn_at: datetime | None, now: datetime
) -> CertificateState:
    """The state at `now`: it counts from `effective_at` and no longer at `expires_at`; withdrawn stays withdrawn."""
    if withdrawn_at is not None:
        return "withdrawn"
    if now < effective_at:
        return "not_yet"
    return "active" if now < expires_at else "expired"


def add_months(day: date, months: int) -> date:
    """The same day of the month, `months` calendar months on; a day that month lacks becomes its last day.

    Not associative (31 January + 1 + 1 is 28 March, + 2 is 31 March), so what is kept is the expiry, never the sum.
    """
    years, month0 = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month0 + 1
    last = calendar.monthrange(year, month)[1]
    return date(year, month, min(day.day, last))


def months_later(moment: datetime, months: int, time_zone: str) -> datetime:
    """The instant at which the site's clock shows the same time, `months` calendar months on; aware UTC."""
    zone = ZoneInfo(time_zone)
    local = moment.astimezone(zone)
    later = datetime.combine(add_months(local.date(), months), local.time(), tzinfo=zone)
    return later.astimezone(UTC)


def expiry(
    effective_at: datetime,
    exam_valid_until: datetime,
    practical_signed_at: datetime,
    months: int,
    time_zone: str,
) -> datetime:
    """When a certificate runs out: after `months`, and never later than the exam or the practical it rests on."""
    return min(
        months_later(effective_at, months, time_zone),
        exam_valid_until,
        months_later(practical_signed_at, months, time_zone),
    )
