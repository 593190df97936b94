"""Setting up a site, saving its sheet, enrolling people."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import func, select

from trainer.access.members import Role
from trainer.acts.transaction import SYSTEM, act
from trainer.records.database import Database
from trainer.records.tables import Cabinet, Machine, Person, Site, SiteSheetVersion

if TYPE_CHECKING:
    from trainer.sites.sheet import SiteSheet


def open_site(database: Database, *, sheet: SiteSheet, text: str, now: datetime) -> int:
    """Set up a site from its first sheet; gives the site's id."""
    with act(database, now) as this:
        site = Site(name=sheet.name, time_zone=sheet.time_zone)
        this.db.add(site)
        this.db.flush()
        this.db.add(SiteSheetVersion(site_id=site.id, version=1, text=text, saved_by_id=None, saved_at=now))
        _keep_machines(this.db, site.id, sheet)
        this.log("site.opened", by=SYSTEM, about=f"site:{site.id}")
        return site.id


def save_sheet(
    database: Database, *, site_id: int, by: int, sheet: SiteSheet, text: str, now: datetime
) -> int:
    """Save a new version of a site's sheet; gives its number. Older versions stay for replay."""
    with act(database, now) as this:
        version = 1 + (this.db.scalar(_newest_version(site_id)) or 0)
        this.db.add(
            SiteSheetVersion(site_id=site_id, version=version, text=text, saved_by_id=by, saved_at=now)
        )
        _keep_machines(this.db, site_id, sheet)
        author = this.db.get_one(Person, by)
        this.log("sheet.saved", by=author.public_id, about=f"site:{site_id}", version=version)
        return version


def enrol(
    database: Database,
    *,
    site_id: int,
    name: str,
    sign_in_name: str,
    role: Role,
    password_hash: str | None,
    by: str,
    now: datetime,
    trained_by_id: int | None = None,
    language: str = "en",
    system: str = "us",
) -> int:
    """Enrol a person; gives their id."""
    with act(database, now) as this:
        person = Person(
            public_id=str(uuid.uuid4()), site_id=site_id, name=name, sign_in_name=sign_in_name, role=role,
            password_hash=password_hash, language=language, system=system, trained_by_id=trained_by_id, joined_at=now,
        )  # fmt: skip
        this.db.add(person)
        this.db.flush()
        this.log("person.enrolled", by=by, about=person.public_id, role=role)
        return person.id


def _newest_version(site_id: int):  # type: ignore[no-untyped-def]
    return select(func.max(SiteSheetVersion.version)).where(SiteSheetVersion.site_id == site_id)


def _keep_machines(db, site_id: int, sheet: SiteSheet) -> None:  # type: ignore[no-untyped-def]
    """Bring the machine and cabinet rows in line with the sheet; rows with history are never removed."""
    machines = {m.key: m for m in db.scalars(select(Machine).where(Machine.site_id == site_id))}
    for said in sheet.machines:
        row = machines.setdefault(said.id, Machine(site_id=site_id, key=said.id))
        row.name = said.name
        db.add(row)
    db.flush()
    cabinets = {c.key: c for c in db.scalars(select(Cabinet).where(Cabinet.site_id == site_id))}
    for cab in sheet.cabinets:
        row = cabinets.setdefault(cab.id, Cabinet(site_id=site_id, key=cab.id))
        row.name, row.machine_id = cab.name, machines[cab.machine].id
        db.add(row)
