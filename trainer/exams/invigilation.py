"""Who confirms who sits an exam and where: requests, pauses of the clock, time given back, extra time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Literal

from trainer.access.members import Member
from trainer.access.rights import may
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import Sitting, deadline, is_open, is_paused

ASKING = timedelta(minutes=60)  # a request that nobody answered lapses
ADMITTED = timedelta(minutes=15)  # a confirmed person starts within this, or asks again
MOST_BACK = timedelta(minutes=120)  # at one time
UNTIMED = timedelta(
    hours=24
)  # an exam without a limit closes by itself then, so that none stands open for ever

RequestKind = Literal["start", "move"]
RequestState = Literal["waiting", "admitted", "turned_away", "used", "lapsed"]
Extra = Literal["5/4", "3/2", "2", "none"]
EXTRAS: tuple[Extra, ...] = ("5/4", "3/2", "2", "none")


@dataclass(frozen=True)
class Request:
    """One request to start an exam, or to go on with one in another place (`exam`); place: digest of the browser."""

    id: int
    public_id: str
    person_id: int
    person_public_id: str
    person: str
    site_id: int
    scheme: str
    kind: RequestKind
    exam: str | None
    place: str
    asked_at: datetime
    admitted_at: datetime | None = None
    turned_away_at: datetime | None = None
    used_at: datetime | None = None
    answered_by: str | None = None


def state_of(request: Request, now: datetime) -> RequestState:
    """How a request stands."""
    if request.used_at is not None:
        return "used"
    if request.turned_away_at is not None:
        return "turned_away"
    if request.admitted_at is not None:
        return "admitted" if now < request.admitted_at + ADMITTED else "lapsed"
    return "waiting" if now < request.asked_at + ASKING else "lapsed"


def invigilator_reasons(by: Member, person_id: int, site_id: int) -> tuple[str, ...]:
    """Why somebody may not watch over the exam of a person."""
    stands = {
        "invigilator.not_here": by.site_id != site_id or by.left_at is not None,
        "invigilator.role": not may(by.role, "invigilate"),
        "invigilator.own": by.id == person_id,
    }
    return tuple(key for key, holds in stands.items() if holds)


def attest_reasons(request: Request, by: Member, attested: bool, now: datetime) -> tuple[str, ...]:
    """Why an invigilator may not confirm a request now."""
    stands = {
        "invigilator.not_waiting": state_of(request, now) != "waiting",
        "invigilator.not_attested": not attested,
    }
    said = tuple(key for key, holds in stands.items() if holds)
    return (*invigilator_reasons(by, request.person_id, request.site_id), *said)


def admission_reasons(
    scheme: Scheme, request: Request | None, place: str | None, now: datetime
) -> tuple[str, ...]:
    """Why an exam may not start for want of an invigilator; `request`: the person's newest for this scheme."""
    if not scheme.invigilated:
        return ()
    if request is None or state_of(request, now) != "admitted":
        return ("exam.not_admitted",)
    return () if request.place == place else ("exam.admitted_elsewhere",)


def pause_reasons(sitting: Sitting, by: Member, reason: str, now: datetime) -> tuple[str, ...]:
    """Why an exam's clock may not be stopped now."""
    return _clock_reasons(sitting, by, reason, now, {"pause.already": is_paused(sitting, now)})


def resume_reasons(sitting: Sitting, by: Member, now: datetime) -> tuple[str, ...]:
    """Why an exam's clock may not go on now."""
    mine = invigilator_reasons(by, sitting.person_id, sitting.site_id)
    return mine if is_paused(sitting, now) and sitting.ended_at is None else (*mine, "pause.not_paused")


def give_back_reasons(
    sitting: Sitting, by: Member, reason: str, much: timedelta, now: datetime
) -> tuple[str, ...]:
    """Why time may not be given back now."""
    return _clock_reasons(sitting, by, reason, now, {"pause.too_much": not timedelta(0) < much <= MOST_BACK})


def _clock_reasons(
    sitting: Sitting, by: Member, reason: str, now: datetime, more: dict[str, bool]
) -> tuple[str, ...]:
    stands = {"pause.not_open": not is_open(sitting, now), "pause.no_reason": not reason.strip(), **more}
    said = tuple(key for key, holds in stands.items() if holds)
    return (*invigilator_reasons(by, sitting.person_id, sitting.site_id), *said)


def allowance_reasons(by: Member, person: Member, extra: str, reason: str) -> tuple[str, ...]:
    """Why extra time may not be approved: a manager of the site does, never for themself."""
    stands = {
        "allowance.not_here": by.site_id != person.site_id or person.left_at is not None,
        "allowance.role": not may(by.role, "decide"),
        "allowance.own": by.id == person.id,
        "allowance.unknown": extra not in EXTRAS,
        "allowance.no_reason": not reason.strip(),
    }
    return tuple(key for key, holds in stands.items() if holds)


def deadline_with(start: datetime, minutes: int, extra: str | None) -> datetime:
    """When an exam ends with the extra time that was granted; without a limit, a day later. Raises ValueError."""
    if extra == "none":
        return start + UNTIMED
    return deadline(start, minutes, Fraction(extra or 1))
