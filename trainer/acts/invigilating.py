"""What an invigilator does: confirms who sits and where, stops the clock and starts it, gives time back."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import select, update

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.access.throttle import name_key, pin_key
from trainer.acts.free_text import digest, too_long
from trainer.acts.hashing import matches
from trainer.acts.transaction import Act, act
from trainer.acts.tries import begin_try, failed_try, good_try
from trainer.exams.invigilation import (
    Request,
    RequestKind,
    allowance_reasons,
    attest_reasons,
    give_back_reasons,
    invigilator_reasons,
    pause_reasons,
    resume_reasons,
    state_of,
)
from trainer.exams.sitting import Sitting, credit_of, is_text
from trainer.records.database import Database
from trainer.records.log import moment_text
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import sitting
from trainer.records.queries.sign_in import secrets_of
from trainer.records.tables import Exam, ExamAllowance, ExamPause, ExamRequest


@dataclass(frozen=True)
class Proof:
    """What a person typed to prove themself again, password or PIN, and from which address."""

    secret: str
    address: str
    by_pin: bool


def ask(
    database: Database,
    *,
    member: Member,
    scheme_id: str,
    kind: RequestKind,
    place: str,
    exam: str | None = None,
    now: datetime,
) -> str | Refused:
    """Ask an invigilator to start an exam, or to go on with one here; gives the request. One that waits is kept."""
    with act(database, now) as this:
        newest = sitting.newest_request(this.db, member.id, scheme_id, kind)
        same = newest is not None and (newest.place, newest.exam) == (place, exam)
        if newest is not None and same and state_of(newest, now) in ("waiting", "admitted"):
            return newest.public_id
        asked_for = exam_queries.sitting(this.db, exam) if exam else None
        if kind == "move" and (asked_for is None or not _open_and_mine(asked_for, member)):
            return Refused(("exam.unknown",))
        row = ExamRequest(
            public_id=str(uuid.uuid4()),
            person_id=member.id,
            scheme=scheme_id,
            kind=kind,
            exam_id=asked_for.id if asked_for else None,
            place=place,
            asked_at=now,
        )
        this.db.add(row)
        this.log(
            "exam.asked", by=member.public_id, about=member.public_id, request=row.public_id, scheme=scheme_id,
            what=kind, exam=exam,
        )  # fmt: skip
        return row.public_id


def _open_and_mine(asked_for: Sitting, member: Member) -> bool:
    return asked_for.person_id == member.id and asked_for.ended_at is None


def admit(
    database: Database, *, by: Member, request: str, attested: bool, now: datetime
) -> Request | Refused:
    """Confirm that the person at that device is who they say; an exam that is to go on there moves at once."""
    with act(database, now) as this:
        asked = sitting.request(this.db, request)
        if asked is None or asked.site_id != by.site_id:
            return Refused(("invigilator.not_waiting",))
        reasons = attest_reasons(asked, by, attested, now)
        if reasons:
            return Refused(reasons)
        row = this.db.get_one(ExamRequest, asked.id)
        row.answered_by_id, row.admitted_at = by.id, now
        this.log(
            "exam.admitted", by=by.public_id, about=asked.person_public_id, request=request, scheme=asked.scheme,
            what=asked.kind, exam=asked.exam,
        )  # fmt: skip
        if asked.kind == "move" and asked.exam is not None:
            row.used_at = now
            move(this, asked.exam, asked.place, by.public_id, request)
        return asked


def move(this: Act, exam: str, place: str, by: str, request: str | None) -> None:
    """Bind an open exam to another place; the old one can only look on from then."""
    row = this.db.scalars(select(Exam).where(Exam.public_id == exam, Exam.submitted_at.is_(None))).first()
    if row is None:
        return
    row.place = place
    about = exam_queries.sitting(this.db, exam)
    assert about is not None
    this.log("exam.moved", by=by, about=about.person_public_id, exam=exam, request=request)


def take_over(
    database: Database,
    *,
    member: Member,
    exam: str,
    place: str,
    watched: bool,
    proof: Proof,
    now: datetime,
) -> str | Refused:
    """Go on with one's own exam in another place; watched: an invigilator must agree, so a secret is not enough."""
    with database.reading() as db:
        mine = secrets_of(db, member.id)
    if mine is None or watched:
        return Refused(("exam.ask_to_move",))
    key = pin_key(mine.public_id) if proof.by_pin else name_key(mine.sign_in_name)
    tried = begin_try(database, key=key, address=proof.address, now=now)
    if isinstance(tried, Refused):
        return tried
    fine = matches(mine.pin_hash if proof.by_pin else mine.password_hash, proof.secret)
    with act(database, now) as this:
        if not fine:
            failed_try(this, tried, mine.public_id)
            return Refused(("exam.wrong_secret",))
        good_try(this, tried)
        found = exam_queries.sitting(this.db, exam)
        if found is None or not _open_and_mine(found, member):
            return Refused(("exam.unknown",))
        if found.place != place:
            move(this, exam, place, member.public_id, None)
        return exam


def turn_away(database: Database, *, by: Member, request: str, now: datetime) -> Request | Refused:
    """Say no to a request: the person is not who they say, or not where they should be."""
    with act(database, now) as this:
        asked = sitting.request(this.db, request)
        if (
            asked is None
            or asked.site_id != by.site_id
            or state_of(asked, now) not in ("waiting", "admitted")
        ):
            return Refused(("invigilator.not_waiting",))
        reasons = invigilator_reasons(by, asked.person_id, asked.site_id)
        if reasons:
            return Refused(reasons)
        row = this.db.get_one(ExamRequest, asked.id)
        row.answered_by_id, row.turned_away_at = by.id, now
        this.log(
            "exam.turned_away", by=by.public_id, about=asked.person_public_id, request=request,
            scheme=asked.scheme, what=asked.kind, exam=asked.exam,
        )  # fmt: skip
        return asked


