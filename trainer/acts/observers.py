"""Saying who may observe and ending that, looking at marks before the second observer, judging two that differ."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.free_text import digest, too_long
from trainer.acts.practicals import unkept
from trainer.acts.transaction import Act, act
from trainer.certificates.observing import (
    FirstSigned,
    Qualifying,
    judge_ending,
    judge_look,
    judge_qualifying,
    marks_hidden,
    observer_lacks,
)
from trainer.records.database import Database
from trainer.records.log import moment_text
from trainer.records.queries import practicals as queries
from trainer.records.tables import (
    Machine,
    ObserverQualification,
    Person,
    Practical,
    PracticalLook,
    PracticalShown,
)


@dataclass(frozen=True)
class Qualified:
    """Who may observe on which machine; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    person_id: int
    machine_id: int
    grounds: str
    until: datetime


def qualify(database: Database, asked: Qualified, *, by: int, now: datetime) -> str | Refused:
    """Say that a person may observe practicals on a machine; gives the qualification's public id."""
    with act(database, now) as this:
        q = ObserverQualification
        earlier = this.db.scalar(select(q).where(q.public_id == asked.public_id))
        if earlier is not None:
            mine = (earlier.by_id, earlier.person_id) == (by, asked.person_id)
            return earlier.public_id if mine else Refused(("form.used",))
        manager, person = this.db.get_one(Person, by), this.db.get_one(Person, asked.person_id)
        machine = this.db.get_one(Machine, asked.machine_id)
        if len({manager.site_id, person.site_id, machine.site_id}) > 1:
            return Refused(("site.other",))
        qualifying = Qualifying(
            by, cast(Role, manager.role), person.id, cast(Role, person.role), person.left_at is not None,
            asked.grounds, asked.until,
        )  # fmt: skip
        reasons = (
            *judge_qualifying(qualifying, now),
            *too_long(asked.grounds),
            *unkept(asked.grounds),
        )
        if reasons:
            return Refused(reasons)
        row = q(
            public_id=asked.public_id, person_id=person.id, machine_id=machine.id, grounds=asked.grounds.strip(),
            since=now, until=asked.until, by_id=by,
        )  # fmt: skip
        this.db.add(row)
        this.log(
            "observer.qualified", by=manager.public_id, about=person.public_id, qualification=row.public_id,
            machine=machine.key, until=moment_text(row.until), digest=digest(row.grounds),
        )  # fmt: skip
        return row.public_id


def end_qualification(
    database: Database, *, qualification: str, by: int, reason: str, now: datetime
) -> str | Refused:
    """End a qualification at once; what was signed under it stays as it is. One that was ended stays so."""
    with act(database, now) as this:
        q = ObserverQualification
        row, manager = (
            this.db.scalar(select(q).where(q.public_id == qualification)),
            this.db.get_one(Person, by),
        )
        machine = None if row is None else this.db.get_one(Machine, row.machine_id)
        if row is None or machine is None or machine.site_id != manager.site_id:
            return Refused(("site.other",))
        if row.ended_at is not None:
            return row.public_id
        reasons = (*judge_ending(cast(Role, manager.role), reason), *too_long(reason), *unkept(reason))
        if reasons:
            return Refused(reasons)
        row.ended_at, row.ended_by_id, row.ended_reason = now, by, reason.strip()
        this.log(
            "observer.ended", by=manager.public_id, about=this.db.get_one(Person, row.person_id).public_id,
            qualification=row.public_id, machine=machine.key, digest=digest(row.ended_reason),
        )  # fmt: skip
        return row.public_id


def show_marks(database: Database, *, practical: str, by: int, now: datetime) -> str | Refused:
    """Show the first observer's marks to somebody who could be the second: from then on they cannot."""
    with act(database, now) as this:
        found = _practical(this, practical, by)
        if found is None:
            return Refused(("site.other",))
        row, first = found
        lacks = observer_lacks(queries.qualifications_of(this.db, by), row.machine_id, now)
        if marks_hidden(first, by, lacks, now):
            this.db.add(PracticalShown(practical_id=row.id, person_id=by, at=now))
            this.log(
                "practical.marks_shown", by=this.db.get_one(Person, by).public_id,
                about=this.db.get_one(Person, row.person_id).public_id, practical=row.public_id,
            )  # fmt: skip
        return row.public_id


@dataclass(frozen=True)
class LookedAt:
    """What a manager says of a practical whose observers differ: whether the first one's marks count after all."""

    public_id: str
    practical: str
    counts: bool | None
    reason: str


def look(database: Database, asked: LookedAt, *, by: int, now: datetime) -> str | Refused:
    """Say whether a practical counts whose two observers differ on a critical step; gives the practical's public id."""
    with act(database, now) as this:
        found, manager = _practical(this, asked.practical, by), this.db.get_one(Person, by)
        if found is None:
            return Refused(("site.other",))
        row, first = found
        earlier = this.db.scalar(select(PracticalLook).where(PracticalLook.public_id == asked.public_id))
        if earlier is not None:
            mine = (earlier.by_id, earlier.practical_id) == (by, row.id)
            return row.public_id if mine else Refused(("form.used",))
        role = cast(Role, manager.role)
        reasons = (
            *judge_look(first, by_id=by, by_role=role, reason=asked.reason, counts=asked.counts),
            *too_long(asked.reason),
            *unkept(asked.reason),
        )
        if reasons:
            return Refused(reasons)
        _write_look(this, row, asked, manager)
        return row.public_id


def _write_look(this: Act, row: Practical, asked: LookedAt, manager: Person) -> None:
    kept = PracticalLook(
        public_id=asked.public_id, practical_id=row.id, person_id=row.person_id, counts=bool(asked.counts),
        reason=asked.reason.strip(), by_id=manager.id, at=this.now,
    )  # fmt: skip
    this.db.add(kept)
    this.log(
        "practical.counts" if kept.counts else "practical.does_not_count", by=manager.public_id,
        about=this.db.get_one(Person, row.person_id).public_id, practical=row.public_id, look=kept.public_id,
        digest=digest(kept.reason),
    )  # fmt: skip


def _practical(this: Act, public_id: str, by: int) -> tuple[Practical, FirstSigned] | None:
    """A practical of the site of whoever acts."""
    row = this.db.scalar(select(Practical).where(Practical.public_id == public_id))
    first = queries.first_signed(this.db, public_id)
    if row is None or first is None:
        return None
    here = this.db.get_one(Person, by).site_id == this.db.get_one(Person, row.person_id).site_id
    return (row, first) if here else None
