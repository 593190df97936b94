"""Tries of a secret, counted in the database so that every worker counts the same ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete, update
from sqlalchemy.orm import Session

from trainer.access.refusal import Refused
from trainer.access.throttle import ADDRESS, MEMORY, NAME, Patience, address_key, begins, wait_until
from trainer.acts.transaction import Act, act
from trainer.records.database import Database
from trainer.records.queries.sign_in import failed_tries
from trainer.records.tables import SignInTry

KEPT = timedelta(days=7)


@dataclass(frozen=True)
class Try:
    """A try that was let through: its rows, counted as failed until it proves good."""

    key: str
    address: str
    row_ids: tuple[int, ...]


def begin_try(database: Database, *, key: str, address: str, now: datetime) -> Try | Refused:
    """Count a try before it is checked, so that many at once cannot slip past the limit; or say when to come back."""
    where = address_key(address)
    with act(database, now) as this:
        until = _longest_wait(this.db, ((key, NAME), (where, ADDRESS)), now)
        if until is not None:
            return Refused(("sign_in.wait",), until)
        this.db.execute(delete(SignInTry).where(SignInTry.at < now - KEPT))
        rows = [SignInTry(key=one, at=now, good=False) for one in (key, where)]
        this.db.add_all(rows)
        this.db.flush()
        return Try(key, where, tuple(row.id for row in rows))


def good_try(this: Act, tried: Try) -> None:
    """The secret was right: earlier failures of the key no longer count, and the address is not blamed."""
    own, at_address = tried.row_ids
    this.db.execute(update(SignInTry).where(SignInTry.id == own).values(good=True))
    # An address's failures stay: else one known password would clear the way for guessing the others.
    this.db.execute(delete(SignInTry).where(SignInTry.id == at_address))


def failed_try(this: Act, tried: Try, about: str) -> None:
    """The secret was wrong; the log says so only when this failure begins a wait."""
    for key, patience, whom in ((tried.key, NAME, about), (tried.address, ADDRESS, "address")):
        failed = failed_tries(this.db, key, this.now - MEMORY)
        if begins(failed, this.now, patience):
            this.log("sign_in.held", by="nobody", about=whom, tries=len(failed))


def _longest_wait(db: Session, kept: Sequence[tuple[str, Patience]], now: datetime) -> datetime | None:
    waits = [wait_until(failed_tries(db, key, now - MEMORY), now, patience) for key, patience in kept]
    return max((until for until in waits if until is not None), default=None)
