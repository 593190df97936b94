"""The registers that a manager keeps: yearly inspections of procedures, threats to impartiality."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session, aliased

from trainer.records.tables import (
    ImpartialityEntry,
    InspectionPerson,
    Machine,
    Person,
    ProcedureInspection,
)


@dataclass(frozen=True)
class InspectionFacts:
    """One inspection; `people` holds the name of everyone included and whether they used the procedure."""

    public_id: str
    machine: str
    inspected_on: date
    inspector: str
    deviations: str
    by: str
    at: datetime
    people: tuple[tuple[str, bool], ...] = ()


@dataclass(frozen=True)
class MachineInspected:
    """A machine and the day of its newest inspection, if there was one."""

    machine_id: int
    machine: str
    last: date | None


@dataclass(frozen=True)
class ThreatFacts:
    """One state of one threat to impartiality."""

    threat_id: str
    threat: str
    treatment: str
    owner: str
    owner_public_id: str
    review_on: date
    closed: bool
    by: str
    at: datetime


def inspections(db: Session, site_id: int, most: int = 50) -> list[InspectionFacts]:
    """The newest inspections of a site. Two statements."""
    i, inspector, writer = ProcedureInspection, aliased(Person), aliased(Person)
    rows = db.execute(
        select(
            i.id, i.public_id, Machine.name.label("machine"), i.inspected_on, inspector.name.label("inspector"),
            i.deviations, writer.name.label("by"), i.at,
        )
        .join(Machine, Machine.id == i.machine_id)
        .join(inspector, inspector.id == i.inspector_id)
        .join(writer, writer.id == i.by_id)
        .where(i.site_id == site_id)
        .order_by(i.inspected_on.desc(), i.id.desc())
        .limit(most)
    ).all()  # fmt: skip
    people = _included(db, [row.id for row in rows])
    return [
        InspectionFacts(
            row.public_id, row.machine, date.fromisoformat(row.inspected_on), row.inspector, row.deviations, row.by,
            row.at, people.get(row.id, ()),
        )
        for row in rows
    ]  # fmt: skip


def _included(db: Session, inspected: list[int]) -> dict[int, tuple[tuple[str, bool], ...]]:
    p = InspectionPerson
    found: dict[int, tuple[tuple[str, bool], ...]] = {}
    rows = db.execute(
        select(p.inspection_id, Person.name, p.used)
        .join(Person, Person.id == p.person_id)
        .where(p.inspection_id.in_(inspected))
        .order_by(Person.name, Person.id)
    )
    for row in rows:
        found[row.inspection_id] = (*found.get(row.inspection_id, ()), (row.name, row.used))
    return found


def last_inspections(db: Session, site_id: int) -> list[MachineInspected]:
    """Each machine of a site, by name, with the day of its newest inspection. One statement."""
    i, m = ProcedureInspection, Machine
    rows = db.execute(
        select(m.id, m.name, func.max(i.inspected_on))
        .outerjoin(i, i.machine_id == m.id)
        .where(m.site_id == site_id)
        .group_by(m.id, m.name)
        .order_by(m.name, m.id)
    )
    return [MachineInspected(key, name, date.fromisoformat(day) if day else None) for key, name, day in rows]


def _entries(site_id: int) -> Select[*tuple[Any, ...]]:
    i, owner, writer = ImpartialityEntry, aliased(Person), aliased(Person)
    return (
        select(
            i.threat_id, i.threat, i.treatment, owner.name.label("owner"),
            owner.public_id.label("owner_public_id"), i.review_on, i.closed, writer.name.label("by"), i.at,
        )
        .join(owner, owner.id == i.owner_id)
        .join(writer, writer.id == i.by_id)
        .where(i.site_id == site_id)
    )  # fmt: skip


def _facts(row: Any) -> ThreatFacts:
    return ThreatFacts(**{**row, "review_on": date.fromisoformat(row["review_on"])})


def threats(db: Session, site_id: int) -> list[ThreatFacts]:
    """How each threat of a site stands: open ones first, the next review first. One statement."""
    i = ImpartialityEntry
    newest = select(func.max(i.id)).where(i.site_id == site_id).group_by(i.threat_id)
    rows = db.execute(_entries(site_id).where(i.id.in_(newest)).order_by(i.closed, i.review_on, i.id))
    return [_facts(row) for row in rows.mappings()]


def threat(db: Session, site_id: int, threat_id: str) -> list[ThreatFacts]:
    """Every state of one threat, the newest first; empty when the site has none such. One statement."""
    i = ImpartialityEntry
    rows = db.execute(_entries(site_id).where(i.threat_id == threat_id).order_by(i.id.desc()))
    return [_facts(row) for row in rows.mappings()]
