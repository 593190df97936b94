"""Who may observe, what stands beside a signed practical, and which practicals two observers saw."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session, aliased

from trainer.certificates.agreement import Twice
from trainer.certificates.observing import FirstSigned, Qualification
from trainer.records.tables import (
    Machine,
    ObserverQualification,
    Person,
    Practical,
    PracticalLook,
    PracticalPicture,
    PracticalSecond,
    PracticalShown,
)


@dataclass(frozen=True)
class ObserverLine:
    """One qualification as the managers' page shows it."""

    qualification: Qualification
    person: str
    machine: str
    grounds: str
    by: str
    ended_by: str | None
    ended_reason: str | None


@dataclass(frozen=True)
class SecondSigned:
    """The second observer's marks."""

    observer: str
    marks: Mapping[str, str]
    remarks: Mapping[str, str]
    device_times: Mapping[str, str]
    filled_offline: bool
    note: str
    passed: bool
    differs: bool
    signed_at: datetime


@dataclass(frozen=True)
class Look:
    """What a manager made of two observers who differ."""

    by: str
    counts: bool
    reason: str
    at: datetime


@dataclass(frozen=True)
class PictureKept:
    """That a picture stands beside a practical, by whom and with which SHA-256."""

    sha256: str
    by: str
    at: datetime


@dataclass(frozen=True)
class Beside:
    """Everything that stands beside one signed practical."""

    first: FirstSigned
    second: SecondSigned | None
    look: Look | None
    picture: PictureKept | None


def qualifications_of(db: Session, person_id: int) -> list[Qualification]:
    """Every qualification that a person ever had, oldest first. One statement."""
    q = ObserverQualification
    rows = db.scalars(select(q).where(q.person_id == person_id).order_by(q.since, q.id))
    return [_qualification(row) for row in rows]


def _qualification(row: ObserverQualification) -> Qualification:
    return Qualification(row.public_id, row.person_id, row.machine_id, row.since, row.until, row.ended_at)


def observers(db: Session, site_id: int) -> list[ObserverLine]:
    """Every qualification of a site by person and machine, newest first. One statement."""
    q, by, ender = ObserverQualification, aliased(Person), aliased(Person)
    rows = db.execute(
        select(q, Person.name, Machine.name, q.grounds, by.name, ender.name, q.ended_reason)
        .join(Person, Person.id == q.person_id)
        .join(Machine, Machine.id == q.machine_id)
        .join(by, by.id == q.by_id)
        .outerjoin(ender, ender.id == q.ended_by_id)
        .where(Machine.site_id == site_id)
        .order_by(Person.name, Person.id, Machine.name, q.since.desc(), q.id.desc())
    )
    return [ObserverLine(_qualification(row[0]), *row[1:]) for row in rows]


def signed_before(db: Session, person_id: int, machine_id: int, scheme: str) -> int:
    """How many practicals of a scheme were signed of a person on a machine. One statement."""
    p = Practical
    counted = select(func.count(p.id)).where(
        p.person_id == person_id, p.machine_id == machine_id, p.scheme == scheme
    )
    return db.scalar(counted) or 0


def _firsts() -> Select[*tuple[Any, ...]]:
    p, s, k = Practical, PracticalSecond, PracticalLook
    return (
        select(
            p.public_id, p.person_id, p.machine_id, p.observer_id, p.signed_at, p.asks_second,
            s.observer_id.label("second_id"), func.coalesce(s.differs, False).label("differs"),
            k.id.is_not(None).label("looked"),
        )
        .outerjoin(s, s.practical_id == p.id)
        .outerjoin(k, k.practical_id == p.id)
    )  # fmt: skip


def _first(db: Session, statement: Select[*tuple[Any, ...]]) -> FirstSigned | None:
    row = db.execute(statement.limit(1)).mappings().first()
    if row is None:
        return None
    shown = select(PracticalShown.person_id).join(Practical, Practical.id == PracticalShown.practical_id)
    looked = db.scalars(shown.where(Practical.public_id == row["public_id"]))
    facts = {**row, "differs": bool(row["differs"]), "looked": bool(row["looked"])}
    return FirstSigned(**facts, shown_to=frozenset(looked))


