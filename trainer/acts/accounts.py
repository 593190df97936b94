"""A person's password, PIN, language and units; leaving; and what whoever looks after the account does."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from sqlalchemy import select

from trainer.access.refusal import Refused
from trainer.access.rights import may_look_after
from trainer.access.secrets import password_faults, pin_faults
from trainer.access.throttle import name_key, pin_key
from trainer.acts.hashing import hashed, matches
from trainer.acts.transaction import Act, act
from trainer.acts.tries import begin_try, failed_try, good_try
from trainer.records.database import Database
from trainer.records.queries.sign_in import Secrets, secrets_of
from trainer.records.tables import Person


class ChangeSecret(Protocol):
    """How a person changes their own password or PIN: the new session number, or why not."""

    def __call__(
        self, database: Database, *, person_id: int, current: str, new: str, address: str, now: datetime
    ) -> int | Refused:
        """Check the current secret, take the new one."""
        ...


class GiveSecret(Protocol):
    """How somebody is given a new password or PIN by whoever looks after their account."""

    def __call__(
        self, database: Database, *, by: int, public_id: str, new: str, now: datetime
    ) -> Refused | None:
        """Give it, or say why not."""
        ...


def set_password(
    database: Database, *, person_id: int, current: str, new: str, address: str, now: datetime
) -> int | Refused:
    """Change one's own password; gives the new session number, because every other session ends."""
    mine = _mine(database, person_id)
    faults = password_faults(new, mine.sign_in_name, mine.name)
    if faults:
        return Refused(faults)
    return _change(
        database, _Proof(mine, current, address), "password_hash", new, kind="password.set", now=now
    )


def set_pin(
    database: Database, *, person_id: int, current: str, new: str, address: str, now: datetime
) -> int | Refused:
    """Change one's own PIN; gives the new session number, because every other session ends."""
    faults = pin_faults(new)
    if faults:
        return Refused(faults)
    proof = _Proof(_mine(database, person_id), current, address)
    return _change(database, proof, "pin_hash", new, kind="pin.set", now=now)


def give_password(database: Database, *, by: int, public_id: str, new: str, now: datetime) -> Refused | None:
    """Give another person a new password, for who has forgotten it or has none yet."""
    return _look_after(
        database, by, public_id, now=now, kind="password.given",
        faults=lambda row: password_faults(new, row.sign_in_name, row.name),
        change={"password_hash": hashed(new)},
    )  # fmt: skip


def give_pin(database: Database, *, by: int, public_id: str, new: str, now: datetime) -> Refused | None:
    """Give another person a new PIN."""
    return _look_after(
        database, by, public_id, now=now, kind="pin.given",
        faults=lambda _: pin_faults(new),
        change={"pin_hash": hashed(new)},
    )  # fmt: skip


def leave(database: Database, *, by: int, public_id: str, now: datetime) -> Refused | None:
    """Write down that a person has left: every session of theirs ends and no new one begins."""
    return _look_after(
        database, by, public_id, now=now, kind="person.left",
        faults=lambda row: ("account.own",) if row.id == by else (),
        change={"left_at": now},
    )  # fmt: skip


def choose(database: Database, *, person_id: int, language: str, system: str, now: datetime) -> None:
    """Choose one's language and units."""
    with act(database, now) as this:
        row = this.db.get_one(Person, person_id)
        if (row.language, row.system) == (language, system):
            return
        row.language, row.system = language, system
        this.log("person.chose", by=row.public_id, about=row.public_id, language=language, units=system)


def _mine(database: Database, person_id: int) -> Secrets:
    with database.reading() as db:
        mine = secrets_of(db, person_id)
    if mine is None:
        raise LookupError(f"there is no person {person_id}")
    return mine


@dataclass(frozen=True)
class _Proof:
    """A person who wants to change a secret, what they typed as the present one, and from where."""

    mine: Secrets
    current: str
    address: str


def _change(
    database: Database, proof: _Proof, column: str, new: str, *, kind: str, now: datetime
) -> int | Refused:
    """Check the present secret under the same limit as signing in, then change one. Who has a password proves that."""
    mine = proof.mine
    by_pin = mine.password_hash is None
    key = pin_key(mine.public_id) if by_pin else name_key(mine.sign_in_name)
    tried = begin_try(database, key=key, address=proof.address, now=now)
    if isinstance(tried, Refused):
        return tried
    fine = matches(mine.pin_hash if by_pin else mine.password_hash, proof.current)
    new_hash = hashed(new)
    with act(database, now) as this:
        if not fine:
            failed_try(this, tried, mine.public_id)
            return Refused(("secret.current_wrong",))
        good_try(this, tried)
        row = this.db.get_one(Person, mine.person_id)
        return _rewrite(this, row, row, kind, {column: new_hash})


def _look_after(
    database: Database,
    by: int,
    public_id: str,
    *,
    now: datetime,
    kind: str,
    faults: Callable[[Person], Sequence[str]],
    change: dict[str, object],
) -> Refused | None:
    with act(database, now) as this:
        actor = this.db.get_one(Person, by)
        row = this.db.scalar(
            select(Person).where(Person.public_id == public_id, Person.site_id == actor.site_id)
        )
        if row is None or not may_look_after(actor.role, row.role):  # type: ignore[arg-type]
            return Refused(("account.not_yours",))
        reasons = ("account.left",) if row.left_at is not None else tuple(faults(row))
        if reasons:
            return Refused(reasons)
        _rewrite(this, actor, row, kind, change)
        return None


def _rewrite(this: Act, actor: Person, row: Person, kind: str, change: dict[str, object]) -> int:
    """Write the change, end every open session, say so in the log."""
    for column, value in change.items():
        setattr(row, column, value)
    row.session_number += 1
    this.db.flush()
    this.log(kind, by=actor.public_id, about=row.public_id)
    return row.session_number
