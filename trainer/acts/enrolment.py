"""Enrolling a person with what they sign in with, after every rule about names and secrets."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.access.rights import may_look_after
from trainer.access.secrets import password_faults, pin_faults, sign_in_name_faults
from trainer.access.throttle import folded
from trainer.acts.hashing import hashed
from trainer.acts.keeping import name_digest, new_salt
from trainer.acts.transaction import SYSTEM, act
from trainer.records.database import Database
from trainer.records.tables import Person


@dataclass(frozen=True)
class Newcomer:
    """A person to enrol, as somebody wrote them down."""

    name: str
    sign_in_name: str
    role: Role
    password: str | None = None
    pin: str | None = None
    language: str = "en"
    system: str = "us"
    trained_by: str | None = None


def enrol_newcomer(
    database: Database, *, site_id: int, by: int | None, who: Newcomer, now: datetime
) -> str | Refused:
    """Enrol a person and give their public id. `by` is None when the installation itself does it."""
    # Hashing takes a tenth of a second each: before the write lock, not under it.
    salt = new_salt()
    password_hash = hashed(who.password) if who.password else None
    pin_hash = hashed(who.pin) if who.pin else None
    with act(database, now) as this:
        reasons = (*_own_faults(who), *_faults_here(this.db, site_id, by, who))
        if reasons:
            return Refused(reasons)
        row = Person(
            public_id=str(uuid.uuid4()), site_id=site_id, name=who.name.strip(), role=who.role,
            sign_in_name=folded(who.sign_in_name), password_hash=password_hash, pin_hash=pin_hash,
            language=who.language, system=who.system, joined_at=now, name_salt=salt,
            trained_by_id=_at_site(this.db, site_id, who.trained_by) if who.trained_by else None,
        )  # fmt: skip
        this.db.add(row)
        this.db.flush()
        # With name and salt from the person's row the digest shows who this was; without them it shows nothing.
        this.log(
            "person.enrolled", by=_public_id(this.db, by), about=row.public_id, role=who.role,
            name_sha256=name_digest(row.name, salt),
        )  # fmt: skip
        return row.public_id


def _own_faults(who: Newcomer) -> tuple[str, ...]:
    secrets = (
        *(password_faults(who.password, who.sign_in_name, who.name) if who.password else ()),
        *(pin_faults(who.pin) if who.pin else ()),
    )
    return (
        *(() if who.name.strip() else ("person.no_name",)),
        *sign_in_name_faults(who.sign_in_name),
        *(secrets if who.password or who.pin else ("person.no_secret",)),
    )


def _faults_here(db: Session, site_id: int, by: int | None, who: Newcomer) -> tuple[str, ...]:
    actor = db.get_one(Person, by) if by is not None else None
    taken = db.scalar(select(Person.id).where(Person.sign_in_name == folded(who.sign_in_name)))
    stranger = who.trained_by is not None and _at_site(db, site_id, who.trained_by) is None
    found = {
        "account.not_yours": actor is not None
        and not (actor.site_id == site_id and may_look_after(actor.role, who.role)),  # type: ignore[arg-type]
        "sign_in_name.taken": taken is not None,
        "person.trainer_unknown": stranger,
    }
    return tuple(key for key, holds in found.items() if holds)


def _at_site(db: Session, site_id: int, public_id: str) -> int | None:
    return db.scalar(
        select(Person.id).where(
            Person.public_id == public_id, Person.site_id == site_id, Person.left_at.is_(None)
        )
    )


def _public_id(db: Session, by: int | None) -> str:
    return SYSTEM if by is None else db.get_one(Person, by).public_id
