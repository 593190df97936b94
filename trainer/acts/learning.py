"""Reading a lesson, being shown a drill, answering it."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Member
from trainer.acts.transaction import Act, act
from trainer.language.draws import Instance, draw
from trainer.language.grading import grade
from trainer.language.loading import Bank
from trainer.language.verdicts import Verdict
from trainer.learning.choosing import pick_question, pick_skill
from trainer.learning.mastery import Answered, Standing, Support, after
from trainer.quantities.dimensions import Language, System
from trainer.records.database import Database
from trainer.records.queries import learning as queries
from trainer.records.queries import measuring, questions
from trainer.records.queries.learning import ShownDrill
from trainer.records.tables import Drill, LessonRead, SkillStanding


@dataclass(frozen=True)
class PracticeTools:
    """What practice needs beside the database: the bank, the secret, a site's values at a sheet version."""

    bank: Bank
    secret: bytes
    values: Callable[[int], Mapping[str, float]]


@dataclass(frozen=True)
class Taken:
    """How an answer was taken: the verdict, or the refusals with the reasons."""

    verdict: Verdict | None
    counted: bool
    refused: tuple[str, ...] = ()


def read_lesson(database: Database, *, member: Member, lesson: str, own_bay: str, now: datetime) -> None:
    """Note that the person has read the lesson and what they wrote about their own bay."""
    with act(database, now) as this:
        row = this.db.scalar(
            select(LessonRead).where(LessonRead.person_id == member.id, LessonRead.lesson == lesson)
        )
        if row is None:
            row = LessonRead(person_id=member.id, lesson=lesson, read_at=now, own_bay=own_bay)
            this.db.add(row)
            this.log("lesson.read", by=member.public_id, about=member.public_id, lesson=lesson)
        row.read_at = now
        row.own_bay = own_bay or row.own_bay


def show_drill(
    database: Database,
    *,
    member: Member,
    skills: Sequence[str],
    lesson: str | None,
    sheet_version: int,
    tools: PracticeTools,
    now: datetime,
) -> str:
    """Choose and show the next drill for these skills; gives its public id."""
    with act(database, now) as this:
        recent = queries.recent_drills(this.db, member.id, 1)
        last = recent[0] if recent else None
        standings = queries.standings(this.db, member.id)
        bank = questions.bank_at(this.db, tools.bank, member.site_id, pilots=True)
        barred = measuring.kept_out(this.db, member.site_id, sheet_version, bank)
        usable = [one for one in skills if any(q.id not in barred for q in bank.of_skill(one))]
        skill = pick_skill(usable or skills, standings, last.skill if last else None)
        asked = bank.of_skill(skill)
        candidates = [(q.id, q.level) for q in asked if q.id not in barred or not usable]
        chosen = pick_question(
            candidates, queries.times_shown(this.db, member.id), last.question if last else None
        )
        question = bank.question(chosen)
        drill = Drill(
            public_id=str(uuid.uuid4()),
            person_id=member.id,
            lesson=lesson,
            skill=skill,
            question=question.id,
            version=question.version,
            fingerprint=question.fingerprint,
            sheet_version=sheet_version,
            system=member.system,
            support=_support(standings.get(skill), fades=question.is_family and bool(question.steps)),
            shown_at=now,
        )
        this.db.add(drill)
        return drill.public_id


def _support(standing: Standing | None, *, fades: bool) -> Support:
    """Help needs other numbers and steps to show; a question without them is asked alone."""
    if not fades:
        return "alone"
    return "worked" if standing is None else standing.support


def instance_of(shown: ShownDrill, member: Member, tools: PracticeTools) -> Instance | None:
    """Draw the drill's instance again; None when the question has changed since."""
    question = tools.bank.find(shown.question, shown.fingerprint)
    if question is None or question.version != shown.version:
        return None
    label = drill_label(member.public_id, shown.public_id, shown.question, shown.version)
    return draw(question, tools.values(shown.sheet_version), tools.secret, label, cast(System, shown.system))


def drill_label(person: str, drill: str, question: str, version: int) -> str:
    """What an instance of a drill is drawn from, beside the secret."""
    return f"drill|{person}|{drill}|{question}@{version}"


def answer_drill(
    database: Database,
    *,
    member: Member,
    public_id: str,
    answer: str,
    language: Language,
    tools: PracticeTools,
    now: datetime,
) -> Taken:
    """Take the answer to a drill: grade it, move the standing. A second click changes nothing."""
    with act(database, now) as this:
        shown = queries.drill(this.db, public_id)
        if shown is None:
            return Taken(None, counted=False, refused=("drill.unknown",))
        if shown.person_id != member.id:
            return Taken(None, counted=False, refused=("drill.not_yours",))
        instance = instance_of(shown, member, tools)
        if instance is None:
            return Taken(None, counted=False, refused=("drill.changed",))
        if shown.answer is not None:
            return Taken(grade(instance, shown.answer, language), counted=True)
        verdict = grade(instance, answer, language)
        if not verdict.counts:
            return Taken(verdict, counted=False)
        _write_answer(this, shown, answer, verdict)
        hazard = tools.bank.skill(shown.skill).hazard
        _move_standing(this, member, shown, verdict, kind=instance.question.kind, hazard=hazard)
        return Taken(verdict, counted=True)


def _write_answer(this: Act, shown: ShownDrill, answer: str, verdict: Verdict) -> None:
    row = this.db.scalars(select(Drill).where(Drill.public_id == shown.public_id)).one()
    row.answered_at, row.answer, row.verdict = this.now, answer, verdict.kind
    row.right, row.slip = verdict.right, verdict.slip


def _move_standing(
    this: Act, member: Member, shown: ShownDrill, verdict: Verdict, *, kind: str, hazard: bool
) -> None:
    before = queries.standings(this.db, member.id).get(shown.skill, Standing(shown.skill))
    answered = Answered(kind, verdict.right, shown.support, this.now, verdict.slip)
    moved = after(before, answered, hazard=hazard)
    facts = {name: getattr(moved, name) for name in Standing.__dataclass_fields__}
    this.db.merge(SkillStanding(person_id=member.id, updated_at=this.now, **facts))
    if (before.mastered_at is None) != (moved.mastered_at is None):
        kind = "skill.lost" if moved.mastered_at is None else "skill.mastered"
        this.log(kind, by=member.public_id, about=member.public_id, skill=shown.skill)