def pause(database: Database, *, by: Member, exam: str, reason: str, now: datetime) -> Sitting | Refused:
    """Stop an exam's clock: the network is out, or the wash has an emergency."""
    with act(database, now) as this:
        found = exam_queries.sitting(this.db, exam)
        if found is None:
            return Refused(("exam.unknown",))
        reasons = (*pause_reasons(found, by, reason, now), *unkept(reason))
        if reasons:
            return Refused(reasons)
        if found.paused_at is not None:
            _settle(this, found, None)
        this.db.add(ExamPause(exam_id=found.id, began_by_id=by.id, began_at=now, reason=reason))
        this.db.execute(update(Exam).where(Exam.id == found.id).values(paused_at=now))
        this.log(
            "exam.paused",
            by=by.public_id,
            about=found.person_public_id,
            exam=exam,
            reason_sha256=digest(reason),
        )
        return found


def resume(database: Database, *, by: Member, exam: str, now: datetime) -> Sitting | Refused:
    """Start the clock again; the deadline moves by the time that it stood."""
    with act(database, now) as this:
        found = exam_queries.sitting(this.db, exam)
        if found is None:
            return Refused(("exam.unknown",))
        reasons = resume_reasons(found, by, now)
        if reasons:
            return Refused(reasons)
        _settle(this, found, by)
        return found


def _settle(this: Act, found: Sitting, by: Member | None) -> None:
    """Close the pause that is open and move the deadline by it; without a person it went on by itself."""
    credit = credit_of(found, this.now)
    assert found.paused_at is not None
    ended = found.paused_at + credit
    this.db.execute(
        update(ExamPause)
        .where(ExamPause.exam_id == found.id, ExamPause.ended_at.is_(None))
        .values(ended_at=ended, ended_by_id=by.id if by else None, credit_seconds=credit.total_seconds())
    )
    _move_deadline(this, found, credit)
    this.log(
        "exam.resumed", by=by.public_id if by else "system", about=found.person_public_id, exam=found.public_id,
        seconds=int(credit.total_seconds()), deadline=moment_text(found.deadline + credit),
    )  # fmt: skip


def _move_deadline(this: Act, found: Sitting, credit: timedelta) -> None:
    changed = {"deadline": found.deadline + credit, "paused_at": None}
    this.db.execute(update(Exam).where(Exam.id == found.id).values(changed))


def give_back(
    database: Database, *, by: Member, exam: str, much: timedelta, reason: str, now: datetime
) -> Sitting | Refused:
    """Give time back that was lost already, without stopping the clock."""
    with act(database, now) as this:
        found = exam_queries.sitting(this.db, exam)
        if found is None:
            return Refused(("exam.unknown",))
        reasons = (*give_back_reasons(found, by, reason, much, now), *unkept(reason))
        if reasons:
            return Refused(reasons)
        seconds = int(much.total_seconds())
        this.db.add(
            ExamPause(
                exam_id=found.id, began_by_id=by.id, began_at=now, reason=reason, ended_by_id=by.id, ended_at=now,
                credit_seconds=seconds,
            )
        )  # fmt: skip
        ends = found.deadline + much
        this.db.execute(update(Exam).where(Exam.id == found.id).values(deadline=ends))
        this.log(
            "exam.time_given_back", by=by.public_id, about=found.person_public_id, exam=exam, seconds=seconds,
            deadline=moment_text(ends), reason_sha256=digest(reason),
        )  # fmt: skip
        return found


def allow(
    database: Database, *, by: Member, person: Member, extra: str, reason: str, now: datetime
) -> str | Refused:
    """Approve extra time for exams that a person starts from now on; it takes the place of what stood before."""
    reasons = (*allowance_reasons(by, person, extra, reason), *unkept(reason))
    if reasons:
        return Refused(reasons)
    with act(database, now) as this:
        _end_allowances(this, person.id, by.id)
        row = ExamAllowance(
            public_id=str(uuid.uuid4()), person_id=person.id, factor=extra, reason=reason, approved_by_id=by.id,
            approved_at=now,
        )  # fmt: skip
        this.db.add(row)
        this.log(
            "exam.time_allowed", by=by.public_id, about=person.public_id, allowance=row.public_id,
            reason_sha256=digest(reason),
        )  # fmt: skip
        return row.public_id


def end_allowance(database: Database, *, by: Member, person: Member, now: datetime) -> str | Refused:
    """End a person's extra time; exams that were started with it keep it."""
    reasons = tuple(one for one in allowance_reasons(by, person, "2", "-"))
    if reasons:
        return Refused(reasons)
    with act(database, now) as this:
        stands = sitting.allowance_in_force(this.db, person.id)
        if stands is None:
            return Refused(("allowance.none",))
        _end_allowances(this, person.id, by.id)
        this.log("exam.time_ended", by=by.public_id, about=person.public_id, allowance=stands.public_id)
        return stands.public_id


def _end_allowances(this: Act, person_id: int, by: int) -> None:
    a = ExamAllowance
    this.db.execute(
        update(a)
        .where(a.person_id == person_id, a.ended_at.is_(None))
        .values(ended_at=this.now, ended_by_id=by)
    )


def unkept(reason: str) -> tuple[str, ...]:
    """Why a reason cannot be kept as it was typed."""
    return (*too_long(reason), *(() if is_text(reason) else ("exam.answer_not_text",)))
