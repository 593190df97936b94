"""A site's own questions: texts, lives, and what is asked of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, cast

from sqlalchemy import Integer, func, select
from sqlalchemy import cast as cast_sql
from sqlalchemy.orm import Session

from trainer.language.life import Kind, Life, State, Step, life
from trainer.language.loading import Bank, load_question
from trainer.language.own import with_own
from trainer.language.questions import Question
from trainer.records.database import Database
from trainer.records.tables import (
    Drill,
    OwnQuestion,
    OwnQuestionPhoto,
    OwnQuestionStep,
    OwnQuestionText,
    Person,
)


@dataclass(frozen=True)
class SavedText:
    """The newest text of a version: who saved it and when."""

    version: int
    text: str
    fingerprint: str
    by: str
    at: datetime


@dataclass(frozen=True)
class TakenStep:
    """A step with who took it (name) and when."""

    version: int
    kind: Kind
    by: str
    at: datetime
    note: str


@dataclass(frozen=True)
class OwnOne:
    """One question of a site with all its versions, oldest first."""

    id: int
    name: str
    texts: tuple[SavedText, ...]
    steps: tuple[TakenStep, ...]
    life: Life

    def text(self, version: int) -> SavedText | None:
        """A version's text."""
        return next((one for one in self.texts if one.version == version), None)

    @property
    def newest(self) -> SavedText:
        """The newest version's text."""
        return self.texts[-1]

    @property
    def state(self) -> State:
        """Where the newest version stands."""
        return self.life.states[self.life.newest]


def own_questions(db: Session, site_id: int) -> list[OwnOne]:
    """Every question of a site by name. Three statements."""
    return _read(db, OwnQuestion.site_id == site_id)


def own_question(db: Session, site_id: int, name: str) -> OwnOne | None:
    """One question of a site. Three statements."""
    return next(iter(_read(db, OwnQuestion.site_id == site_id, OwnQuestion.name == name)), None)


def _read(db: Session, *chosen: Any) -> list[OwnOne]:
    names = {one.id: one.name for one in db.execute(select(OwnQuestion.id, OwnQuestion.name).where(*chosen))}
    if not names:
        return []
    texts: dict[int, dict[int, SavedText]] = defaultdict(dict)
    authors: dict[int, dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    t, s = OwnQuestionText, OwnQuestionStep
    for row in db.execute(
        select(t.question_id, t.version, t.text, t.fingerprint, t.saved_at, Person.name, Person.public_id)
        .join(Person, Person.id == t.person_id)
        .join(OwnQuestion, OwnQuestion.id == t.question_id)
        .where(*chosen)
        .order_by(t.id)
    ):
        saved = SavedText(row.version, row.text, row.fingerprint, row.name, row.saved_at)
        texts[row.question_id][row.version] = saved
        authors[row.question_id][row.version].add(row.public_id)
    steps: dict[int, list[Step]] = defaultdict(list)
    done: dict[int, list[TakenStep]] = defaultdict(list)
    for taken in db.execute(
        select(s.question_id, s.version, s.kind, s.at, s.note, Person.name, Person.public_id)
        .join(Person, Person.id == s.person_id)
        .join(OwnQuestion, OwnQuestion.id == s.question_id)
        .where(*chosen)
        .order_by(s.id)
    ):
        kind = cast(Kind, taken.kind)
        steps[taken.question_id].append(Step(taken.version, kind, taken.public_id))
        done[taken.question_id].append(TakenStep(taken.version, kind, taken.name, taken.at, taken.note))
    found = [
        OwnOne(
            id_, name, tuple(texts[id_][version] for version in sorted(texts[id_])), tuple(done[id_]),
            life(authors[id_], steps[id_]),
        )
        for id_, name in names.items()
    ]  # fmt: skip
    return sorted(found, key=lambda one: one.name)


def name_is_taken(db: Session, name: str) -> bool:
    """Whether any site has a question of this name. One statement."""
    return db.scalar(select(OwnQuestion.id).where(OwnQuestion.name == name)) is not None


def photos_at(db: Session, site_id: int) -> frozenset[str]:
    """The SHA-256 of every photo of a site. One statement."""
    return frozenset(db.scalars(select(OwnQuestionPhoto.sha256).where(OwnQuestionPhoto.site_id == site_id)))


def photo_text(db: Session, site_id: int, sha256: str) -> str | None:
    """A photo of a site, in base64. One statement."""
    p = OwnQuestionPhoto
    return db.scalar(select(p.jpeg).where(p.site_id == site_id, p.sha256 == sha256))


def bank_at(db: Session, bank: Bank, site_id: int, *, pilots: bool) -> Bank:
    """The bank with a site's own questions that are asked now: in practice with pilots, else those that are live.

    Three statements, or one where the site has none.
    """
    wanted = [
        (one.name, text)
        for one in own_questions(db, site_id)
        if (version := _asked_now(one, pilots=pilots)) is not None and (text := one.text(version)) is not None
    ]
    return with_own(bank, (_loaded(text.text, name) for name, text in wanted))


def asked_at(db: Session, bank: Bank, site_id: int) -> Bank:
    """The bank with a site's own questions that are asked: those in use, else those on trial. Six statements."""
    trial, live = (bank_at(db, bank, site_id, pilots=pilots) for pilots in (True, False))
    return with_own(trial, live.by_id.values())


def _asked_now(one: OwnOne, *, pilots: bool) -> int | None:
    pilot = one.life.in_state("pilot") if pilots else None
    return pilot if pilot is not None else one.life.in_state("live")


@lru_cache(maxsize=512)
def _loaded(text: str, name: str) -> Question:
    return load_question(text, f"{name}.yaml")


@dataclass(frozen=True)
class KeptQuestions:
    """Every text of every site's own questions, by its fingerprint: what was asked once is found as it read then."""

    database: Database

    def get(self, fingerprint: str, /) -> Question | None:
        """The question of a text, or None. One statement."""
        with self.database.reading() as db:
            found = db.execute(
                select(OwnQuestionText.text, OwnQuestion.name)
                .join(OwnQuestion, OwnQuestion.id == OwnQuestionText.question_id)
                .where(OwnQuestionText.fingerprint == fingerprint)
                .limit(1)
            ).first()
        return None if found is None else _loaded(found.text, found.name)


@dataclass(frozen=True)
class Done:
    """How people do on a question in practice: answers, and how many were right."""

    answered: int
    right: int


def done_on(db: Session, site_id: int, questions: Iterable[str]) -> dict[str, Done]:
    """How this site's people do on questions, by question. One statement."""
    rows = db.execute(
        select(Drill.question, func.count(Drill.right), func.sum(cast_sql(Drill.right, Integer)))
        .join(Person, Person.id == Drill.person_id)
        .where(Person.site_id == site_id, Drill.question.in_(list(questions)), Drill.right.is_not(None))
        .group_by(Drill.question)
    )
    return {name: Done(answered, int(right or 0)) for name, answered, right in rows}
