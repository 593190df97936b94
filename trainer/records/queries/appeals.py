"""What was decided against a person, and the appeals against it, with their steps."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select, case, func, literal, or_, select
from sqlalchemy.orm import Session, aliased

from trainer.certificates.appeals import Adverse, AppealState, Deadlines, deadlines
from trainer.records.queries.results import IS_NEWEST, NEWEST, PASSED
from trainer.records.tables import (
    Appeal,
    AppealStep,
    CertificateChange,
    Decision,
    Exam,
    Person,
    Site,
)

ADVERSE_CHANGES = ("suspended", "reduced", "withdrawn")


@dataclass(frozen=True)
class Step:
    """One step on an appeal."""

    kind: str
    outcome: str | None
    reason: str
    by_id: int
    by: str
    at: datetime


@dataclass(frozen=True)
class AppealFacts:
    """One appeal with its steps, in order; `pack` is the frozen evidence."""

    public_id: str
    person_id: int
    person_public_id: str
    person: str
    site_id: int
    time_zone: str
    against_kind: str
    against: str
    grounds: str
    filed_by: str
    filed_at: datetime
    pack: str
    pack_hash: str
    steps: tuple[Step, ...] = ()

    @property
    def what(self) -> str:
        """What is appealed against, as the frozen evidence says it."""
        return str(json.loads(self.pack)["against"]["what"])

    @property
    def state(self) -> AppealState:
        """Filed, taken by somebody, or decided."""
        kinds = {one.kind for one in self.steps}
        return "decided" if "decided" in kinds else "taken" if "taken" in kinds else "filed"

    @property
    def handler(self) -> Step | None:
        """The newest step that took it: whoever hears it."""
        return next((one for one in reversed(self.steps) if one.kind == "taken"), None)

    @property
    def outcome(self) -> Step | None:
        """The step that decided it."""
        return next((one for one in self.steps if one.kind == "decided"), None)

    @property
    def due(self) -> Deadlines:
        """By when it is acknowledged and decided."""
        return deadlines(self.filed_at, self.time_zone)


def adverse_of(db: Session, person_id: int) -> list[Adverse]:
    """Every act against a person, newest first. Three statements."""
    rows = [
        *db.execute(_failed().where(Exam.person_id == person_id)),
        *db.execute(_refused().where(Decision.person_id == person_id)),
        *db.execute(_changed().where(CertificateChange.person_id == person_id)),
    ]
    return sorted((_adverse(row) for row in rows), key=lambda one: one.at, reverse=True)


def adverse(db: Session, kind: str, public_id: str) -> Adverse | None:
    """One act against somebody; None when there is none of that kind. One statement."""
    asked = {
        "exam": lambda: _failed().where(Exam.public_id == public_id),
        "decision": lambda: _refused().where(Decision.public_id == public_id),
        "change": lambda: _changed().where(CertificateChange.public_id == public_id),
    }
    row = db.execute(asked[kind]()).first() if kind in asked else None
    return None if row is None else _adverse(row)


def _adverse(row: Any) -> Adverse:
    kind = {"exam": "exam", "lowered": "exam", "decision": "decision"}.get(row.what, "change")
    return Adverse(kind, row.public_id, row.person_id, row.what, row.at, row.reason)  # type: ignore[arg-type]


def _failed() -> Select[*tuple[Any, ...]]:
    """Exams not passed, or passed though the newest re-score would not be; the days run from the newest result."""
    e = Exam
    return (
        select(
            e.public_id, e.person_id, case((NEWEST.lowers.is_(True), "lowered"), else_="exam").label("what"),
            func.coalesce(NEWEST.at, e.submitted_at).label("at"), literal("").label("reason"),
        )
        .outerjoin(NEWEST, IS_NEWEST)
        .where(e.submitted_at.is_not(None), or_(PASSED.is_(False), NEWEST.lowers.is_(True)))
    )  # fmt: skip


def _refused() -> Select[*tuple[Any, ...]]:
    d = Decision
    return select(
        d.public_id, d.person_id, literal("decision").label("what"), d.decided_at.label("at"), d.reason
    ).where(d.granted.is_(False))


def _changed() -> Select[*tuple[Any, ...]]:
    k = CertificateChange
    return select(k.public_id, k.person_id, k.kind.label("what"), k.at, k.reason).where(
        k.kind.in_(ADVERSE_CHANGES)
    )


def _appeals() -> Select[*tuple[Any, ...]]:
    a, filer = Appeal, aliased(Person)
    return (
        select(
            a.public_id, a.person_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            Person.site_id, Site.time_zone, a.against_kind, a.against, a.grounds, filer.name.label("filed_by"),
            a.filed_at, a.pack, a.pack_hash,
        )
        .join(Person, Person.id == a.person_id)
        .join(Site, Site.id == Person.site_id)
        .join(filer, filer.id == a.filed_by_id)
        .order_by(a.filed_at.desc(), a.id.desc())
    )  # fmt: skip


def appeals_of_site(db: Session, site_id: int) -> list[AppealFacts]:
    """Every appeal of a site's people, newest first. Two statements."""
    return _with_steps(db, _appeals().where(Person.site_id == site_id))


def appeals_of(db: Session, person_id: int) -> list[AppealFacts]:
    """A person's appeals, newest first. Two statements."""
    return _with_steps(db, _appeals().where(Appeal.person_id == person_id))


def appeal(db: Session, public_id: str) -> AppealFacts | None:
    """One appeal, of whatever site. Two statements."""
    return next(iter(_with_steps(db, _appeals().where(Appeal.public_id == public_id))), None)


def is_appealed(db: Session, against: str) -> bool:
    """Whether there is an appeal against this act. One statement."""
    return db.scalar(select(Appeal.id).where(Appeal.against == against)) is not None


def _with_steps(db: Session, statement: Select[*tuple[Any, ...]]) -> list[AppealFacts]:
    rows = db.execute(statement).mappings().all()
    if not rows:
        return []
    s = AppealStep
    steps = db.execute(
        select(
            Appeal.public_id, s.kind, s.outcome, s.reason, s.by_id, Person.name.label("by"), s.at,
        )
        .join(Appeal, Appeal.id == s.appeal_id)
        .join(Person, Person.id == s.by_id)
        .where(Appeal.public_id.in_([row["public_id"] for row in rows]))
        .order_by(s.id)
    ).all()  # fmt: skip
    return [
        AppealFacts(**row, steps=tuple(Step(*one[1:]) for one in steps if one[0] == row["public_id"]))
        for row in rows
    ]
