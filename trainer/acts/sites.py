"""Setting up a site and saving its sheet."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.acts.transaction import SYSTEM, Act, act
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
        return keep_sheet(this, site_id=site_id, by=by, sheet=sheet, text=text)


def keep_sheet(this: Act, *, site_id: int, by: int, sheet: SiteSheet, text: str) -> int:
    """Save a new version of a site's sheet as part of an act; gives its number."""
    version = 1 + (this.db.scalar(_newest_version(site_id)) or 0)
    this.db.add(
        SiteSheetVersion(site_id=site_id, version=version, text=text, saved_by_id=by, saved_at=this.now)
    )
    _keep_machines(this.db, site_id, sheet)
    author = this.db.get_one(Person, by)
    this.log("sheet.saved", by=author.public_id, about=f"site:{site_id}", version=version)
    return version


def _newest_version(site_id: int) -> Select[int | None]:
    return select(func.max(SiteSheetVersion.version)).where(SiteSheetVersion.site_id == site_id)


def _keep_machines(db: Session, site_id: int, sheet: SiteSheet) -> None:
    """Bring the machine and cabinet rows in line with the sheet; rows with history are never removed."""
    machines = {m.key: m for m in db.scalars(select(Machine).where(Machine.site_id == site_id))}
    for said in sheet.machines:
        row = machines.setdefault(said.id, Machine(site_id=site_id, key=said.id))
        row.name = said.name
        db.add(row)
    db.flush()
    cabinets = {c.key: c for c in db.scalars(select(Cabinet).where(Cabinet.site_id == site_id))}
    for said_cabinet in sheet.cabinets:
        cabinet = cabinets.setdefault(said_cabinet.id, Cabinet(site_id=site_id, key=said_cabinet.id))
        cabinet.name, cabinet.machine_id = said_cabinet.name, machines[said_cabinet.machine].id
        db.add(cabinet)
