"""Signing in by password or by PIN on a tablet of the site, and signing out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import update

from trainer.access.refusal import Refused
from trainer.access.throttle import folded, name_key, pin_key
from trainer.acts.hashing import hashed, matches, needs_new_hash, token_hash
from trainer.acts.transaction import Act, act
from trainer.acts.tries import Try, begin_try, failed_try, good_try
from trainer.records.database import Database
from trainer.records.queries.sign_in import (
    EnrolledTablet,
    Secrets,
    secrets_by_name,
    secrets_by_public_id,
    tablet_by_token,
)
from trainer.records.tables import Person

NOBODY = "nobody"


@dataclass(frozen=True)
class Entered:
    """A person who has just signed in; the session number is the one their session must carry."""

    person_id: int
    session_number: int
    tablet_id: int | None
    by_pin: bool


def sign_in_by_password(
    database: Database,
    *,
    sign_in_name: str,
    password: str,
    address: str,
    tablet_token: str | None = None,
    now: datetime,
) -> Entered | Refused:
    """Let a person in by their password, from anywhere."""
    tried = begin_try(database, key=name_key(sign_in_name), address=address, now=now)
    if isinstance(tried, Refused):
        return tried
    with database.reading() as db:
        person = secrets_by_name(db, folded(sign_in_name))
        tablet = _tablet(tablet_token, lambda token: tablet_by_token(db, token))
    here = tablet if person and tablet and tablet.site_id == person.site_id else None
    present = person if person and person.left_at is None else None
    fine = matches(present.password_hash if present else None, password)
    return _finish(database, tried, person, password if fine else None, here, by_pin=False, now=now)


def sign_in_by_pin(
    database: Database, *, public_id: str, pin: str, tablet_token: str | None, address: str, now: datetime
) -> Entered | Refused:
    """Let a person in by their PIN: only on an enrolled tablet of their own site."""
    with database.reading() as db:
        person = secrets_by_public_id(db, public_id)
        tablet = _tablet(tablet_token, lambda token: tablet_by_token(db, token))
    if tablet is None or person is None or person.site_id != tablet.site_id:
        return Refused(("sign_in.no_tablet",))
    tried = begin_try(database, key=pin_key(public_id), address=address, now=now)
    if isinstance(tried, Refused):
        return tried
    fine = matches(person.pin_hash if person.left_at is None else None, pin)
    return _finish(database, tried, person, pin if fine else None, tablet, by_pin=True, now=now)


def sign_out(database: Database, *, person_id: int, now: datetime) -> None:
    """Say in the log that a person signed out; their browser forgets the session."""
    with act(database, now) as this:
        person = this.db.get_one(Person, person_id)
        this.log("sign_in.out", by=person.public_id, about=person.public_id)


def _tablet(token: str | None, find: Callable[[str], EnrolledTablet | None]) -> EnrolledTablet | None:
    return find(token_hash(token)) if token else None


def _finish(
    database: Database,
    tried: Try,
    person: Secrets | None,
    right_secret: str | None,
    tablet: EnrolledTablet | None,
    *,
    by_pin: bool,
    now: datetime,
) -> Entered | Refused:
    """Write down how the try ended. The same work is done for a name that nobody has."""
    with act(database, now) as this:
        if person is None or right_secret is None:
            failed_try(this, tried, person.public_id if person else NOBODY)
            return Refused(("sign_in.wrong_pin" if by_pin else "sign_in.wrong",))
        good_try(this, tried)
        return _let_in(this, person, right_secret, tablet, by_pin=by_pin)


def _let_in(
    this: Act, person: Secrets, secret: str, tablet: EnrolledTablet | None, *, by_pin: bool
) -> Entered:
    row = this.db.get_one(Person, person.person_id)
    column, stored = ("pin_hash", row.pin_hash) if by_pin else ("password_hash", row.password_hash)
    if stored is not None and needs_new_hash(stored):
        this.db.execute(update(Person).where(Person.id == row.id).values({column: hashed(secret)}))
    this.log(
        "sign_in.by_pin" if by_pin else "sign_in.by_password", by=row.public_id, about=row.public_id,
        tablet=tablet.id if tablet else None,
    )  # fmt: skip
    return Entered(row.id, row.session_number, tablet.id if tablet else None, by_pin)
