"""Enrolling and withdrawing the tablets that a site shares."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select

from trainer.access.refusal import Refused
from trainer.acts.hashing import new_token, token_hash
from trainer.acts.transaction import act
from trainer.records.database import Database
from trainer.records.tables import Person, Tablet


def enrol_tablet(database: Database, *, by: int, name: str, now: datetime) -> str:
    """Enrol the tablet in hand; gives the token it must keep. Only its SHA-256 is stored."""
    token = new_token()
    with act(database, now) as this:
        actor = this.db.get_one(Person, by)
        row = Tablet(
            site_id=actor.site_id, name=name, token_hash=token_hash(token), enrolled_by_id=by, enrolled_at=now
        )
        this.db.add(row)
        this.db.flush()
        this.log("tablet.enrolled", by=actor.public_id, about=f"tablet:{row.id}")
        return token


def withdraw_tablet(database: Database, *, by: int, tablet_id: int, now: datetime) -> Refused | None:
    """Withdraw a tablet: PINs no longer work on it and its open sessions end. A second time changes nothing."""
    with act(database, now) as this:
        actor = this.db.get_one(Person, by)
        row = this.db.scalar(select(Tablet).where(Tablet.id == tablet_id, Tablet.site_id == actor.site_id))
        if row is None:
            return Refused(("tablet.not_yours",))
        if row.withdrawn_at is None:
            row.withdrawn_at = now
            this.log("tablet.withdrawn", by=actor.public_id, about=f"tablet:{row.id}")
        return None
