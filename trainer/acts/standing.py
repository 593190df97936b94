"""Suspending, giving back, reducing and withdrawing certificates, and writing down that a machine has changed."""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.free_text import digest, too_long
from trainer.acts.transaction import Act, act
from trainer.certificates.changing import (
    Changer,
    judge_lift,
    judge_machine_change,
    judge_reduction,
    judge_suspension,
    judge_withdrawal,
    touched_by,
)
from trainer.certificates.facts import CertificateHeld
from trainer.certificates.states import Cause, Change, ChangeKind
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import certifying as certificates
from trainer.records.queries import standing as queries
from trainer.records.queries.standing import RunningCertificate
from trainer.records.tables import (
    Cabinet,
    Certificate,
    CertificateChange,
    Machine,
    Person,
    WorkplaceChange,
)


@dataclass(frozen=True)
class Asked:
    """What a manager asks for; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    certificate: str
    reason: str


@dataclass(frozen=True)
class MachineChange:
    """A machine or its procedure as it changed; without a cabinet every cabinet of the machine is touched."""

    public_id: str
    machine_id: int
    cabinet_id: int | None
    kind: str
    what: str
    since: datetime


def suspend(database: Database, asked: Asked, *, by: int, now: datetime) -> str | Refused:
    """Suspend a certificate, and with it every other of the same person and cabinet that still runs."""
    with act(database, now) as this:
        ready = _ready(this, asked, by)
        if isinstance(ready, (str, Refused)):
            return ready
        held, changer = ready
        reasons = (
            *judge_suspension(held.standing(now), held.person_id, changer),
            *too_long(asked.reason),
        )
        if reasons:
            return Refused(reasons)
        _change_all(this, held, _new(this, asked, "suspended"), by)
        return held.public_id


def reduce(
    database: Database, asked: Asked, taken: Sequence[str], *, by: int, now: datetime
) -> str | Refused:
    """Take tasks out of a certificate's scope, and out of every other of that person and cabinet that still runs."""
    with act(database, now) as this:
        ready = _ready(this, asked, by)
        if isinstance(ready, (str, Refused)):
            return ready
        held, changer = ready
        reasons = (
            *judge_reduction(held.standing(now), held.person_id, changer, taken),
            *too_long(asked.reason),
        )
        if reasons:
            return Refused(reasons)
        _change_all(this, held, replace(_new(this, asked, "reduced"), taken=tuple(sorted(set(taken)))), by)
        return held.public_id


def lift(database: Database, asked: Asked, suspension: str, *, by: int, now: datetime) -> str | Refused:
    """Lift one open suspension of a certificate; the others, if any, stay."""
    with act(database, now) as this:
        ready = _ready(this, asked, by)
        if isinstance(ready, (str, Refused)):
            return ready
        held, changer = ready
        e = certificates.evidence_of(this.db, held.person_id, held.cabinet_id, held.scheme)
        if e is None:
            return Refused(("site.other",))
        open_ = {one.public_id: one for one in held.standing(now).suspensions}
        reasons = (*judge_lift(e, open_.get(suspension), changer), *too_long(asked.reason))
        if reasons:
            return Refused(reasons)
        _write(this, held.public_id, replace(_new(this, asked, "lifted"), lifts=suspension), by)
        return held.public_id


def withdraw(database: Database, *, certificate: str, by: int, reason: str, now: datetime) -> str | Refused:
    """Withdraw a certificate for good, and with it every other of the same person and cabinet that still runs."""
    with act(database, now) as this:
        held, manager = certificates.certificate(this.db, certificate), this.db.get_one(Person, by)
        if held is None or held.site_id != manager.site_id:
            return Refused(("site.other",))
        if held.withdrawn is not None:
            return held.public_id
        reasons = (*judge_withdrawal(cast(Role, manager.role), reason), *too_long(reason))
        if reasons:
            return Refused(reasons)
        asked = Asked(str(uuid.uuid4()), certificate, reason)
        _change_all(this, held, _new(this, asked, "withdrawn"), by)
        return held.public_id


def change_machine(database: Database, changed: MachineChange, *, by: int, now: datetime) -> str | Refused:
    """Write down that a machine or its procedure changed; suspends whoever was last observed before that."""
    with act(database, now) as this:
        manager = this.db.get_one(Person, by)
        earlier = this.db.scalar(
            select(WorkplaceChange).where(WorkplaceChange.public_id == changed.public_id)
        )
        if earlier is not None:
            return earlier.public_id if earlier.by_id == by else Refused(("form.used",))
        machine = this.db.get(Machine, changed.machine_id)
        if machine is None or machine.site_id != manager.site_id or not _is_of(this, changed, machine):
            return Refused(("site.other",))
        reasons = (
            *judge_machine_change(cast(Role, manager.role), changed.what, changed.since, now),
            *too_long(changed.what),
        )
        if reasons:
            return Refused(reasons)
        row = _write_machine_change(this, changed, machine, manager)
        _suspend_touched(this, changed, row, by)
        return row.public_id


