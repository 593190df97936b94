"""Where people stand in practice: standings, lessons read, drills shown and answered."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.learning.mastery import Standing, Support
from trainer.records.tables import Drill, LessonRead, Person, SkillStanding


@dataclass(frozen=True)
class ReadLesson:
    """A lesson that a person has read and what they wrote about their own bay."""

    lesson: str
    read_at: datetime
    own_bay: str


@dataclass(frozen=True)
class ShownDrill:
    """One instance shown in practice; with the secret it can be drawn again."""

    public_id: str
    person_id: int
    lesson: str | None
    skill: str
    question: str
    version: int
    fingerprint: str
    sheet_version: int
    system: str
    support: Support
    shown_at: datetime
    answered_at: datetime | None
    answer: str | None
    verdict: str | None
    right: bool | None
    slip: str | None


@dataclass(frozen=True)
class SlipCount:
    """How often a person made one slip since a moment."""

    person_id: int
    skill: str
    question: str
    slip: str
    times: int
    last_at: datetime


def _standing_columns() -> Select[*tuple[Any, ...]]:
    s = SkillStanding
    return select(
        s.skill, s.known, s.answered, s.right_alone, s.wrong_run, s.support, s.card, s.due_at,
        s.last_slip, s.mastered_at,
    )  # fmt: skip


def standings(db: Session, person_id: int) -> dict[str, Standing]:
    """Where one person stands, by skill. One statement."""
    rows = db.execute(_standing_columns().where(SkillStanding.person_id == person_id)).mappings()
    return {row["skill"]: Standing(**row) for row in rows}


def site_standings(db: Session, site_id: int) -> dict[int, dict[str, Standing]]:
    """Where everyone of a site stands, by person and skill. One statement."""
    rows = db.execute(
        _standing_columns()
        .add_columns(SkillStanding.person_id)
        .join(Person, Person.id == SkillStanding.person_id)
        .where(Person.site_id == site_id, Person.left_at.is_(None))
    ).mappings()
    found: dict[int, dict[str, Standing]] = defaultdict(dict)
    for row in rows:
        facts = dict(row)
        person_id = facts.pop("person_id")
        found[person_id][facts["skill"]] = Standing(**facts)
    return dict(found)


def right_alone_since(db: Session, person_id: int, since: datetime) -> dict[str, int]:
    """How many drills of each skill a person answered right without help after a moment. One statement."""
    d = Drill
    rows = db.execute(
        select(d.skill, func.count())
        .where(d.person_id == person_id, d.answered_at > since, d.right.is_(True), d.support == "alone")
        .group_by(d.skill)
    )
    return {row[0]: row[1] for row in rows}


def lessons_read(db: Session, person_id: int) -> dict[str, ReadLesson]:
    """The lessons a person has read. One statement."""
    r = LessonRead
    rows = db.execute(select(r.lesson, r.read_at, r.own_bay).where(r.person_id == person_id))
    return {row.lesson: ReadLesson(*row) for row in rows}


def site_lessons_read(db: Session, site_id: int) -> dict[int, set[str]]:
    """The lessons everyone of a site has read, by person. One statement."""
    rows = db.execute(
        select(LessonRead.person_id, LessonRead.lesson)
        .join(Person, Person.id == LessonRead.person_id)
        .where(Person.site_id == site_id)
    )
    found: dict[int, set[str]] = defaultdict(set)
    for person_id, lesson in rows:
        found[person_id].add(lesson)
    return dict(found)


def _drill_columns() -> Select[*tuple[Any, ...]]:
    d = Drill
    return select(
        d.public_id, d.person_id, d.lesson, d.skill, d.question, d.version, d.fingerprint, d.sheet_version, d.system,
        d.support, d.shown_at, d.answered_at, d.answer, d.verdict, d.right, d.slip,
    )  # fmt: skip


def drill(db: Session, public_id: str) -> ShownDrill | None:
    """One drill. One statement."""
    row = db.execute(_drill_columns().where(Drill.public_id == public_id)).mappings().first()
    return None if row is None else ShownDrill(**row)


def recent_drills(db: Session, person_id: int, limit: int = 20) -> list[ShownDrill]:
    """A person's latest answered drills, newest first. One statement."""
    rows = db.execute(
        _drill_columns()
        .where(Drill.person_id == person_id, Drill.answered_at.is_not(None))
        .order_by(Drill.answered_at.desc(), Drill.id.desc())
        .limit(limit)
    ).mappings()
    return [ShownDrill(**row) for row in rows]


def open_drill(db: Session, person_id: int) -> ShownDrill | None:
    """The newest drill shown to a person and not yet answered. One statement."""
    row = (
        db.execute(
            _drill_columns()
            .where(Drill.person_id == person_id, Drill.answered_at.is_(None))
            .order_by(Drill.id.desc())
            .limit(1)
        )
        .mappings()
        .first()
    )
    return None if row is None else ShownDrill(**row)


def times_shown(db: Session, person_id: int) -> dict[str, int]:
    """How often each question was shown to a person. One statement."""
    rows = db.execute(
        select(Drill.question, func.count()).where(Drill.person_id == person_id).group_by(Drill.question)
    )
    return {row[0]: row[1] for row in rows}


def slips_since(db: Session, site_id: int, since: datetime) -> list[SlipCount]:
    """The slips made at a site since a moment, most frequent first. One statement."""
    d = Drill
    times, last = func.count().label("times"), func.max(d.answered_at).label("last_at")
    rows = db.execute(
        select(d.person_id, d.skill, d.question, d.slip, times, last)
        .join(Person, Person.id == d.person_id)
        .where(
            Person.site_id == site_id, Person.left_at.is_(None), d.slip.is_not(None), d.answered_at >= since
        )
        .group_by(d.person_id, d.skill, d.question, d.slip)
        .order_by(times.desc(), last.desc(), d.person_id)
    ).mappings()
    return [SlipCount(**row) for row in rows]


def latest_slips(db: Session, site_id: int, since: datetime) -> dict[tuple[int, str, str], ShownDrill]:
    """The latest drill of each slip since a moment, by person, question and slip. One statement."""
    newest = (
        select(func.max(Drill.id))
        .join(Person, Person.id == Drill.person_id)
        .where(Person.site_id == site_id, Drill.slip.is_not(None), Drill.answered_at >= since)
        .group_by(Drill.person_id, Drill.question, Drill.slip)
    )
    rows = db.execute(_drill_columns().where(Drill.id.in_(newest))).mappings()
    found = (ShownDrill(**row) for row in rows)
    return {(one.person_id, one.question, str(one.slip)): one for one in found}
