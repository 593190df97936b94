"""First answers of a site's people, the newest look at its questions, and the flags that nobody has decided on."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.exams.answered import chosen_name
from trainer.exams.question_review import Material, Review, Sat, name_of, read_review
from trainer.language.loading import Bank, load_question
from trainer.language.questions import Question
from trainer.records.queries.questions import own_questions
from trainer.records.queries.results import IS_NEWEST, NEWEST, PASSED, RESULT, RIGHT
from trainer.records.tables import Drill, Exam, ExamMark, Person, QuestionFlag, QuestionReview
from trainer.statistics.flags import Reason
from trainer.statistics.judging import Answered

LATER = timedelta(days=365)  # what is younger is held against what is older
LONGEST = 1800.0  # s: whoever took longer was away
SECOND_LANGUAGE = "es"


@dataclass(frozen=True)
class Flag:
    """A question that was flagged at a site, on what, and what was decided: `kept`, `out`, or None yet."""

    id: int
    question: str
    version: int
    raised_at: datetime
    answers: int
    reasons: tuple[Reason, ...]
    decision: str | None
    decided_at: datetime | None
    by: str | None
    note: str


def material(db: Session, site_id: int, bank: Bank, now: datetime) -> Material:
    """What a look at a site's questions rests on; people who left are in it. Five statements."""
    exams = _exam_answers(db, site_id, now - LATER)
    forms, on_forms = _forms(db, site_id, now - LATER)
    return Material(
        exams, _practice_answers(db, site_id, bank, now - LATER), _sat(db, site_id), forms, on_forms
    )


def _exam_answers(db: Session, site_id: int, split: datetime) -> list[Answered]:
    m = ExamMark
    rows = db.execute(
        select(
            Exam.person_id,
            m.question,
            m.version,
            m.mark,
            m.chosen,
            m.instance,
            Exam.submitted_at,
            Person.language,
        )
        .join(Exam, Exam.id == m.exam_id)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, m.mark.not_in(("not_reached", "changed")))
        .order_by(Exam.started_at, Exam.id)
    )
    found: dict[tuple[int, str], Answered] = {}
    for person, question, version, mark, chosen, instance, at, language in rows:
        key = (person, name_of(question, version))
        if key not in found:  # the first sitting's answer; later ones know what came after it
            found[key] = Answered(
                *key, mark == "right", chosen, later=at is not None and at >= split, focal=language == SECOND_LANGUAGE,
                instance=instance,
            )  # fmt: skip
    return list(found.values())


def _practice_answers(db: Session, site_id: int, bank: Bank, split: datetime) -> list[Answered]:
    d = Drill
    first = (
        select(func.min(d.id))
        .join(Person, Person.id == d.person_id)
        .where(Person.site_id == site_id, d.support == "alone", d.right.is_not(None))
        .group_by(d.person_id, d.question, d.version)
    )
    rows = db.execute(
        select(
            d.person_id,
            d.question,
            d.version,
            d.right,
            d.answer,
            d.slip,
            d.shown_at,
            d.answered_at,
            Person.language,
        )
        .join(Person, Person.id == d.person_id)
        .where(d.id.in_(first))
        .order_by(d.id)
    )
    return [
        Answered(
            person, name_of(question, version), bool(right),
            chosen_name(bank.find(question), answer, right=bool(right), slip=slip),
            later=answered is not None and answered >= split, focal=language == SECOND_LANGUAGE,
            seconds=_seconds(shown, answered),
        )
        for person, question, version, right, answer, slip, shown, answered, language in rows
    ]  # fmt: skip


def _seconds(shown: datetime, answered: datetime | None) -> float | None:
    if answered is None:
        return None
    took = (answered - shown).total_seconds()
    return took if 0 <= took <= LONGEST else None


def _sat(db: Session, site_id: int) -> list[Sat]:
    rows = db.execute(
        _closed(select(Exam.person_id, Exam.scheme, Exam.scheme_version, RIGHT, PASSED, RESULT), site_id)
        .outerjoin(NEWEST, IS_NEWEST)
        .order_by(Exam.started_at, Exam.id)
    )
    found: dict[tuple[int, str], Sat] = {}
    for person, scheme, version, right, passed, result in rows:
        if (person, scheme) not in found and passed is not None:
            whole = json.loads(result)
            found[person, scheme] = Sat(scheme, version, right, passed, whole["items"], whole["cut"])
    return list(found.values())


