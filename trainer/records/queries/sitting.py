"""Requests to sit, exams that are open, their pauses, extra time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, aliased

from trainer.exams.invigilation import ASKING, Request
from trainer.exams.marks import KeptAnswer
from trainer.exams.sitting import Sitting
from trainer.records.queries.exams import sittings
from trainer.records.tables import Exam, ExamAllowance, ExamAnswer, ExamLook, ExamPause, ExamRequest, Person


@dataclass(frozen=True)
class Pause:
    """Time of an exam that does not count, who stopped and started the clock, and why."""

    id: int
    began_at: datetime
    began_by: str
    reason: str
    ended_at: datetime | None
    ended_by: str | None
    credit_seconds: int | None


@dataclass(frozen=True)
class Allowance:
    """Extra time of a person: how much, why, who approved it and since when it was ended."""

    public_id: str
    person_id: int
    person_public_id: str
    person: str
    factor: str
    reason: str
    approved_by: str
    approved_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True)
class OpenSitting:
    """An open exam as an invigilator sees it."""

    public_id: str
    person_id: int
    person: str
    scheme: str
    started_at: datetime
    deadline: datetime
    allowance: str | None
    paused_at: datetime | None


@dataclass(frozen=True)
class Look:
    """What was found when a closed exam was looked at."""

    exam: str
    person: str
    person_public_id: str
    scheme: str
    ended_at: datetime
    keys: int
    bursts: int
    fast: int
    flagged: bool
    detail: str


def _requests() -> Select[*tuple[Any, ...]]:
    r, by = ExamRequest, aliased(Person)
    return (
        select(
            r.id, r.public_id, r.person_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            Person.site_id, r.scheme, r.kind, Exam.public_id.label("exam"), r.place, r.asked_at, r.admitted_at,
            r.turned_away_at, r.used_at, by.name.label("answered_by"),
        )
        .join(Person, Person.id == r.person_id)
        .outerjoin(Exam, Exam.id == r.exam_id)
        .outerjoin(by, by.id == r.answered_by_id)
    )  # fmt: skip


def newest_request(db: Session, person_id: int, scheme: str, kind: str) -> Request | None:
    """A person's newest request of a kind for a scheme. One statement."""
    rows = db.execute(
        _requests()
        .where(ExamRequest.person_id == person_id, ExamRequest.scheme == scheme, ExamRequest.kind == kind)
        .order_by(ExamRequest.id.desc())
        .limit(1)
    ).mappings()
    return next((Request(**row) for row in rows), None)


def request(db: Session, public_id: str) -> Request | None:
    """One request. One statement."""
    row = db.execute(_requests().where(ExamRequest.public_id == public_id)).mappings().first()
    return None if row is None else Request(**row)


def requests_of_site(db: Session, site_id: int, now: datetime) -> list[Request]:
    """Requests of a site that nobody used and that may still count, the oldest first. One statement."""
    r = ExamRequest
    rows = db.execute(
        _requests()
        .where(
            Person.site_id == site_id, r.used_at.is_(None), r.turned_away_at.is_(None), r.asked_at > now - 2 * ASKING
        )
        .order_by(r.asked_at, r.id)
    ).mappings()  # fmt: skip
    return [Request(**row) for row in rows]


def open_sittings(db: Session, site_id: int) -> list[OpenSitting]:
    """The open exams of a site, by name. One statement."""
    e = Exam
    rows = db.execute(
        select(
            e.public_id, e.person_id, Person.name.label("person"), e.scheme, e.started_at, e.deadline, e.allowance,
            e.paused_at,
        )
        .join(Person, Person.id == e.person_id)
        .where(Person.site_id == site_id, e.submitted_at.is_(None))
        .order_by(Person.name, e.id)
    ).mappings()  # fmt: skip
    return [OpenSitting(**row) for row in rows]


def pauses(db: Session, exam_id: int) -> list[Pause]:
    """The pauses of an exam, the first first. One statement."""
    p, began, ended = ExamPause, aliased(Person), aliased(Person)
    rows = db.execute(
        select(
            p.id, p.began_at, began.name.label("began_by"), p.reason, p.ended_at, ended.name.label("ended_by"),
            p.credit_seconds,
        )
        .join(began, began.id == p.began_by_id)
        .outerjoin(ended, ended.id == p.ended_by_id)
        .where(p.exam_id == exam_id)
        .order_by(p.id)
    ).mappings()  # fmt: skip
    return [Pause(**row) for row in rows]


