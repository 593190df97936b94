"""Measuring for the site sheet, number by number; saving what was measured; keeping how the questions hold."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Select, delete, select, update

from trainer.access.refusal import Refused
from trainer.acts.sites import keep_sheet
from trainer.acts.transaction import Act, act
from trainer.language.auditing import Audit
from trainer.language.generator import generator
from trainer.language.loading import Bank
from trainer.records.database import Database
from trainer.records.queries import measuring as queries
from trainer.records.queries import people
from trainer.records.queries.measuring import OPEN
from trainer.records.tables import Measurement, Person, SheetCheck
from trainer.sites import read_sheet
from trainer.sites.measuring import Taken, to_write
from trainer.sites.rewriting import with_measurements


@dataclass(frozen=True)
class NewSheet:
    """The sheet that an open walk would give: the text, and what stands behind it."""

    text: str
    version: int
    fields: tuple[str, ...]

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the version in force and the new text: what somebody has read before they save it."""
        return hashlib.sha256(f"{self.version}\n{self.text}".encode()).hexdigest()


def note_measurement(
    database: Database, *, site_id: int, by: int, field: str, taken: Taken, revision: int, now: datetime
) -> Refused | None:
    """Keep one number of the walk. `revision`: the one that the person saw, 0 for none.

    The same again changes nothing; another number over one that the person has not seen is refused.
    """
    with act(database, now) as this:
        row = this.db.scalar(_open_row(site_id).where(Measurement.field == field))
        if row is None:
            row = Measurement(site_id=site_id, sheet_version=OPEN, field=field, revision=0)
        elif Taken(row.state, row.written, row.sure) == taken:  # type: ignore[arg-type]
            return None
        elif row.revision != revision:
            return Refused(("measure.changed_meanwhile",))
        row.state, row.written, row.sure = taken.state, taken.written, taken.sure
        row.revision, row.person_id, row.measured_at = row.revision + 1, by, now
        this.db.add(row)
        return None


def new_sheet(saved: people.SavedSheet, measured: Mapping[str, str]) -> NewSheet:
    """The sheet's text with what was measured in it."""
    return NewSheet(with_measurements(saved.text, measured), saved.version, tuple(measured))


def finish_walk(
    database: Database, *, site_id: int, by: int, fingerprint: str, now: datetime
) -> int | Refused:
    """Save the open walk as a new version of the sheet and close it; gives the version.

    `fingerprint`: of the sheet that the person has read; when anything has changed since, nothing is saved.
    Raises DocumentError when the sheet has a fault; the page that shows it says so before.
    """
    with act(database, now) as this:
        saved = people.sheet_in_force(this.db, site_id)
        walk = queries.open_walk(this.db, site_id)
        measured = to_write(walk)
        if saved is None or not measured:
            return Refused(("measure.nothing",))
        made = new_sheet(saved, measured)
        if made.fingerprint != fingerprint:
            return Refused(("measure.changed_since_read",))
        version = keep_sheet(
            this, site_id=site_id, by=by, sheet=read_sheet(made.text, "sheet"), text=made.text
        )
        _close(this, site_id, version)
        person = this.db.get_one(Person, by)
        this.log(
            "sheet.measured",
            by=person.public_id,
            about=f"site:{site_id}",
            version=version,
            numbers=len(measured),
        )
        return version


def drop_walk(database: Database, *, site_id: int, by: int, now: datetime) -> int:
    """Throw the open walk away; gives how many numbers it had."""
    with act(database, now) as this:
        rows = list(this.db.scalars(_open_row(site_id)))
        for row in rows:
            this.db.delete(row)
        if rows:
            person = this.db.get_one(Person, by)
            this.log("sheet.walk_dropped", by=person.public_id, about=f"site:{site_id}", numbers=len(rows))
        return len(rows)


def keep_check(
    database: Database, *, site_id: int, version: int, bank: Bank, audits: Iterable[Audit], now: datetime
) -> None:
    """Keep what an audit of every question found with a sheet version's numbers; it takes an earlier one's place."""
    found = list(audits)
    findings = {
        one.question: {"fingerprint": bank.question(one.question).fingerprint, "findings": one.findings}
        for one in found
        if one.findings
    }
    with act(database, now) as this:
        row = this.db.scalar(
            select(SheetCheck).where(SheetCheck.site_id == site_id, SheetCheck.sheet_version == version)
        ) or SheetCheck(site_id=site_id, sheet_version=version)
        row.questions, row.findings, row.checked_at = len(found), json.dumps(findings), now
        row.generator = generator()
        this.db.add(row)


def _open_row(site_id: int) -> Select[Measurement]:
    return select(Measurement).where(Measurement.site_id == site_id, Measurement.sheet_version == OPEN)


def _close(this: Act, site_id: int, version: int) -> None:
    """What was skipped tells nothing afterwards; the rest stays with the version, for who measured what and when."""
    mine = (Measurement.site_id == site_id, Measurement.sheet_version == OPEN)
    this.db.execute(delete(Measurement).where(*mine, Measurement.state == "skipped"))
    this.db.execute(update(Measurement).where(*mine).values(sheet_version=version))
