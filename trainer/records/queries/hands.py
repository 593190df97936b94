"""Who had a hand in what is on record about a person: trained, observed, invigilated, decided, approved, changed."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from sqlalchemy import CompoundSelect, select, union
from sqlalchemy.orm import Session

from trainer.records.tables import (
    Certificate,
    CertificateChange,
    Decision,
    Exam,
    ExamPause,
    ExamRequest,
    ExamRescore,
    Person,
    Practical,
    PracticalLook,
    PracticalSecond,
)


def invigilators(db: Session, exams: Collection[int]) -> dict[int, frozenset[int]]:
    """Who admitted people to each exam or stopped its clock, by the exam's id. One statement, none for none.

    Whoever scored it again is not among them: that comes after a decision, and must not undo the one it rests on.
    """
    if not exams:
        return {}
    r, p = ExamRequest, ExamPause
    asked: CompoundSelect[Any] = union(
        select(r.exam_id, r.answered_by_id).where(r.exam_id.in_(exams), r.admitted_at.is_not(None)),
        select(p.exam_id, p.began_by_id).where(p.exam_id.in_(exams)),
        select(p.exam_id, p.ended_by_id).where(p.exam_id.in_(exams), p.ended_by_id.is_not(None)),
    )
    found: dict[int, frozenset[int]] = {}
    for row in db.execute(asked).all():
        found[row[0]] = found.get(row[0], frozenset()) | {row[1]}
    return found


def hands_on(db: Session, person_id: int) -> frozenset[int]:
    """Whoever ever had a hand in what is on record about a person. Three statements."""
    p, d, k, c = Practical, Decision, CertificateChange, Certificate
    s, looked = PracticalSecond, PracticalLook
    again = ExamRescore
    exams = list(db.scalars(select(Exam.id).where(Exam.person_id == person_id)))
    asked = [
        select(Person.trained_by_id).where(Person.id == person_id),
        select(p.observer_id).where(p.person_id == person_id),
        select(s.observer_id).where(s.person_id == person_id),
        select(looked.by_id).where(looked.person_id == person_id),
        select(d.decided_by_id).where(d.person_id == person_id),
        select(d.second_approver_id).where(d.person_id == person_id),
        select(again.by_id).where(again.person_id == person_id),
        select(k.by_id).join(c, c.id == k.certificate_id).where(c.person_id == person_id),
    ]
    people = {one for one in db.scalars(union(*asked)) if one is not None}
    return frozenset(people.union(*invigilators(db, exams).values()))
