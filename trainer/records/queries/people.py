"""Who is who: members, sites and the sheet in force."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.access.members import Member
from trainer.records.tables import Person, Site, SiteSheetVersion


@dataclass(frozen=True)
class SavedSheet:
    """The text of a site's sheet and its version."""

    site_id: int
    version: int
    text: str


def member_columns() -> Select[*tuple[Any, ...]]:
    """Everything a Member is made of, each column under its field's name."""
    p = Person
    return select(
        p.id, p.public_id, p.site_id, Site.name.label("site_name"), Site.time_zone, p.name, p.sign_in_name,
        p.role, p.language, p.system, p.session_number, p.trained_by_id, p.left_at,
    ).join(Site, Site.id == p.site_id)  # fmt: skip


def member(db: Session, person_id: int) -> Member | None:
    """One person. One statement."""
    row = db.execute(member_columns().where(Person.id == person_id)).mappings().first()
    return None if row is None else Member(**row)


def members(db: Session, site_id: int) -> list[Member]:
    """Everyone of a site who has not left, by name. One statement."""
    rows = db.execute(
        member_columns()
        .where(Person.site_id == site_id, Person.left_at.is_(None))
        .order_by(Person.name, Person.id)
    )
    return [Member(**row) for row in rows.mappings()]


def member_by_public_id(db: Session, public_id: str, site_id: int) -> Member | None:
    """One person of a site by their public id, whether or not they have left. One statement."""
    row = (
        db.execute(member_columns().where(Person.public_id == public_id, Person.site_id == site_id))
        .mappings()
        .first()
    )
    return None if row is None else Member(**row)


def sites(db: Session) -> list[tuple[int, str]]:
    """Every site by name: id and name. One statement."""
    return [(row.id, row.name) for row in db.execute(select(Site.id, Site.name).order_by(Site.name, Site.id))]


def sheet_in_force(db: Session, site_id: int) -> SavedSheet | None:
    """The newest saved sheet of a site. One statement."""
    s = SiteSheetVersion
    row = db.execute(
        select(s.site_id, s.version, s.text).where(s.site_id == site_id).order_by(s.version.desc()).limit(1)
    ).first()
    return None if row is None else SavedSheet(*row)


def sheet_version(db: Session, site_id: int, version: int) -> SavedSheet | None:
    """One saved version of a site's sheet. One statement."""
    s = SiteSheetVersion
    row = db.execute(
        select(s.site_id, s.version, s.text).where(s.site_id == site_id, s.version == version)
    ).first()
    return None if row is None else SavedSheet(*row)
