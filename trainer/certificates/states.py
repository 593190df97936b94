"""When a certificate counts: the changes made to it, folded into its state, and the instant at which it expires."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

CertificateState = Literal["active", "not_yet", "suspended", "reduced", "expired", "withdrawn"]
ChangeKind = Literal["suspended", "lifted", "reduced", "withdrawn"]
Cause = Literal["by_manager", "change.machine", "change.procedure"]


@dataclass(frozen=True)
class Change:
    """One act on a certificate after it was issued; a certificate's changes are only ever added to.

    since: from when the ground of a suspension holds, never later than `at`
    lifts: the suspension, by its public id, that a lift ends
    taken: the tasks that a reduction takes out of the scope
    """

    public_id: str
    kind: ChangeKind
    cause: Cause
    at: datetime
    since: datetime
    by: str = ""
    reason: str = ""
    lifts: str | None = None
    taken: tuple[str, ...] = ()


@dataclass(frozen=True)
class Standing:
    """Where a certificate stands: its state, the suspensions nobody has lifted, the tasks taken out of its scope."""

    state: CertificateState
    suspensions: tuple[Change, ...] = ()
    taken: tuple[str, ...] = ()


def standing(
    effective_at: datetime, expires_at: datetime, changes: Sequence[Change], now: datetime
) -> Standing:
    """Fold the changes, in the order they were made; `changes_until` asks how it stood at an earlier moment.

    Withdrawn is final: no later change counts, and no clock that runs backwards brings the certificate back.
    """
    open_, taken, withdrawn = _folded(changes)
    changed: CertificateState = "suspended" if open_ else "reduced" if taken else "active"
    state = "withdrawn" if withdrawn else _at(effective_at, expires_at, changed, now)
    return Standing(state, open_, taken)


def certificate_state(
    effective_at: datetime, expires_at: datetime, changes: Sequence[Change], now: datetime
) -> CertificateState:
    """The state at `now`: it counts from `effective_at` and no longer at `expires_at`, unless a change says less."""
    return standing(effective_at, expires_at, changes, now).state


def changes_until(changes: Sequence[Change], moment: datetime) -> tuple[Change, ...]:
    """The changes that had been made by then."""
    return tuple(one for one in changes if one.at <= moment)


def withdrawal(changes: Sequence[Change]) -> Change | None:
    """The change that withdrew the certificate, if any."""
    return next((one for one in changes if one.kind == "withdrawn"), None)


def _folded(changes: Sequence[Change]) -> tuple[tuple[Change, ...], tuple[str, ...], bool]:
    suspensions: dict[str, Change] = {}
    taken: dict[str, None] = {}
    for one in changes:
        if one.kind == "withdrawn":
            return tuple(suspensions.values()), tuple(taken), True
        if one.kind == "suspended":
            suspensions[one.public_id] = one
        elif one.kind == "lifted":
            suspensions.pop(one.lifts or "", None)
        else:
            taken.update(dict.fromkeys(one.taken))
    return tuple(suspensions.values()), tuple(taken), False


def _at(
    effective_at: datetime, expires_at: datetime, changed: CertificateState, now: datetime
) -> CertificateState:
    if now >= expires_at:
        return "expired"
    return "not_yet" if now < effective_at and changed != "suspended" else changed


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
