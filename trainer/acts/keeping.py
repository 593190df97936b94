"""Legal holds, and forgetting a person: one proposes it, another carries it out, and the record log still holds."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime
from typing import cast

import rfc8785
from sqlalchemy import delete, select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.access.throttle import name_key, pin_key
from trainer.acts.free_text import digest, too_long
from trainer.acts.transaction import Act, act
from trainer.certificates.keeping import judge_carrying_out, judge_hold, judge_proposal
from trainer.records.database import Database
from trainer.records.forgetting import take_out
from trainer.records.queries.keeping import leaver
from trainer.records.tables import ForgetProposal, LegalHold, Person, SignInTry


@dataclass(frozen=True)
class Asked:
    """A hold or a proposal as it is filled in; `public_id` is made with the form, so sending it twice is one act.

    person: the public id of whom it is about; None, for a hold alone: the whole site
    """

    public_id: str
    person: str | None
    reason: str


def new_salt() -> str:
    """128 bits of chance: without them nobody can try names against the digest in the log."""
    return secrets.token_hex(16)


def name_digest(name: str, salt: str) -> str:
    """What the log keeps of a name: SHA-256 of the canonical JSON of name and salt."""
    return hashlib.sha256(rfc8785.dumps({"name": name, "salt": salt})).hexdigest()


def place_hold(database: Database, asked: Asked, *, by: int, now: datetime) -> str | Refused:
    """Stop forgetting, for one person or for the whole site; gives the hold's public id."""
    with act(database, now) as this:
        actor, person = this.db.get_one(Person, by), _person(this, asked.person)
        earlier = this.db.scalar(select(LegalHold).where(LegalHold.public_id == asked.public_id))
        if earlier is not None:
            return earlier.public_id if earlier.placed_by_id == by else Refused(("form.used",))
        if asked.person is not None and (person is None or person.site_id != actor.site_id):
            return Refused(("site.other",))
        reasons = (*judge_hold(cast(Role, actor.role), asked.reason), *too_long(asked.reason))
        if reasons:
            return Refused(reasons)
        this.db.add(
            LegalHold(
                public_id=asked.public_id, site_id=actor.site_id, person_id=person.id if person else None,
                reason=asked.reason.strip(), placed_by_id=by, placed_at=now,
            )
        )  # fmt: skip
        _log(this, "hold.placed", actor, person, hold=asked.public_id, digest=digest(asked.reason.strip()))
        return asked.public_id


def lift_hold(database: Database, *, hold: str, reason: str, by: int, now: datetime) -> str | Refused:
    """Lift a hold; gives its public id."""
    with act(database, now) as this:
        actor = this.db.get_one(Person, by)
        row = this.db.scalar(select(LegalHold).where(LegalHold.public_id == hold))
        if row is None or row.site_id != actor.site_id:
            return Refused(("site.other",))
        reasons = (
            *judge_hold(cast(Role, actor.role), reason, open_=row.lifted_at is None),
            *too_long(reason),
        )
        if reasons:
            return Refused(reasons)
        row.lifted_by_id, row.lifted_at, row.lifted_reason = by, now, reason.strip()
        person = this.db.get_one(Person, row.person_id) if row.person_id else None
        _log(this, "hold.lifted", actor, person, hold=hold, digest=digest(reason.strip()))
        return hold


def propose_forgetting(database: Database, asked: Asked, *, by: int, now: datetime) -> str | Refused:
    """Propose to forget a person; nothing is taken out yet. Gives the proposal's public id."""
    with act(database, now) as this:
        actor, person = this.db.get_one(Person, by), _person(this, asked.person)
        earlier = this.db.scalar(select(ForgetProposal).where(ForgetProposal.public_id == asked.public_id))
        if earlier is not None:
            return earlier.public_id if earlier.proposed_by_id == by else Refused(("form.used",))
        if person is None or person.site_id != actor.site_id:
            return Refused(("site.other",))
        kept, role = leaver(this.db, person.id).kept, cast(Role, actor.role)
        waiting = this.db.scalar(
            select(ForgetProposal.id).where(
                ForgetProposal.person_id == person.id, ForgetProposal.closed_at.is_(None)
            )
        )
        reasons = (
            *judge_proposal(kept, role, asked.reason, own=person.id == by, now=now),
            *(("forget.waits",) if waiting is not None else ()),
            *too_long(asked.reason),
        )
        if reasons:
            return Refused(reasons)
        this.db.add(
            ForgetProposal(
                public_id=asked.public_id, person_id=person.id, reason=asked.reason.strip(), proposed_by_id=by,
                proposed_at=now,
            )
        )  # fmt: skip
        reason = digest(asked.reason.strip())
        _log(this, "person.forget_proposed", actor, person, proposal=asked.public_id, digest=reason)
        return asked.public_id


def drop_proposal(database: Database, *, proposal: str, by: int, now: datetime) -> str | Refused:
    """Close a proposal without forgetting anybody; gives its public id."""
    with act(database, now) as this:
        actor, row, person = _proposal(this, proposal, by)
        if row is None or person is None:
            return Refused(("site.other",))
        if row.closed_at is not None:
            return Refused(("forget.closed",))
        row.closed_by_id, row.closed_at = by, now
        _log(this, "person.forget_dropped", actor, person, proposal=proposal)
        return proposal


def forget_person(database: Database, *, proposal: str, by: int, now: datetime) -> str | Refused:
    """Take out the person's name, sign-in, secrets and every free text about them; gives their public id.

    What is in the record log stays, and holds: it never had the name. Backups and exports that were taken before
    still have it.
    """
    with act(database, now) as this:
        actor, row, person = _proposal(this, proposal, by)
        if row is None or person is None:
            return Refused(("site.other",))
        reasons = judge_carrying_out(
            leaver(this.db, person.id).kept, cast(Role, actor.role), own=person.id == by,
            proposed=row.proposed_by_id == by, open_=row.closed_at is None, now=now,
        )  # fmt: skip
        if reasons:
            return Refused(reasons)
        row.closed_by_id, row.closed_at, row.carried_out = by, now, True
        _blank(this, person)
        touched = take_out(this.db, person.id)
        _log(this, "person.forgotten", actor, person, proposal=proposal, rows=touched)
        return person.public_id


def _blank(this: Act, person: Person) -> None:
    keys = (name_key(person.sign_in_name), pin_key(person.public_id))
    this.db.execute(delete(SignInTry).where(SignInTry.key.in_(keys)))
    # The beginning of the number that the log knows them by: whoever reads a page can still tell two people apart.
    person.name, person.sign_in_name = f"#{person.public_id[:8]}", f"forgotten-{person.public_id}"
    person.password_hash = person.pin_hash = person.name_salt = None
    person.session_number, person.forgotten_at = person.session_number + 1, this.now
    this.db.flush()


def _person(this: Act, public_id: str | None) -> Person | None:
    if public_id is None:
        return None
    return this.db.scalar(select(Person).where(Person.public_id == public_id))


def _proposal(this: Act, proposal: str, by: int) -> tuple[Person, ForgetProposal | None, Person | None]:
    actor = this.db.get_one(Person, by)
    row = this.db.scalar(select(ForgetProposal).where(ForgetProposal.public_id == proposal))
    person = None if row is None else this.db.get_one(Person, row.person_id)
    if person is not None and person.site_id != actor.site_id:
        return actor, None, None
    return actor, row, person


def _log(this: Act, kind: str, actor: Person, person: Person | None, **facts: str | int) -> None:
    about = f"site:{actor.site_id}" if person is None else person.public_id
    this.log(kind, by=actor.public_id, about=about, **facts)