def _allowances() -> Select[*tuple[Any, ...]]:
    a, by = ExamAllowance, aliased(Person)
    return (
        select(
            a.public_id, a.person_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            a.factor, a.reason, by.name.label("approved_by"), a.approved_at, a.ended_at,
        )
        .join(Person, Person.id == a.person_id)
        .join(by, by.id == a.approved_by_id)
    )  # fmt: skip


def allowances(db: Session, person_id: int) -> list[Allowance]:
    """Extra time ever approved for a person, the newest first. One statement."""
    rows = db.execute(
        _allowances().where(ExamAllowance.person_id == person_id).order_by(ExamAllowance.id.desc())
    ).mappings()
    return [Allowance(**row) for row in rows]


def allowance_in_force(db: Session, person_id: int) -> Allowance | None:
    """The extra time that counts for a person now: the newest that was not ended. One statement."""
    a = ExamAllowance
    rows = db.execute(
        _allowances().where(a.person_id == person_id, a.ended_at.is_(None)).order_by(a.id.desc()).limit(1)
    ).mappings()
    return next((Allowance(**row) for row in rows), None)


def invigilators(db: Session, exam_id: int) -> list[int]:
    """Who confirmed the person of an exam, moved it or stopped its clock: ids, each once. Two statements."""
    confirmed = db.scalars(
        select(ExamRequest.answered_by_id).where(
            ExamRequest.exam_id == exam_id, ExamRequest.answered_by_id.is_not(None), ExamRequest.used_at.is_not(None)
        )
    ).all()  # fmt: skip
    paused = db.execute(
        select(ExamPause.began_by_id, ExamPause.ended_by_id).where(ExamPause.exam_id == exam_id)
    )
    found = [*confirmed, *(one for row in paused for one in row)]
    return sorted({one for one in found if one is not None})


def _looks() -> Select[*tuple[Any, ...]]:
    k = ExamLook
    return (
        select(
            Exam.public_id.label("exam"), Person.name.label("person"), Person.public_id.label("person_public_id"),
            Exam.scheme, Exam.submitted_at.label("ended_at"), k.keys, k.bursts, k.fast, k.flagged, k.detail,
        )
        .join(Exam, Exam.id == k.exam_id)
        .join(Person, Person.id == Exam.person_id)
    )  # fmt: skip


def looks(db: Session, site_id: int, since: datetime) -> list[Look]:
    """Exams of a site that closed since a moment and were flagged, the newest first. One statement."""
    rows = db.execute(
        _looks()
        .where(Person.site_id == site_id, Exam.submitted_at > since, ExamLook.flagged.is_(True))
        .order_by(Exam.submitted_at.desc(), Exam.id.desc())
    ).mappings()
    return [Look(**row) for row in rows]


def look_of(db: Session, exam_id: int) -> Look | None:
    """What was found in one exam; None where nobody looked yet. One statement."""
    row = db.execute(_looks().where(ExamLook.exam_id == exam_id)).mappings().first()
    return None if row is None else Look(**row)


def not_looked_at(db: Session, most: int, now: datetime, after: timedelta) -> list[str]:
    """Public ids of closed exams that nobody looked at, the oldest first. One statement."""
    return list(
        db.scalars(
            select(Exam.public_id)
            .outerjoin(ExamLook, ExamLook.exam_id == Exam.id)
            .where(Exam.submitted_at <= now - after, ExamLook.id.is_(None), Exam.result.is_not(None))
            .order_by(Exam.submitted_at, Exam.id)
            .limit(most)
        )
    )


def kept_answers(db: Session, exam_id: int) -> list[KeptAnswer]:
    """Every revision of every answer with the moment it came, in that order. One statement."""
    a = ExamAnswer
    rows = db.execute(
        select(a.slot, a.revision, a.answer, a.language, a.received_at)
        .where(a.exam_id == exam_id)
        .order_by(a.id)
    )
    return [KeptAnswer(*row) for row in rows]


def exams_beside(db: Session, one: Sitting, before: timedelta, most: int) -> list[Sitting]:
    """Exams of other people of the site that began before this one ended, and not long before. One statement."""
    e = Exam
    until = one.ended_at or one.deadline
    rows = db.execute(
        sittings()
        .where(
            Person.site_id == one.site_id, e.person_id != one.person_id, e.started_at < until,
            e.started_at > one.started_at - before,
        )
        .order_by(e.started_at.desc(), e.id.desc())
        .limit(most)
    )  # fmt: skip
    return [Sitting(**row) for row in rows.mappings()]
