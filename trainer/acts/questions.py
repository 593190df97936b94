"""Writing a site's own questions: begin, save, and the steps from draft to use and out of it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from trainer.access.members import Member
from trainer.acts.transaction import Act, act
from trainer.language.life import Kind, reasons_against
from trainer.language.source import fingerprint
from trainer.records.database import Database
from trainer.records.queries import questions as queries
from trainer.records.tables import OwnQuestion, OwnQuestionStep, OwnQuestionText

NEED_A_NOTE: tuple[Kind, ...] = ("returned", "retired")


@dataclass(frozen=True)
class Written:
    """How a text was taken: the version that it is now, or the refusals with the reasons."""

    version: int = 0
    refused: tuple[str, ...] = ()


def begin(database: Database, *, member: Member, name: str, text: str, now: datetime) -> Written:
    """Begin a question of the member's site; its name must be free in the whole installation."""
    with act(database, now) as this:
        if queries.name_is_taken(this.db, name):
            return Written(refused=("question.name_taken",))
        row = OwnQuestion(name=name, site_id=member.site_id, begun_at=now)
        this.db.add(row)
        this.db.flush()
        _keep(this, row.id, 1, text, member)
        this.log("question.begun", by=member.public_id, about=f"site:{member.site_id}", question=name)
        return Written(1)


def save(database: Database, *, member: Member, name: str, text: str, seen: str, now: datetime) -> Written:
    """Save a text: it changes the open draft, or begins the next version where there is none.

    seen: the fingerprint of the text that the person had before them; another one in between is never overwritten
    """
    with act(database, now) as this:
        one = queries.own_question(this.db, member.site_id, name)
        if one is None:
            return Written(refused=("question.unknown",))
        if one.newest.fingerprint == fingerprint(text):
            return Written(one.newest.version)  # nothing new: a second click, or a save without a change
        if one.newest.fingerprint != seen:
            return Written(refused=("question.changed_meanwhile",))
        version = one.life.newest + (0 if one.life.open else 1)
        _keep(this, one.id, version, text, member)
        return Written(version)


def step(
    database: Database,
    *,
    member: Member,
    name: str,
    version: int,
    kind: Kind,
    findings: Collection[object],
    note: str,
    now: datetime,
    checked: str,
) -> tuple[str, ...]:
    """Take a step of a version's life; gives why it may not be taken, or nothing.

    findings: what check and audit found against the text whose fingerprint is `checked`
    """
    with act(database, now) as this:
        one = queries.own_question(this.db, member.site_id, name)
        text = one.text(version) if one else None
        if one is None or text is None:
            return ("question.unknown",)
        reasons = list(reasons_against(kind, one.life, version, member.public_id, findings))
        if text.fingerprint != checked:
            reasons.append("question.changed_meanwhile")
        if kind in NEED_A_NOTE and not note.strip():
            reasons.append("question.say_why")
        if reasons:
            return tuple(reasons)
        this.db.add(
            OwnQuestionStep(
                question_id=one.id, version=version, kind=kind, note=note.strip(), person_id=member.id, at=now
            )
        )
        this.log(
            f"question.{kind}", by=member.public_id, about=f"site:{member.site_id}", question=name, version=version,
            fingerprint=text.fingerprint,
        )  # fmt: skip
        return ()


def _keep(this: Act, question: int, version: int, text: str, member: Member) -> None:
    this.db.add(
        OwnQuestionText(
            question_id=question, version=version, text=text, fingerprint=fingerprint(text), person_id=member.id,
            saved_at=this.now,
        )
    )  # fmt: skip
