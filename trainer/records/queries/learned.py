"""What is kept of how a site's people learned: answers, masteries, readings, attempts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.learning.learned import Answer, Attempt, History
from trainer.records.queries.results import IS_NEWEST, NEWEST, RESULT
from trainer.records.tables import BenchRun, Drill, Exam, LogEntry, Person

MASTERED, READ = "skill.mastered", "lesson.read"


def history(db: Session, site_id: int) -> History:
    """Everything that a site's people answered, read and tried. Five statements.

    When a skill was first mastered and a lesson first read stands in the record log alone: the tables keep the latest.
    """
    first = {MASTERED: dict[tuple[int, str], datetime](), READ: dict[tuple[int, str], datetime]()}
    for person, kind, at, record in _logged(db, site_id):
        facts = json.loads(record)["facts"]
        first[kind].setdefault((person, facts["skill" if kind == MASTERED else "lesson"]), at)
    return History(
        answers=_answers(db, site_id),
        mastered=first[MASTERED],
        read=first[READ],
        left=_left(db, site_id),
        attempts=[*_exams(db, site_id), *_benches(db, site_id)],
    )


def _left(db: Session, site_id: int) -> dict[int, datetime]:
    p = Person
    rows = db.execute(select(p.id, p.left_at).where(p.site_id == site_id, p.left_at.is_not(None)))
    return {person: at for person, at in rows if at is not None}


def _logged(db: Session, site_id: int) -> Iterator[Any]:
    e = LogEntry
    return iter(
        db.execute(
            select(Person.id, e.kind, e.at, e.record)
            .join(Person, Person.public_id == e.about)
            .where(Person.site_id == site_id, e.kind.in_((MASTERED, READ)))
            .order_by(e.seq)
        )
    )


def _answers(db: Session, site_id: int) -> list[Answer]:
    d = Drill
    rows = db.execute(
        select(d.person_id, d.skill, d.question, d.slip, d.right, d.support != "alone", d.answered_at)
        .join(Person, Person.id == d.person_id)
        .where(Person.site_id == site_id, d.answered_at.is_not(None), d.right.is_not(None))
        .order_by(d.person_id, d.skill, d.answered_at, d.id)
    )
    return list(map(Answer._make, rows))


def _exams(db: Session, site_id: int) -> Iterator[Attempt]:
    """Exams by the result that is in force; one under which a question changed and nobody scored again has none."""
    rows = db.execute(
        select(Exam.person_id, Exam.scheme, RESULT)
        .join(Person, Person.id == Exam.person_id)
        .outerjoin(NEWEST, IS_NEWEST)
        .where(Person.site_id == site_id, RESULT.is_not(None))
        .order_by(Exam.started_at, Exam.id)
    )
    for person, scheme, text in rows:
        result = json.loads(str(text))
        if result["passed"] is not None:
            yield Attempt(person, "exam", scheme, result["right"] / result["items"])


def _benches(db: Session, site_id: int) -> Iterator[Attempt]:
    rows = db.execute(
        select(BenchRun.person_id, BenchRun.bench, BenchRun.points)
        .join(Person, Person.id == BenchRun.person_id)
        .where(Person.site_id == site_id, BenchRun.points.is_not(None))
        .order_by(BenchRun.started_at, BenchRun.id)
    )
    return (Attempt(person, "bench", bench, (points or 0) / 100) for person, bench, points in rows)
