"""Who is who: members, sites and the sheet in force."""

from __future__ import annotations

from dataclasses import dataclass

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


def _members() -> Select[tuple[object, ...]]:
    p = Person
    return select(
        p.id, p.public_id, p.site_id, Site.name.label("site_name"), Site.time_zone, p.name, p.sign_in_name,
        p.role, p.language, p.system, p.session_number, p.trained_by_id, p.left_at,
    ).join(Site, Site.id == p.site_id)  # fmt: skip


def member(db: Session, person_id: int) -> Member | None:
    """One person. One statement."""
    row = db.execute(_members().where(Person.id == person_id)).mappings().first()
    return None if row is None else Member(**row)


def members(db: Session, site_id: int) -> list[Member]:
    """Everyone of a site who has not left, by name. One statement."""
    rows = db.execute(
        _members().where(Person.site_id == site_id, Person.left_at.is_(None)).order_by(Person.name, Person.id)
    )
    return [Member(**row) for row in rows.mappings()]


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