def _forms(db: Session, site_id: int, since: datetime) -> tuple[dict[str, int], dict[tuple[str, str], int]]:
    recent = Exam.submitted_at >= since
    many = db.execute(_closed(select(Exam.scheme, func.count()), site_id).where(recent).group_by(Exam.scheme))
    held = db.execute(
        _closed(select(Exam.scheme, ExamMark.question, func.count()), site_id)
        .join(ExamMark, ExamMark.exam_id == Exam.id)
        .where(recent, ExamMark.scored)
        .group_by(Exam.scheme, ExamMark.question)
    )
    return {one[0]: one[1] for one in many}, {(one[0], one[1]): one[2] for one in held}


def _closed(statement: Any, site_id: int) -> Select[Any]:
    closed: Select[Any] = (
        statement.select_from(Exam)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, Exam.submitted_at.is_not(None))
    )
    return closed


def on_trial(db: Session, site_id: int) -> list[Question]:
    """The versions of a site's own questions that are on trial. Three statements, or one."""
    found = []
    for one in own_questions(db, site_id):
        version = one.life.in_state("pilot")
        text = one.text(version) if version is not None else None
        if text is not None:
            found.append(load_question(text.text, f"{one.name}.yaml"))
    return found


def unmarked(db: Session) -> list[str]:
    """Public ids of closed exams whose answers were not looked at yet, the oldest first. One statement."""
    return list(
        db.scalars(
            select(Exam.public_id)
            .where(
                Exam.submitted_at.is_not(None),
                ~select(ExamMark.id).where(ExamMark.exam_id == Exam.id).exists(),
            )
            .order_by(Exam.submitted_at, Exam.id)
        )
    )


def newest_review(db: Session, site_id: int) -> Review | None:
    """The newest look at a site's questions. One statement."""
    r = QuestionReview
    row = db.execute(
        select(r.at, r.document).where(r.site_id == site_id).order_by(r.at.desc()).limit(1)
    ).first()
    return None if row is None else read_review(json.loads(row.document), row.at)


def last_looks(db: Session) -> dict[int, datetime]:
    """When each site's questions were looked at last. One statement."""
    r = QuestionReview
    rows = db.execute(select(r.site_id, func.max(r.at).label("at")).group_by(r.site_id))
    return {row.site_id: row.at for row in rows}


def flags(db: Session, site_id: int) -> list[Flag]:
    """Every flag of a site, the newest first. One statement."""
    f = QuestionFlag
    rows = db.execute(
        select(
            f.id, f.question, f.version, f.raised_at, f.answers, f.reasons, f.decision, f.decided_at,
            Person.name.label("by"), f.note,
        )
        .outerjoin(Person, Person.id == f.person_id)
        .where(f.site_id == site_id)
        .order_by(f.raised_at.desc(), f.id.desc())
    ).mappings()  # fmt: skip
    return [
        Flag(**{**row, "reasons": tuple(Reason(**one) for one in json.loads(row["reasons"]))}) for row in rows
    ]


def out_of_use(db: Session, site_id: int, bank: Bank) -> frozenset[str]:
    """The questions that are out of scored use at a site: flagged and not decided on, or decided to stay out.

    A newer version of a question begins anew. One statement.
    """
    f = QuestionFlag
    rows = db.execute(
        select(f.question, f.version, f.decision).where(f.site_id == site_id).order_by(f.raised_at, f.id)
    )
    newest: dict[tuple[str, int], str | None] = {(one.question, one.version): one.decision for one in rows}
    return frozenset(
        question
        for (question, version), decision in newest.items()
        if decision != "kept" and (now := bank.find(question)) is not None and now.version == version
    )


def new_answers(db: Session, site_id: int, since: datetime | None) -> int:
    """How many answers in practice and closed exams there are since a look. Two statements."""
    drills = select(func.count()).select_from(Drill).join(Person, Person.id == Drill.person_id)
    exams = select(func.count()).select_from(Exam).join(Person, Person.id == Exam.person_id)
    drills = drills.where(Person.site_id == site_id, Drill.right.is_not(None))
    exams = exams.where(Person.site_id == site_id, Exam.submitted_at.is_not(None))
    if since is not None:
        drills, exams = drills.where(Drill.answered_at > since), exams.where(Exam.submitted_at > since)
    return int(db.scalar(drills) or 0) + int(db.scalar(exams) or 0)


def by_question(found: Iterable[Flag]) -> dict[str, list[Flag]]:
    """Flags by the question they are about, in the order given."""
    of: defaultdict[str, list[Flag]] = defaultdict(list)
    for one in found:
        of[one.question].append(one)
    return dict(of)
