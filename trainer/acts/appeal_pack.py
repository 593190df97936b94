"""The evidence behind an act that is appealed, put together once and never changed after."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from trainer.acts.exam_replay import replay
from trainer.acts.exams import ExamTools
from trainer.acts.transaction import Act
from trainer.certificates.appeals import Adverse
from trainer.records.database import Database, Session
from trainer.records.log import moment_text
from trainer.records.queries.certifying import log_head
from trainer.records.tables import (
    Certificate,
    CertificateChange,
    Decision,
    Exam,
    ExamAnswer,
    ExamRescore,
    LogEntry,
    Person,
    Practical,
)

Pack = dict[str, Any]


@dataclass(frozen=True)
class Rescored:
    """An exam scored again when the appeal was filed: whether it agrees with what is kept, and where not."""

    passed: bool | None
    right: int
    differs: tuple[str, ...]


def rescored(database: Database, against: Adverse, tools: ExamTools) -> Rescored | None:
    """Score the exam behind an act again; None when there is none that was scored."""
    with database.reading() as db:
        exam = _exam_of(db, against)
        scored = None if exam is None or exam.result is None else exam.public_id
    if scored is None:
        return None
    again = replay(database, public_id=scored, tools=tools)
    return Rescored(again.passed, again.result.right, again.differs)


def make_pack(this: Act, appeal: str, against: Adverse, again: Rescored | None) -> Pack:
    """Everything on record behind the act, by public ids; texts stand in it as they were written."""
    db, person = this.db, this.db.get_one(Person, against.person_id)
    exam, decision, changes = _exam_of(db, against), _decision_of(db, against), _changes_of(db, against)
    practicals = list(
        db.scalars(select(Practical).where(Practical.person_id == person.id).order_by(Practical.id))
    )
    named = [one.public_id for one in (exam, decision, *practicals, *changes) if one is not None]
    return {
        "appeal": appeal,
        "against": {"kind": against.kind, "id": against.public_id, "what": against.what},
        "person": person.public_id,
        "made": moment_text(this.now),
        "exam": None if exam is None else _exam(exam, _answers(db, exam)) | {"rescored": _rescored(db, exam)},
        "scored_again": None
        if again is None
        else {"passed": again.passed, "right": again.right, "differs": list(again.differs)},
        "practicals": [_practical(db, one) for one in practicals],
        "decision": None if decision is None else _decision(db, decision),
        "changes": [_change(db, one) for one in changes],
        "log": _log(db, person.public_id, named),
        "log_head": log_head(db),
    }


def _exam_of(db: Session, against: Adverse) -> Exam | None:
    if against.kind == "exam":
        return db.scalar(select(Exam).where(Exam.public_id == against.public_id))
    decision = _decision_of(db, against)
    return None if decision is None or decision.exam_id is None else db.get(Exam, decision.exam_id)


def _decision_of(db: Session, against: Adverse) -> Decision | None:
    if against.kind == "decision":
        return db.scalar(select(Decision).where(Decision.public_id == against.public_id))
    if against.kind == "exam":
        return None
    return db.scalar(
        select(Decision)
        .join(Certificate, Certificate.decision_id == Decision.id)
        .join(CertificateChange, CertificateChange.certificate_id == Certificate.id)
        .where(CertificateChange.public_id == against.public_id)
    )


def _changes_of(db: Session, against: Adverse) -> list[CertificateChange]:
    k = CertificateChange
    if against.kind != "change":
        return []
    certificate = select(k.certificate_id).where(k.public_id == against.public_id).scalar_subquery()
    return list(db.scalars(select(k).where(k.certificate_id == certificate).order_by(k.id)))


def _answers(db: Session, exam: Exam) -> Iterable[ExamAnswer]:
    a = ExamAnswer
    return db.scalars(select(a).where(a.exam_id == exam.id).order_by(a.slot, a.revision))


def _exam(exam: Exam, answers: Iterable[ExamAnswer]) -> Pack:
    return {
        "id": exam.public_id, "scheme": exam.scheme, "scheme_version": exam.scheme_version,
        "sheet_version": exam.sheet_version, "system": exam.system, "form": exam.form,
        "started": moment_text(exam.started_at), "deadline": moment_text(exam.deadline),
        "submitted": None if exam.submitted_at is None else moment_text(exam.submitted_at),
        "closed_by": exam.closed_by, "right": exam.right, "passed": exam.passed, "result": exam.result,
        "answers": [
            {
                "slot": one.slot, "revision": one.revision, "answer": one.answer, "typed_in": one.language,
                "received": moment_text(one.received_at),
            }
            for one in answers
        ],
    }  # fmt: skip


def _rescored(db: Session, exam: Exam) -> list[Pack]:
    """What came of the exam after its close, oldest first."""
    r = ExamRescore
    return [
        {
            "id": one.public_id, "question": one.question, "how": one.how, "old": one.old_fingerprint,
            "new": one.new_fingerprint, "marks": json.loads(one.marks), "right": one.right, "passed": one.passed,
            "lowers": one.lowers, "result": one.result, "reason": one.reason, "by": _public_id(db, one.by_id),
            "at": moment_text(one.at),
        }
        for one in db.scalars(select(r).where(r.exam_id == exam.id).order_by(r.id))
    ]  # fmt: skip


def _practical(db: Session, one: Practical) -> Pack:
    return {
        "id": one.public_id, "scheme": one.scheme, "scheme_version": one.scheme_version,
        "observer": _public_id(db, one.observer_id), "marks": json.loads(one.steps), "note": one.note,
        "passed": one.passed, "signed": moment_text(one.signed_at),
    }  # fmt: skip


def _decision(db: Session, one: Decision) -> Pack:
    return {
        "id": one.public_id, "granted": one.granted, "reason": one.reason, "by": _public_id(db, one.decided_by_id),
        "at": moment_text(one.decided_at), "overlap_reason": one.overlap_reason,
        "second": None if one.second_approver_id is None else _public_id(db, one.second_approver_id),
    }  # fmt: skip


def _change(db: Session, one: CertificateChange) -> Pack:
    return {
        "id": one.public_id, "kind": one.kind, "cause": one.cause, "reason": one.reason, "lifts": one.lifts,
        "taken": json.loads(one.taken), "since": moment_text(one.since), "by": _public_id(db, one.by_id),
        "at": moment_text(one.at),
    }  # fmt: skip


def _log(db: Session, person: str, named: list[str]) -> list[Pack]:
    """The entries about the person in which one of these ids stands."""
    e = LogEntry
    rows = db.execute(select(e.seq, e.hash, e.record).where(e.about == person).order_by(e.seq))
    return [{"seq": row.seq, "hash": row.hash} for row in rows if any(one in row.record for one in named)]


def _public_id(db: Session, person: int) -> str:
    return db.get_one(Person, person).public_id
