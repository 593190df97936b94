"""Who has left and until when they are kept, legal holds, proposals to forget."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Row, Select, func, or_, select
from sqlalchemy.orm import Session, aliased

from trainer.certificates.keeping import Kept
from trainer.records.queries.results import IS_NEWEST, NEWEST, VALID_UNTIL
from trainer.records.tables import Certificate, Exam, ForgetProposal, LegalHold, Person, Practical, Site


@dataclass(frozen=True)
class Leaver:
    """One person who has left, by name, with what decides about forgetting them."""

    person_id: int
    public_id: str
    name: str
    forgotten_at: datetime | None
    kept: Kept


@dataclass(frozen=True)
class Hold:
    """One legal hold; person None: the whole site."""

    public_id: str
    person: str | None
    reason: str
    placed_by: str
    placed_at: datetime
    lifted_by: str | None
    lifted_at: datetime | None
    lifted_reason: str | None


@dataclass(frozen=True)
class Proposal:
    """One open proposal to forget a person."""

    public_id: str
    person_public_id: str
    person: str
    reason: str
    proposed_by_id: int
    proposed_by: str
    proposed_at: datetime


def _ends() -> dict[str, object]:
    """When the last exam, practical and certificate of a person ran out; a failed try or a practical ends at once."""
    exams = func.max(func.coalesce(VALID_UNTIL, Exam.submitted_at, Exam.deadline))
    c = Certificate
    return {
        "exam_end": select(exams)
        .select_from(Exam)
        .outerjoin(NEWEST, IS_NEWEST)
        .where(Exam.person_id == Person.id)
        .scalar_subquery(),
        "practical_end": select(func.max(Practical.signed_at))
        .where(Practical.person_id == Person.id)
        .scalar_subquery(),
        "certificate_end": select(func.max(func.coalesce(c.withdrawn_at, c.expires_at)))
        .where(c.person_id == Person.id)
        .scalar_subquery(),
    }


def _people() -> Select[tuple[object, ...]]:
    holds = (
        select(func.count())
        .select_from(LegalHold)
        .where(
            LegalHold.lifted_at.is_(None),
            LegalHold.site_id == Person.site_id,
            or_(LegalHold.person_id.is_(None), LegalHold.person_id == Person.id),
        )
        .correlate(Person)
        .scalar_subquery()
    )
    ends = [one.label(name) for name, one in _ends().items()]  # type: ignore[attr-defined]
    return select(
        Person.id, Person.public_id, Person.name, Person.left_at, Person.forgotten_at, Site.time_zone, *ends,
        holds.label("holds"),
    ).join(Site, Site.id == Person.site_id)  # fmt: skip


def _read(row: Row[tuple[object, ...]]) -> Leaver:
    facts = row._mapping
    ends = [facts[name] for name in ("exam_end", "practical_end", "certificate_end") if facts[name]]
    kept = Kept(
        left_at=facts["left_at"], records_end=max(ends, default=None), holds=facts["holds"],
        forgotten=facts["forgotten_at"] is not None, time_zone=facts["time_zone"],
    )  # fmt: skip
    return Leaver(facts["id"], facts["public_id"], facts["name"], facts["forgotten_at"], kept)


def leaver(db: Session, person_id: int) -> Leaver:
    """One person, employed or not. One statement."""
    return _read(db.execute(_people().where(Person.id == person_id)).one())


def leavers(db: Session, site_id: int) -> list[Leaver]:
    """Everyone of a site who has left, the latest first. One statement."""
    asked = _people().where(Person.site_id == site_id, Person.left_at.is_not(None))
    return [_read(row) for row in db.execute(asked.order_by(Person.left_at.desc(), Person.id))]


def holds(db: Session, site_id: int) -> list[Hold]:
    """Every hold of a site, open ones first, then the newest. One statement."""
    held, placer, lifter = aliased(Person), aliased(Person), aliased(Person)
    h = LegalHold
    rows = db.execute(
        select(
            h.public_id, held.name.label("person"), h.reason, placer.name.label("placed_by"), h.placed_at,
            lifter.name.label("lifted_by"), h.lifted_at, h.lifted_reason,
        )
        .outerjoin(held, held.id == h.person_id)
        .join(placer, placer.id == h.placed_by_id)
        .outerjoin(lifter, lifter.id == h.lifted_by_id)
        .where(h.site_id == site_id)
        .order_by(h.lifted_at.is_not(None), h.placed_at.desc(), h.id.desc())
    )  # fmt: skip
    return [Hold(**row) for row in rows.mappings()]


def proposals(db: Session, site_id: int) -> list[Proposal]:
    """Open proposals of a site, the oldest first. One statement."""
    proposer, p = aliased(Person), ForgetProposal
    rows = db.execute(
        select(
            p.public_id, Person.public_id.label("person_public_id"), Person.name.label("person"), p.reason,
            p.proposed_by_id, proposer.name.label("proposed_by"), p.proposed_at,
        )
        .join(Person, Person.id == p.person_id)
        .join(proposer, proposer.id == p.proposed_by_id)
        .where(Person.site_id == site_id, p.closed_at.is_(None))
        .order_by(p.proposed_at, p.id)
    )  # fmt: skip
    return [Proposal(**row) for row in rows.mappings()]
