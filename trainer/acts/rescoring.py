"""Scoring closed exams again after a key changed: a person's signed decision, kept beside what the close wrote."""

from __future__ import annotations

import secrets
import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import cast

import rfc8785
from sqlalchemy import select

from trainer.access.members import Member, Role
from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts.exams import ExamTools, canonical_result, paper_of, sha256_of
from trainer.acts.free_text import digest, too_long
from trainer.acts.key_sheets import key_sheet_digest
from trainer.acts.signature import Signature, sign
from trainer.acts.touched import Touched, TouchedExam, touched_by
from trainer.acts.transaction import Act, act
from trainer.certificates.states import months_later
from trainer.exams.rescoring import HOWS, How
from trainer.records.database import Database
from trainer.records.log import Fact, moment_text
from trainer.records.queries import questions
from trainer.records.tables import Exam, ExamRescore, Person


@dataclass(frozen=True)
class Rescoring:
    """A re-scoring as it is asked for; `public_id` is made with the form, so sending it twice is one act.

    how: by the newer key, or right for everybody where that says nothing
    newer: the fingerprint of the newest text that the person had before them
    """

    public_id: str
    question: str
    how: str
    newer: str
    reason: str


def rescore(
    database: Database, asked: Rescoring, signature: Signature, *, tools: ExamTools, now: datetime
) -> str | Refused:
    """Score every touched exam but one's own again, signed with a password; gives the question's name."""
    return sign(database, signature, now, lambda this: _rescore(this, asked, signature.by, tools))


def _rescore(this: Act, asked: Rescoring, by: int, tools: ExamTools) -> str | Refused:
    signer = this.db.get_one(Person, by)
    earlier = this.db.scalar(select(ExamRescore).where(ExamRescore.act == asked.public_id).limit(1))
    if earlier is not None:
        mine = (earlier.by_id, earlier.question) == (by, asked.question)
        return asked.question if mine else Refused(("form.used",))
    one = questions.own_question(this.db, signer.site_id, asked.question)
    found = None if one is None else touched_by(this.db, one, signer.site_id, tools)
    if found is None or asked.how not in HOWS:
        return Refused(("question.unknown",))
    how: How = asked.how
    exams = [exam for exam in found.of(how) if exam.sitting.person_id != by]
    reasons = (*_reasons(asked, signer, found, exams), *too_long(asked.reason))
    if reasons:
        return Refused(reasons)
    for exam in exams:
        _write(this, exam, asked, found, signer)
    return asked.question


def _reasons(asked: Rescoring, signer: Person, found: Touched, exams: list[TouchedExam]) -> tuple[str, ...]:
    whole = found.of(cast(How, asked.how))
    stands = {
        "rescore.no_right": not may(cast(Role, signer.role), "review"),
        "rescore.key_changed": found.fingerprint != asked.newer,
        "rescore.say_why": not asked.reason.strip(),
        "rescore.nobody": not whole,
        "rescore.own": bool(whole) and not exams,
        "rescore.unsound": any(exam.unsound for exam in exams),
    }
    return tuple(key for key, holds in stands.items() if holds)


def _write(this: Act, exam: TouchedExam, asked: Rescoring, found: Touched, signer: Person) -> None:
    sitting, number, then = exam.sitting, str(exam.slot.number), exam.then
    key = exam.compared.key
    keys = {} if key is None else {number: key}
    marks: dict[str, list[Fact]] = {number: [exam.compared.before, exam.changed[exam.slot.number]]}
    row = ExamRescore(
        public_id=str(uuid.uuid4()), act=asked.public_id, exam_id=sitting.id, person_id=sitting.person_id,
        question=asked.question, how=exam.how, old_fingerprint=exam.slot.fingerprint,
        new_fingerprint=found.fingerprint, marks=_canonical(marks), keys=_canonical(keys),
        salt=secrets.token_hex(32), right=then.result.right, passed=then.passed, lowers=then.lowers,
        result=canonical_result(then.result), valid_until=_valid_until(exam), reason=asked.reason.strip(),
        by_id=signer.id, at=this.now,
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    this.log(
        "exam.rescored", by=signer.public_id, about=sitting.person_public_id, rescore=row.public_id, act=row.act,
        exam=sitting.public_id, question=row.question, how=row.how, old=row.old_fingerprint, new=row.new_fingerprint,
        marks={slot: list(pair) for slot, pair in marks.items()}, right=row.right, items=then.result.items,
        passed=row.passed, lowers=row.lowers, valid_until=moment_text(row.valid_until) if row.valid_until else None,
        result_sha256=sha256_of(row.result),
        keys_sha256=key_sheet_digest(row.public_id, row.salt, keys), digest=digest(row.reason),
    )  # fmt: skip


def _valid_until(exam: TouchedExam) -> datetime | None:
    """A pass counts from the end of the exam, whenever the key was corrected."""
    sitting = exam.sitting
    if sitting.valid_until is not None or not exam.then.passed or sitting.ended_at is None:
        return sitting.valid_until
    return months_later(sitting.ended_at, paper_of(sitting).exam_months, sitting.time_zone)


def _canonical(value: object) -> str:
    return rfc8785.dumps(value).decode("utf-8")  # type: ignore[arg-type]


def acknowledge(database: Database, *, member: Member, exam: str, now: datetime) -> bool:
    """Note that a person has read what became of their exam; a second press changes nothing. Whether it is theirs."""
    with act(database, now) as this:
        found = this.db.scalar(select(Exam).where(Exam.public_id == exam, Exam.person_id == member.id))
        if found is None:
            return False
        unseen = select(ExamRescore).where(ExamRescore.exam_id == found.id, ExamRescore.seen_at.is_(None))
        for row in this.db.scalars(unseen.order_by(ExamRescore.id)):
            row.seen_at = now
            this.log(
                "exam.rescore_seen", by=member.public_id, about=member.public_id, rescore=row.public_id, exam=exam
            )  # fmt: skip
        return True
