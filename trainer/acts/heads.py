"""Signing a head of the record log: at every certificate, and once a day where something came."""

from __future__ import annotations

from datetime import datetime

from trainer.acts.keys import key_in_use, unusable
from trainer.acts.transaction import Act, act
from trainer.certificates.signed_head import SignedHead
from trainer.records import heads
from trainer.records.database import Database


def sign_head(this: Act, signing_key: bytes) -> SignedHead | None:
    """Sign the log as it stands in this act and keep the head; call it after the act's last entry.

    None where there is no log, or where the key was retired while this program still held it.
    """
    if unusable(this, signing_key):
        return None
    key_in_use(this, signing_key)  # its first use is logged, and so lies under the very head that it signs
    return heads.write_head(this.db, signing_key=signing_key, at=this.now)


def sign_daily(database: Database, signing_key: bytes, now: datetime) -> SignedHead | None:
    """Sign a head if one is due; several sweepers at once sign one."""
    with database.reading() as db:
        if not heads.is_due(db, now):
            return None
    with act(database, now) as this:
        # Asked again under the write lock: another sweeper, or a certificate, may have been first.
        return sign_head(this, signing_key) if heads.is_due(this.db, now) else None
