"""What re-scoring asks of the records: exams that asked a question, practice of it, certificates that rest on exams."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.certificates.facts import CertificateHeld
from trainer.exams.rescoring import How
from trainer.exams.scoring import Mark
from trainer.exams.sitting import Sitting
from trainer.records.queries.certifying import held_by_exam
from trainer.records.queries.exams import sittings
from trainer.records.queries.results import IS_NEWEST, NEWEST
from trainer.records.tables import Drill, Exam, ExamKeySheet, ExamRescore, Person


@dataclass(frozen=True)
class Rescore:
    """One exam that was scored again.

    marks: by slot, the mark before and the one after; result: the new one as kept; person: who sat the exam
    """

    public_id: str
    act: str
    exam: str
    exam_id: int
    person_id: int
    person: str
    scheme: str
    question: str
    how: How
    old_fingerprint: str
    new_fingerprint: str
    marks: Mapping[int, tuple[Mark | None, Mark | None]]
    right: int
    passed: bool
    lowers: bool
    result: str
    reason: str
    by_id: int
    by: str
    at: datetime
    seen_at: datetime | None

    @property
    def changed(self) -> dict[int, Mark | None]:
        """The marks after, by slot."""
        return {number: after for number, (_, after) in self.marks.items()}


@dataclass(frozen=True)
class PracticeAnswer:
    """One answer in practice to a text of a question, with what draws its instance again.

    language: the person's own, for practice does not keep in which one an answer was typed
    """

    public_id: str
    person_public_id: str
    question: str
    version: int
    fingerprint: str
    sheet_version: int
    system: str
    language: str
    answer: str
    right: bool


def exams_that_asked(db: Session, site_id: int, question: str, but: str) -> list[tuple[Sitting, str]]:
    """Closed exams of a site with a result whose form names a question, with the person's name, newest first.

    but: the fingerprint of the text that is not looked for; whether the question counts there is for the form to say
    One statement.
    """
    asked = Exam.form.contains(f'"question":"{question}"', autoescape=True)
    other = ~Exam.form.contains(but)
    rows = db.execute(
        sittings()
        .add_columns(Person.name.label("person"))
        .where(Person.site_id == site_id, Exam.submitted_at.is_not(None), Exam.result.is_not(None), asked, other)
        .order_by(Exam.submitted_at.desc(), Exam.id.desc())
    ).mappings()  # fmt: skip
    return [(Sitting(**{k: v for k, v in row.items() if k != "person"}), row["person"]) for row in rows]


def practice_of(db: Session, site_id: int, question: str, but: str) -> list[PracticeAnswer]:
    """What people of a site answered in practice to other texts of a question than this one. One statement."""
    d = Drill
    rows = db.execute(
        select(
            d.public_id, Person.public_id.label("person_public_id"), d.question, d.version, d.fingerprint,
            d.sheet_version, d.system, Person.language, d.answer, d.right,
        )
        .join(Person, Person.id == d.person_id)
        .where(
            Person.site_id == site_id, d.question == question, d.fingerprint != but, d.answered_at.is_not(None),
            d.answer.is_not(None), d.right.is_not(None),
        )
        .order_by(d.id)
    )  # fmt: skip
    return [PracticeAnswer(**row) for row in rows.mappings()]


def key_sheets(db: Session, exams: Collection[int]) -> dict[int, dict[str, Any]]:
    """The key sheets that closes kept, by the exam's id. One statement."""
    k = ExamKeySheet
    return {
        row.exam_id: json.loads(row.sheet)
        for row in db.execute(select(k.exam_id, k.sheet).where(k.exam_id.in_(exams)))
    }


def rescores_of(db: Session, exams: Collection[int]) -> dict[int, list[Rescore]]:
    """The re-scores of each exam, oldest first. One statement."""
    found: defaultdict[int, list[Rescore]] = defaultdict(list)
    for one in _read(db, _rescores().where(ExamRescore.exam_id.in_(exams))):
        found[one.exam_id].append(one)
    return found


def rescores_of_question(db: Session, site_id: int, question: str) -> list[Rescore]:
    """Every re-score of a site's exams for the sake of a question, oldest first. One statement."""
    return _read(db, _rescores().where(ExamRescore.question == question, Person.site_id == site_id))


def rescores_of_person(db: Session, person_id: int) -> list[Rescore]:
    """The re-scores of a person's exams, oldest first. One statement."""
    return _read(db, _rescores().where(ExamRescore.person_id == person_id))


def lowered_at_site(db: Session, site_id: int) -> list[CertificateHeld]:
    """Certificates that rest on a pass which the newest re-score would not give, and about which nobody decided since.

    One statement, four where a pass was lowered.
    """
    lowered = db.execute(
        select(Exam.id, NEWEST.at)
        .join(NEWEST, IS_NEWEST)
        .join(Person, Person.id == Exam.person_id)
        .where(NEWEST.lowers.is_(True), Person.site_id == site_id)
        .order_by(Exam.id)
    )
    since = {row.id: row.at for row in lowered}
    return [
        one
        for exam, held in held_by_exam(db, list(since)).items()
        for one in held
        if one.effective_at <= since[exam] and all(change.at < since[exam] for change in one.changes)
    ]


def _rescores() -> Select[*tuple[Any, ...]]:
    r, by = ExamRescore, Person.__table__.alias("rescored_by")
    return (
        select(
            r.public_id, r.act, Exam.public_id.label("exam"), r.exam_id, r.person_id, Person.name.label("person"),
            Exam.scheme, r.question, r.how, r.old_fingerprint, r.new_fingerprint, r.marks, r.right, r.passed, r.lowers,
            r.result, r.reason, r.by_id, by.c.name.label("by"), r.at, r.seen_at,
        )
        .join(Exam, Exam.id == r.exam_id)
        .join(Person, Person.id == r.person_id)
        .join(by, by.c.id == r.by_id)
        .order_by(r.id)
    )  # fmt: skip


def _read(db: Session, statement: Select[*tuple[Any, ...]]) -> list[Rescore]:
    return [
        Rescore(
            **{**row, "marks": {int(slot): tuple(pair) for slot, pair in json.loads(row["marks"]).items()}}
        )
        for row in db.execute(statement).mappings()
    ]
