"""What was measured for a site sheet, and what its questions make of its numbers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import Row, func, select
from sqlalchemy.orm import Session

from trainer.language.loading import Bank
from trainer.records.tables import Measurement, Person, SheetCheck, SiteSheetVersion
from trainer.sites.measuring import Measured, State

OPEN = 0  # the sheet version of a walk that is not saved yet


@dataclass(frozen=True)
class Checked:
    """The latest audit with a sheet version's numbers: findings by question, each with the file that it was about.

    generator: of the code that audited; empty where nobody noted it
    """

    sheet_version: int
    questions: int
    checked_at: datetime
    findings: Mapping[str, tuple[str, ...]]
    fingerprints: Mapping[str, str]
    generator: str = ""


def open_walk(db: Session, site_id: int) -> dict[str, Measured]:
    """What is measured so far for the next version, by field, in the order it was first given. One statement."""
    return _measured(db, site_id, OPEN)


def measured_for(db: Session, site_id: int, version: int) -> dict[str, Measured]:
    """What was measured for a saved version, by field. One statement."""
    return _measured(db, site_id, version)


def _measured(db: Session, site_id: int, version: int) -> dict[str, Measured]:
    m = Measurement
    rows = db.execute(
        select(m.field, m.state, m.written, m.sure, m.revision, Person.name.label("by"), m.measured_at)
        .join(Person, Person.id == m.person_id)
        .where(m.site_id == site_id, m.sheet_version == version)
        .order_by(m.id)
    )
    return {row.field: _one(row) for row in rows}


def _one(row: Row[str, str, str, bool, int, str, datetime]) -> Measured:
    return Measured(
        row.field, cast(State, row.state), row.written, row.sure, row.revision, row.by, row.measured_at
    )


def last_measured(db: Session, site_id: int) -> dict[str, Measured]:
    """Who measured each field last among saved versions, by field. One statement."""
    m = Measurement
    rows = db.execute(
        select(m.field, m.state, m.written, m.sure, m.revision, Person.name.label("by"), m.measured_at)
        .join(Person, Person.id == m.person_id)
        .where(m.site_id == site_id, m.sheet_version != OPEN)
        .order_by(m.sheet_version)
    )
    return {row.field: _one(row) for row in rows}


def sheet_check(db: Session, site_id: int, version: int) -> Checked | None:
    """The latest audit with a version's numbers, or None. One statement."""
    s = SheetCheck
    row = db.scalar(select(s).where(s.site_id == site_id, s.sheet_version == version))
    if row is None:
        return None
    found = json.loads(row.findings)
    return Checked(
        row.sheet_version,
        row.questions,
        row.checked_at,
        {question: tuple(one["findings"]) for question, one in found.items()},
        {question: one["fingerprint"] for question, one in found.items()},
        row.generator,
    )


def checked_by_another(db: Session, generator: str) -> list[tuple[int, int]]:
    """Sites, each with its sheet in force, whose questions were audited by other code than this. One statement."""
    s, v = SheetCheck, SiteSheetVersion
    newest = select(v.site_id, func.max(v.version).label("version")).group_by(v.site_id).subquery()
    rows = db.execute(
        select(s.site_id, s.sheet_version)
        .join(newest, (newest.c.site_id == s.site_id) & (newest.c.version == s.sheet_version))
        .where(s.generator != generator)
        .order_by(s.site_id)
    )
    return [(row.site_id, row.sheet_version) for row in rows]


def kept_out(db: Session, site_id: int, version: int, bank: Bank) -> frozenset[str]:
    """The questions that do not hold with a sheet version's numbers, as far as their files are still those checked.

    One statement.
    """
    checked = sheet_check(db, site_id, version)
    if checked is None:
        return frozenset()
    found = ((id_, bank.find(id_)) for id_ in checked.findings)
    return frozenset(
        id_
        for id_, question in found
        if question is not None and question.fingerprint == checked.fingerprints[id_]
    )
