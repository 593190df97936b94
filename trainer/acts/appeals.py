"""Filing an appeal with its frozen evidence, taking it on, and deciding it."""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import cast

import rfc8785
from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.appeal_pack import make_pack, rescored
from trainer.acts.exams import ExamTools
from trainer.acts.free_text import digest, too_long
from trainer.acts.transaction import Act, act
from trainer.certificates.appeals import (
    Adverse,
    Filing,
    Hearing,
    judge_filing,
    judge_outcome,
    judge_taking,
)
from trainer.records.database import Database
from trainer.records.queries import appeals as queries
from trainer.records.queries.appeals import AppealFacts
from trainer.records.queries.hands import hands_on
from trainer.records.tables import Appeal, AppealStep, Person, Site


@dataclass(frozen=True)
class Filed:
    """An appeal as it is filled in; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    kind: str
    against: str
    grounds: str


def file_appeal(
    database: Database, filed: Filed, *, by: int, tools: ExamTools, now: datetime
) -> str | Refused:
    """File an appeal and freeze the evidence behind it; gives its public id. The evidence's hash stands in the log."""
    with database.reading() as db:
        against = queries.adverse(db, filed.kind, filed.against)
    # The exam is closed and never changes, so it may be scored again before the write lock is held.
    again = None if against is None else rescored(database, against, tools)
    with act(database, now) as this:
        filer = this.db.get_one(Person, by)
        earlier = this.db.scalar(select(Appeal).where(Appeal.public_id == filed.public_id))
        if earlier is not None:
            return earlier.public_id if earlier.filed_by_id == by else Refused(("form.used",))
        if against is not None and this.db.get_one(Person, against.person_id).site_id != filer.site_id:
            return Refused(("site.other",))
        reasons = (*_reasons(this, against, filed, filer), *too_long(filed.grounds))
        if reasons or against is None:
            return Refused(reasons)
        row = _row(filed, against, by, now)
        row.pack = rfc8785.dumps(make_pack(this, filed.public_id, against, again)).decode("utf-8")
        row.pack_hash = pack_hash(row.pack)
        this.db.add(row)
        this.db.flush()
        this.log(
            "appeal.filed", by=filer.public_id, about=this.db.get_one(Person, row.person_id).public_id,
            appeal=row.public_id, against=row.against, against_kind=row.against_kind, pack=row.pack_hash,
            digest=digest(row.grounds),
        )  # fmt: skip
        return row.public_id


def pack_hash(pack: str) -> str:
    """The SHA-256 of a pack, as the log keeps it."""
    return hashlib.sha256(pack.encode("utf-8")).hexdigest()


def take_appeal(database: Database, appeal: str, *, by: int, now: datetime) -> str | Refused:
    """Acknowledge an appeal and take it on, or take it over from whoever had it."""
    with act(database, now) as this:
        one, handler = queries.appeal(this.db, appeal), this.db.get_one(Person, by)
        if one is None or one.site_id != handler.site_id:
            return Refused(("site.other",))
        if one.state == "taken" and one.handler is not None and one.handler.by_id == by:
            return one.public_id
        reasons = judge_taking(
            one.person_id,
            hands_on(this.db, one.person_id),
            one.state,
            by_id=by,
            role=cast(Role, handler.role),
        )
        if reasons:
            return Refused(reasons)
        _step(this, one, "taken", handler)
        return one.public_id


def decide_appeal(
    database: Database, appeal: str, *, outcome: str, reason: str, by: int, now: datetime
) -> str | Refused:
    """Decide an appeal. Nothing else changes by that: a lift, a new decision or a new exam is its own act."""
    with act(database, now) as this:
        one, handler = queries.appeal(this.db, appeal), this.db.get_one(Person, by)
        if one is None or one.site_id != handler.site_id:
            return Refused(("site.other",))
        said = one.outcome
        if said is not None and (said.by_id, said.outcome, said.reason) == (by, outcome, reason.strip()):
            return one.public_id
        taken = one.handler
        hearing = Hearing(one.state, None if taken is None else taken.by_id, hands_on(this.db, one.person_id))
        reasons = (*judge_outcome(hearing, by, outcome, reason), *too_long(reason))
        if reasons:
            return Refused(reasons)
        _step(this, one, "decided", handler, outcome=outcome, reason=reason.strip())
        return one.public_id


def _reasons(this: Act, against: Adverse | None, filed: Filed, filer: Person) -> tuple[str, ...]:
    zone = this.db.get_one(Site, filer.site_id).time_zone
    filing = Filing(
        filer.id, cast(Role, filer.role), filed.grounds, queries.is_appealed(this.db, filed.against)
    )
    return judge_filing(against, filing, this.now, zone)


def _row(filed: Filed, against: Adverse, by: int, now: datetime) -> Appeal:
    return Appeal(
        public_id=filed.public_id, person_id=against.person_id, against_kind=against.kind,
        against=against.public_id, grounds=filed.grounds.strip(), filed_by_id=by, filed_at=now,
    )  # fmt: skip


def _step(this: Act, one: AppealFacts, kind: str, by: Person, *, outcome: str = "", reason: str = "") -> None:
    row = this.db.scalars(select(Appeal).where(Appeal.public_id == one.public_id)).one()
    step = AppealStep(
        public_id=str(uuid.uuid4()), appeal_id=row.id, person_id=row.person_id, kind=kind,
        outcome=outcome or None, reason=reason, by_id=by.id, at=this.now,
    )  # fmt: skip
    this.db.add(step)
    this.log(
        f"appeal.{outcome or kind}", by=by.public_id, about=one.person_public_id, appeal=one.public_id,
        step=step.public_id, pack=one.pack_hash, digest=digest(reason),
    )  # fmt: skip
