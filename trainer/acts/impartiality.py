"""Writing down threats to impartiality, and looking at them again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.free_text import digest, too_long
from trainer.acts.transaction import Act, act
from trainer.certificates.appeals import local_day
from trainer.certificates.impartiality import Threat, judge_threat
from trainer.records.database import Database
from trainer.records.tables import ImpartialityEntry, Person, Site


@dataclass(frozen=True)
class ThreatWritten:
    """An entry as it is filled in; `public_id` is made with the form, `threat_id` is the threat it is about.

    A new threat is its own first entry: both ids are the same then.
    """

    public_id: str
    threat_id: str
    threat: str
    treatment: str
    owner_id: int
    review_on: date
    closed: bool = False


def write_threat(database: Database, written: ThreatWritten, *, by: int, now: datetime) -> str | Refused:
    """Write down how a threat stands; gives the threat's id. Earlier entries stay as they are."""
    with act(database, now) as this:
        writer = this.db.get_one(Person, by)
        i = ImpartialityEntry
        earlier = this.db.scalar(select(i).where(i.public_id == written.public_id))
        if earlier is not None:
            return earlier.threat_id if earlier.by_id == by else Refused(("form.used",))
        if not _is_known(this, written, writer):
            return Refused(("site.other",))
        site = this.db.get_one(Site, writer.site_id)
        owner = this.db.get(Person, written.owner_id)
        here = owner is not None and owner.site_id == site.id and owner.left_at is None
        one = Threat(written.threat, written.treatment, here, written.review_on, written.closed)
        reasons = (
            *judge_threat(one, cast(Role, writer.role), local_day(now, site.time_zone)),
            *too_long(written.threat, written.treatment),
        )
        return Refused(reasons) if reasons else _write(this, written, writer)


def _is_known(this: Act, written: ThreatWritten, writer: Person) -> bool:
    """Whether the threat is new, or is one of the writer's own site."""
    if written.threat_id == written.public_id:
        return True
    i = ImpartialityEntry
    sites = this.db.scalars(select(i.site_id).where(i.threat_id == written.threat_id).distinct()).all()
    return list(sites) == [writer.site_id]


def _write(this: Act, written: ThreatWritten, writer: Person) -> str:
    row = ImpartialityEntry(
        public_id=written.public_id, threat_id=written.threat_id, site_id=writer.site_id,
        threat=written.threat.strip(), treatment=written.treatment.strip(), owner_id=written.owner_id,
        review_on=written.review_on.isoformat(), closed=written.closed, by_id=writer.id, at=this.now,
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    first = row.threat_id == row.public_id
    this.log(
        "threat.closed" if row.closed else "threat.written" if first else "threat.reviewed",
        by=writer.public_id, about=f"site:{writer.site_id}", threat=row.threat_id, entry=row.public_id,
        owner=this.db.get_one(Person, row.owner_id).public_id, review=row.review_on,
        digest=digest(row.threat, row.treatment),
    )  # fmt: skip
    return row.threat_id
