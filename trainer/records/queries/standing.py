"""What was done to certificates since they were issued, and changes of machines, as the rules read them."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Select, func, or_, select
from sqlalchemy.orm import Session, aliased

from trainer.certificates.states import Change
from trainer.records.tables import (
    Cabinet,
    Certificate,
    CertificateChange,
    Decision,
    Machine,
    Person,
    Practical,
    WorkplaceChange,
)


@dataclass(frozen=True)
class MachineChanged:
    """A machine or its procedure changed: what, since when, who wrote it down."""

    public_id: str
    machine: str
    cabinet: str | None
    kind: str
    what: str
    since: datetime
    by: str
    at: datetime


@dataclass(frozen=True)
class RunningCertificate:
    """A certificate that has neither run out nor been withdrawn, and when the practical it rests on was signed."""

    id: int
    public_id: str
    person_id: int
    person_public_id: str
    practical_signed_at: datetime


def changes_of(db: Session, certificates: Collection[str]) -> dict[str, tuple[Change, ...]]:
    """The changes of each certificate, by its public id, in the order they were made. One statement, none for none."""
    if not certificates:
        return {}
    k = CertificateChange
    rows = db.execute(
        select(
            Certificate.public_id.label("certificate"), k.public_id, k.kind, k.cause, k.at, k.since,
            Person.name.label("by"), k.reason, k.lifts, k.taken,
        )
        .join(Certificate, Certificate.id == k.certificate_id)
        .join(Person, Person.id == k.by_id)
        .where(Certificate.public_id.in_(certificates))
        .order_by(k.id)
    )  # fmt: skip
    found: dict[str, tuple[Change, ...]] = {}
    for row in rows.mappings():
        found[row["certificate"]] = (*found.get(row["certificate"], ()), _change(row))
    return found


def _change(row: Any) -> Change:
    facts = {key: value for key, value in row.items() if key != "certificate"}
    return Change(**{**facts, "taken": tuple(json.loads(row["taken"]))})


def last_change_of_pair(kind: str) -> ColumnElement[datetime]:
    """When any certificate of `Person` for `Cabinet` was last changed in this way: to stand in an outer query."""
    k, c = CertificateChange, aliased(Certificate)
    return (
        select(func.max(k.at))
        .join(c, c.id == k.certificate_id)
        .where(c.person_id == Person.id, c.cabinet_id == Cabinet.id, k.kind == kind)
        .correlate(Person, Cabinet)
        .scalar_subquery()
    )


def machine_changed_at() -> ColumnElement[datetime]:
    """Since when the machine of `Cabinet`, or its procedure, is as it is now: to stand in an outer query."""
    w = WorkplaceChange
    of_this = or_(w.cabinet_id.is_(None), w.cabinet_id == Cabinet.id)
    return (
        select(func.max(w.since))
        .where(w.machine_id == Cabinet.machine_id, of_this)
        .correlate(Cabinet)
        .scalar_subquery()
    )


def _running(now: datetime) -> Select[*tuple[Any, ...]]:
    c, k = Certificate, CertificateChange
    withdrawn = select(k.id).where(k.certificate_id == c.id, k.kind == "withdrawn").exists()
    return (
        select(
            c.id, c.public_id, c.person_id, Person.public_id.label("person_public_id"),
            Practical.signed_at.label("practical_signed_at"),
        )
        .join(Person, Person.id == c.person_id)
        .join(Decision, Decision.id == c.decision_id)
        .join(Practical, Practical.id == Decision.practical_id)
        .where(c.expires_at > now, ~withdrawn)
        .order_by(c.id)
    )  # fmt: skip


def running_of_pair(db: Session, person_id: int, cabinet_id: int, now: datetime) -> list[RunningCertificate]:
    """The running certificates of one person for one cabinet: a renewal leaves the older one in hand. One statement."""
    c = Certificate
    rows = db.execute(_running(now).where(c.person_id == person_id, c.cabinet_id == cabinet_id))
    return [RunningCertificate(**row) for row in rows.mappings()]


def running_of_machine(
    db: Session, machine_id: int, cabinet_id: int | None, now: datetime
) -> list[RunningCertificate]:
    """The running certificates for every cabinet of a machine, or for one of them. One statement."""
    statement = _running(now).join(Cabinet, Cabinet.id == Certificate.cabinet_id)
    statement = statement.where(Cabinet.machine_id == machine_id)
    if cabinet_id is not None:
        statement = statement.where(Cabinet.id == cabinet_id)
    return [RunningCertificate(**row) for row in db.execute(statement).mappings()]


def machine_changes(db: Session, site_id: int, most: int = 50) -> list[MachineChanged]:
    """The newest changes of machines and procedures of a site. One statement."""
    w = WorkplaceChange
    rows = db.execute(
        select(
            w.public_id, Machine.name.label("machine"), Cabinet.name.label("cabinet"), w.kind, w.what, w.since,
            Person.name.label("by"), w.at,
        )
        .join(Machine, Machine.id == w.machine_id)
        .outerjoin(Cabinet, Cabinet.id == w.cabinet_id)
        .join(Person, Person.id == w.by_id)
        .where(w.site_id == site_id)
        .order_by(w.at.desc(), w.id.desc())
        .limit(most)
    )  # fmt: skip
    return [MachineChanged(**row) for row in rows.mappings()]
