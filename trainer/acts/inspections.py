"""Writing down the yearly inspection of a machine's lockout procedure."""

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
from trainer.certificates.inspection import Inspection, judge_inspection
from trainer.certificates.permission import cabinet_permission
from trainer.records.database import Database
from trainer.records.queries import certifying as queries
from trainer.records.tables import InspectionPerson, Machine, Person, ProcedureInspection, Site


@dataclass(frozen=True)
class Inspected:
    """An inspection as it is filled in; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    machine_id: int
    inspected_on: date
    inspector_id: int
    included: frozenset[int]
    used: frozenset[int]
    deviations: str = ""


def record_inspection(
    database: Database, inspected: Inspected, *, scheme: str, by: int, now: datetime
) -> str | Refused:
    """Write down an inspection; gives its public id. `scheme` is the one that opens cabinets."""
    with act(database, now) as this:
        writer = this.db.get_one(Person, by)
        p = ProcedureInspection
        earlier = this.db.scalar(select(p).where(p.public_id == inspected.public_id))
        if earlier is not None:
            return earlier.public_id if earlier.by_id == by else Refused(("form.used",))
        machine = this.db.get(Machine, inspected.machine_id)
        if machine is None or machine.site_id != writer.site_id:
            return Refused(("site.other",))
        reasons = (*_reasons(this, inspected, writer, scheme), *too_long(inspected.deviations))
        if reasons:
            return Refused(reasons)
        return _write(this, inspected, writer, machine)


def _reasons(this: Act, inspected: Inspected, writer: Person, scheme: str) -> tuple[str, ...]:
    site = this.db.get_one(Site, writer.site_id)
    employed = this.db.scalars(select(Person.id).where(Person.site_id == site.id, Person.left_at.is_(None)))
    evidence = queries.site_evidence(this.db, site.id, scheme)
    opens = {one.person_id for one in evidence if cabinet_permission(one, this.now).may_open}
    one = Inspection(
        inspected.inspected_on,
        inspected.inspector_id,
        inspected.included,
        inspected.used,
        inspector_authorized=inspected.inspector_id in opens,
    )
    return judge_inspection(
        one, cast(Role, writer.role), frozenset(employed), local_day(this.now, site.time_zone)
    )


def _write(this: Act, inspected: Inspected, writer: Person, machine: Machine) -> str:
    row = ProcedureInspection(
        public_id=inspected.public_id, site_id=machine.site_id, machine_id=machine.id,
        inspected_on=inspected.inspected_on.isoformat(), inspector_id=inspected.inspector_id,
        deviations=inspected.deviations.strip(), by_id=writer.id, at=this.now,
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    people = sorted(inspected.included)
    this.db.add_all(
        InspectionPerson(inspection_id=row.id, person_id=one, used=one in inspected.used) for one in people
    )
    this.log(
        "procedure.inspected", by=writer.public_id, about=f"site:{machine.site_id}", inspection=row.public_id,
        machine=machine.key, day=row.inspected_on, inspector=_public_id(this, row.inspector_id),
        included=[*sorted(_public_id(this, one) for one in people)],
        used=[*sorted(_public_id(this, one) for one in inspected.used)], digest=digest(row.deviations),
    )  # fmt: skip
    return row.public_id


def _public_id(this: Act, person: int) -> str:
    return this.db.get_one(Person, person).public_id