def _is_of(this: Act, changed: MachineChange, machine: Machine) -> bool:
    cabinet = None if changed.cabinet_id is None else this.db.get(Cabinet, changed.cabinet_id)
    known = changed.kind in ("machine", "procedure")
    return known and (
        changed.cabinet_id is None or (cabinet is not None and cabinet.machine_id == machine.id)
    )


def _write_machine_change(
    this: Act, changed: MachineChange, machine: Machine, manager: Person
) -> WorkplaceChange:
    row = WorkplaceChange(
        public_id=changed.public_id, site_id=machine.site_id, machine_id=machine.id,
        cabinet_id=changed.cabinet_id, kind=changed.kind, what=changed.what.strip(), since=changed.since,
        by_id=manager.id, at=this.now,
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    this.log(
        f"workplace.{changed.kind}_changed", by=manager.public_id, about=f"site:{machine.site_id}",
        change=row.public_id, machine=machine.key, since=log.moment_text(row.since), digest=digest(row.what),
    )  # fmt: skip
    return row


def _suspend_touched(this: Act, changed: MachineChange, row: WorkplaceChange, by: int) -> None:
    cause = cast(Cause, f"change.{changed.kind}")
    running = queries.running_of_machine(this.db, changed.machine_id, changed.cabinet_id, this.now)
    for one in running:
        if touched_by(changed.since, one.practical_signed_at):
            change = Change(str(uuid.uuid4()), "suspended", cause, this.now, changed.since, reason=row.what)
            _write(this, one.public_id, change, by, workplace_change_id=row.id)


def _ready(this: Act, asked: Asked, by: int) -> tuple[CertificateHeld, Changer] | str | Refused:
    """The certificate and whoever changes it; its public id alone when this form was already taken."""
    manager = this.db.get_one(Person, by)
    earlier = this.db.scalar(select(CertificateChange).where(CertificateChange.public_id == asked.public_id))
    held = certificates.certificate(this.db, asked.certificate)
    if held is None or held.site_id != manager.site_id:
        return Refused(("site.other",))
    if earlier is not None:
        mine = (earlier.by_id, earlier.person_id) == (by, held.person_id)
        return held.public_id if mine else Refused(("form.used",))
    return held, Changer(by, cast(Role, manager.role), asked.reason)


def _new(this: Act, asked: Asked, kind: ChangeKind) -> Change:
    return Change(asked.public_id, kind, "by_manager", this.now, this.now, reason=asked.reason.strip())


def _change_all(this: Act, held: CertificateHeld, change: Change, by: int) -> None:
    """Change this certificate under the form's own id, and each other running one of the pair under a new one."""
    _write(this, held.public_id, change, by)
    for one in _others(queries.running_of_pair(this.db, held.person_id, held.cabinet_id, this.now), held):
        _write(this, one, replace(change, public_id=str(uuid.uuid4())), by)


def _others(running: Iterable[RunningCertificate], held: CertificateHeld) -> list[str]:
    return [one.public_id for one in running if one.public_id != held.public_id]


def _write(
    this: Act, certificate: str, change: Change, by: int, *, workplace_change_id: int | None = None
) -> None:
    row = this.db.scalars(select(Certificate).where(Certificate.public_id == certificate)).one()
    if change.kind == "withdrawn":
        # The fold of the changes is what counts; the columns tell it to whoever reads the certificate's row alone.
        row.withdrawn_at, row.withdrawn_by_id, row.withdrawn_reason = change.at, by, change.reason
    this.db.add(
        CertificateChange(
            public_id=change.public_id, certificate_id=row.id, person_id=row.person_id, kind=change.kind,
            cause=change.cause, workplace_change_id=workplace_change_id, lifts=change.lifts,
            taken=json.dumps(list(change.taken)), reason=change.reason, since=change.since, by_id=by, at=change.at,
        )
    )  # fmt: skip
    this.db.flush()
    this.log(
        f"certificate.{change.kind}", by=this.db.get_one(Person, by).public_id,
        about=this.db.get_one(Person, row.person_id).public_id, certificate=certificate,
        change=change.public_id, cause=change.cause, lifts=change.lifts, taken=list(change.taken),
        digest=digest(change.reason),
    )  # fmt: skip
