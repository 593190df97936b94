"""Signing with one's own password: the try is counted before it is checked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from trainer.access.refusal import Refused
from trainer.access.throttle import name_key
from trainer.acts.hashing import matches
from trainer.acts.transaction import Act, act
from trainer.acts.tries import begin_try, failed_try, good_try
from trainer.records.database import Database
from trainer.records.queries.sign_in import secrets_of


@dataclass(frozen=True)
class Signature:
    """Who signs, with what they typed, from which address."""

    by: int
    password: str
    address: str


def sign(
    database: Database, signature: Signature, now: datetime, write: Callable[[Act], str | Refused]
) -> str | Refused:
    """Write in one transaction if the password is the signer's own; gives what `write` gives."""
    with database.reading() as db:
        signer = secrets_of(db, signature.by)
    if signer is None:
        raise LookupError(f"there is no person {signature.by}")
    tried = begin_try(database, key=name_key(signer.sign_in_name), address=signature.address, now=now)
    if isinstance(tried, Refused):
        return tried
    fine = matches(signer.password_hash, signature.password)
    with act(database, now) as this:
        if not fine:
            failed_try(this, tried, signer.public_id)
            return Refused(("signature.wrong",))
        good_try(this, tried)
        return write(this)
