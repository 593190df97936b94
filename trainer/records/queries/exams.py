"""Exams sat: one sitting, its answers, a person's history, what is overdue."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Select, bindparam, func, select
from sqlalchemy.orm import Session

from trainer.access.sessions import Stands
from trainer.exams.sitting import LONGEST_PAUSE, GivenAnswer, Sitting
from trainer.records.queries.results import IS_NEWEST, NEWEST, PASSED, RESULT, RIGHT, VALID_UNTIL
from trainer.records.queries.sign_in import TABLET_STANDS
from trainer.records.tables import Exam, ExamAnswer, LogEntry, Person, Site


def sittings() -> Select[*tuple[Any, ...]]:
    """The columns of a `Sitting` with the result that is in force, for queries that name which."""
    e = Exam
    return (
        select(
            e.id, e.public_id, e.person_id, Person.public_id.label("person_public_id"), Person.site_id,
            Site.time_zone, e.scheme, e.scheme_version, e.sheet_version, e.system, e.form, e.started_at, e.deadline,
            e.submitted_at.label("ended_at"), e.closed_by, RIGHT.label("right"), PASSED.label("passed"),
            RESULT.label("result"), VALID_UNTIL.label("valid_until"), e.place, e.allowance, e.paused_at,
        )
        .join(Person, Person.id == e.person_id)
        .join(Site, Site.id == Person.site_id)
        .outerjoin(NEWEST, IS_NEWEST)
    )  # fmt: skip


# Built once and run on the connection itself: an exam's answers come often, and for a handful of columns the
# session's own machinery costs more than the database does.
_SITTING = sittings().where(Exam.public_id == bindparam("public_id"))
_LIVE_AND_REVISION = (
    select(
        Exam.deadline, Exam.submitted_at, Exam.place, Exam.paused_at, ExamAnswer.answer,
        Person.session_number, Person.left_at, TABLET_STANDS,
    )
    .join(Person, Person.id == Exam.person_id)
    .outerjoin(
        ExamAnswer,
        (ExamAnswer.exam_id == Exam.id)
        & (ExamAnswer.slot == bindparam("slot"))
        & (ExamAnswer.revision == bindparam("revision")),
    )
    .where(Exam.public_id == bindparam("public_id"))
)  # fmt: skip


@dataclass(frozen=True)
class Live:
    """An exam as it stands now, what is kept under the revision that was asked for, its person's session."""

    sitting: Sitting
    kept: Mapping[int, str]
    stands: Stands


def sitting(db: Session, public_id: str) -> Sitting | None:
    """One exam. One statement."""
    row = db.connection().execute(_SITTING, {"public_id": public_id}).mappings().first()
    return None if row is None else Sitting(**row)


def result_at_close(db: Session, exam_id: int) -> tuple[int | None, bool | None, str | None]:
    """What the close wrote, whatever came after: how many right, whether passed, the result. One statement."""
    row = db.execute(select(Exam.right, Exam.passed, Exam.result).where(Exam.id == exam_id)).one()
    return row.right, row.passed, row.result


def history(db: Session, person_id: int) -> list[Sitting]:
    """Every exam of a person, newest first. One statement."""
    rows = db.execute(
        sittings().where(Exam.person_id == person_id).order_by(Exam.started_at.desc(), Exam.id.desc())
    )
    return [Sitting(**row) for row in rows.mappings()]


def site_history(db: Session, site_id: int) -> list[Sitting]:
    """Every exam of everyone of a site, newest first. One statement."""
    rows = db.execute(
        sittings().where(Person.site_id == site_id).order_by(Exam.started_at.desc(), Exam.id.desc())
    )
    return [Sitting(**row) for row in rows.mappings()]


def overdue(db: Session, now: datetime) -> list[str]:
    """Public ids of exams that are open past their deadline, the longest overdue first. One statement.

    One whose clock stands is among them only when no pause can be as long as that; the rule looks at each again.
    """
    stands = Exam.paused_at.is_(None) | (Exam.paused_at <= now - LONGEST_PAUSE)
    return list(
        db.scalars(
            select(Exam.public_id)
            .where(Exam.submitted_at.is_(None), Exam.deadline <= now, stands)
            .order_by(Exam.deadline, Exam.id)
        )
    )


def live_and_revision(
    db: Session, known: Sitting, slot: int, revision: int, tablet_id: int | None = None
) -> Live | None:
    """An exam as it stands now, and the text that is kept of a slot under this revision, by its revision.

    known: the exam at any earlier moment; what never changes is taken from there. Of one that has ended since, its
    result is not among what is read. tablet_id: the tablet of the session that is asked about. One statement.
    """
    asked = {"public_id": known.public_id, "slot": slot, "revision": revision, "tablet_id": tablet_id}
    row = db.connection().execute(_LIVE_AND_REVISION, asked).first()
    if row is None:
        return None
    deadline, ended_at, place, paused_at, kept, number, left_at, tablet_stands = row
    live = replace(known, deadline=deadline, ended_at=ended_at, place=place, paused_at=paused_at)
    return Live(live, {} if kept is None else {revision: kept}, Stands(number, left_at, bool(tablet_stands)))


def standing_answers(db: Session, exam_id: int) -> dict[int, GivenAnswer]:
    """The answer that counts in each slot: its highest revision. One statement."""
    a = ExamAnswer
    newest = (
        select(a.slot, func.max(a.revision).label("revision"))
        .where(a.exam_id == exam_id)
        .group_by(a.slot)
        .subquery()
    )
    rows = db.execute(
        select(a.slot, a.revision, a.answer, a.language)
        .join(newest, (newest.c.slot == a.slot) & (newest.c.revision == a.revision))
        .where(a.exam_id == exam_id)
        .order_by(a.slot)
    )
    return {row.slot: GivenAnswer(row.slot, row.revision, row.answer, row.language) for row in rows}


def every_answer(db: Session, exam_id: int) -> set[GivenAnswer]:
    """Every revision of every slot. One statement."""
    a = ExamAnswer
    rows = db.execute(select(a.slot, a.revision, a.answer, a.language).where(a.exam_id == exam_id))
    return {GivenAnswer(*row) for row in rows}


def logged_answers(db: Session, person_public_id: str, public_id: str) -> list[GivenAnswer]:
    """The revisions of an exam that the record log holds, in its order. One statement.

    Of an act on a bench the log holds the act alone; the list that was kept is put together again.
    """
    rows = db.execute(
        select(LogEntry.kind, LogEntry.record)
        .where(LogEntry.kind.in_(("exam.answered", "exam.acted")), LogEntry.about == person_public_id)
        .order_by(LogEntry.seq)
    )
    acts: defaultdict[int, list[str]] = defaultdict(list)
    found: list[GivenAnswer] = []
    for kind, record in rows:
        one: Mapping[str, Any] = json.loads(record)["facts"]
        if one["exam"] != public_id:
            continue
        if kind == "exam.answered":
            found.append(GivenAnswer(one["slot"], one["revision"], one["answer"], one["typed_in"]))
        else:
            acts[one["slot"]].append(one["act"])
            whole = f"[{','.join(acts[one['slot']])}]"
            found.append(GivenAnswer(one["slot"], one["revision"], whole, one["done_in"]))
    return found
