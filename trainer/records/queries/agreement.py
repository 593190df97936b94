"""Practicals that lack their second observer, and those whose two observers differ."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, aliased

from trainer.records.tables import Machine, Person, Practical, PracticalLook, PracticalSecond, PracticalShown


@dataclass(frozen=True)
class Sampled:
    """One practical of the sample.

    looked: whether it counts, as a manager said; None while nobody has said
    """

    public_id: str
    person: str
    machine: str
    observer: str
    signed_at: datetime
    looked: bool | None


def without_second(db: Session, site_id: int, scheme: str) -> list[Sampled]:
    """Practicals that asked for a second observer and have none, newest first. One statement."""
    statement = _sampled(site_id, scheme).where(Practical.asks_second, PracticalSecond.id.is_(None))
    return [Sampled(*row) for row in db.execute(statement)]


def differing(db: Session, site_id: int, scheme: str) -> list[Sampled]:
    """Practicals whose two observers differ on a critical step, newest first. One statement."""
    statement = _sampled(site_id, scheme).where(PracticalSecond.differs)
    return [Sampled(*row) for row in db.execute(statement)]


def _sampled(site_id: int, scheme: str) -> Select[*tuple[Any, ...]]:
    p, observer = Practical, aliased(Person)
    return (
        select(p.public_id, Person.name, Machine.name, observer.name, p.signed_at, PracticalLook.counts)
        .join(Person, Person.id == p.person_id)
        .join(Machine, Machine.id == p.machine_id)
        .join(observer, observer.id == p.observer_id)
        .outerjoin(PracticalSecond, PracticalSecond.practical_id == p.id)
        .outerjoin(PracticalLook, PracticalLook.practical_id == p.id)
        .where(Person.site_id == site_id, p.scheme == scheme)
        .order_by(p.signed_at.desc(), p.id.desc())
    )


def shown_to(db: Session, person_id: int) -> frozenset[str]:
    """Public ids of the practicals whose marks a person chose to see. One statement."""
    s = PracticalShown
    rows = db.scalars(
        select(Practical.public_id).join(s, s.practical_id == Practical.id).where(s.person_id == person_id)
    )
    return frozenset(rows)