def first_signed(db: Session, public_id: str) -> FirstSigned | None:
    """A practical as far as a second observer is concerned. Two statements."""
    return _first(db, _firsts().where(Practical.public_id == public_id))


def newest_first(db: Session, person_id: int, machine_id: int, scheme: str) -> FirstSigned | None:
    """The newest practical of a person on a machine, for its second observer. Two statements."""
    p = Practical
    mine = _firsts().where(p.person_id == person_id, p.machine_id == machine_id, p.scheme == scheme)
    return _first(db, mine.order_by(p.signed_at.desc(), p.id.desc()))


def awaiting_second(db: Session, site_id: int, since: datetime) -> list[tuple[FirstSigned, str, str]]:
    """Practicals of a site signed since, that asked for a second observer and have none: with person and machine.

    Newest first. `shown_to` is left empty. One statement.
    """
    p, s = Practical, PracticalSecond
    rows = db.execute(
        _firsts()
        .add_columns(Person.name.label("name"), Machine.name.label("machine"))
        .join(Person, Person.id == p.person_id)
        .join(Machine, Machine.id == p.machine_id)
        .where(Person.site_id == site_id, p.asks_second, s.id.is_(None), p.signed_at > since)
        .order_by(p.signed_at.desc(), p.id.desc())
    )
    return [(FirstSigned(*row[:7]), row.name, row.machine) for row in rows]


def beside(db: Session, public_id: str) -> Beside | None:
    """Everything that stands beside a signed practical. Five statements at most."""
    first = first_signed(db, public_id)
    if first is None:
        return None
    return Beside(first, _second(db, public_id), _look(db, public_id), _picture(db, public_id))


def _second(db: Session, public_id: str) -> SecondSigned | None:
    s = PracticalSecond
    row = db.execute(
        select(
            Person.name, s.steps, s.remarks, s.device_times, s.filled_offline, s.note, s.passed, s.differs, s.signed_at
        )
        .join(Practical, Practical.id == s.practical_id)
        .join(Person, Person.id == s.observer_id)
        .where(Practical.public_id == public_id)
    ).first()  # fmt: skip
    if row is None:
        return None
    steps, remarks, times = (json.loads(one) for one in row[1:4])
    return SecondSigned(row[0], steps, remarks, times, *row[4:])


def _look(db: Session, public_id: str) -> Look | None:
    k = PracticalLook
    row = db.execute(
        select(Person.name, k.counts, k.reason, k.at)
        .join(Practical, Practical.id == k.practical_id)
        .join(Person, Person.id == k.by_id)
        .where(Practical.public_id == public_id)
    ).first()
    return None if row is None else Look(*row)


def _picture(db: Session, public_id: str) -> PictureKept | None:
    i = PracticalPicture
    row = db.execute(
        select(i.sha256, Person.name, i.at)
        .join(Practical, Practical.id == i.practical_id)
        .join(Person, Person.id == i.by_id)
        .where(Practical.public_id == public_id)
    ).first()
    return None if row is None else PictureKept(*row)


def picture_text(db: Session, public_id: str) -> str | None:
    """The picture beside a practical, in base64. One statement."""
    i = PracticalPicture
    return db.scalar(
        select(i.jpeg).join(Practical, Practical.id == i.practical_id).where(Practical.public_id == public_id)
    )


def seen_twice(db: Session, site_id: int, scheme: str) -> list[Twice]:
    """Every practical of a site that two observers marked, oldest first. One statement."""
    p, s = Practical, PracticalSecond
    rows = db.execute(
        select(p.public_id, p.steps, s.steps)
        .join(s, s.practical_id == p.id)
        .join(Person, Person.id == p.person_id)
        .where(Person.site_id == site_id, p.scheme == scheme)
        .order_by(p.signed_at, p.id)
    )
    return [Twice(row[0], _pairs(json.loads(row[1]), json.loads(row[2]))) for row in rows]


def _pairs(first: Mapping[str, str], second: Mapping[str, str]) -> dict[str, tuple[bool, bool]]:
    return {step: (mark == "met", second[step] == "met") for step, mark in first.items() if step in second}
