"""Putting one small picture beside a signed practical."""

from __future__ import annotations

import base64
import hashlib
import uuid
from datetime import datetime

from sqlalchemy import select

from trainer.access.refusal import Refused
from trainer.acts.transaction import act
from trainer.certificates.observing import PICTURE_WITHIN, judge_picture
from trainer.certificates.picture import small_picture
from trainer.records.database import Database
from trainer.records.tables import Person, Practical, PracticalPicture


def add_picture(database: Database, *, practical: str, data: bytes, by: int, now: datetime) -> str | Refused:
    """Keep a picture beside a practical that one signed oneself, once; gives the practical's public id."""
    small = small_picture(data)
    with act(database, now) as this:
        row = this.db.scalar(select(Practical).where(Practical.public_id == practical))
        observer = this.db.get_one(Person, by)
        if row is None or this.db.get_one(Person, row.person_id).site_id != observer.site_id:
            return Refused(("site.other",))
        kept = this.db.scalar(select(PracticalPicture).where(PracticalPicture.practical_id == row.id))
        sha256 = hashlib.sha256(small or b"").hexdigest()
        if kept is not None and (kept.by_id, kept.sha256) == (by, sha256):
            return row.public_id
        reasons = judge_picture(
            mine=row.observer_id == by, there=kept is not None, readable=small is not None,
            late=now >= row.signed_at + PICTURE_WITHIN,
        )  # fmt: skip
        if reasons or small is None:
            return Refused(reasons)
        this.db.add(
            PracticalPicture(
                public_id=str(uuid.uuid4()), practical_id=row.id, person_id=row.person_id,
                jpeg=base64.b64encode(small).decode("ascii"), sha256=sha256, by_id=by, at=now,
            )
        )  # fmt: skip
        this.log(
            "practical.pictured", by=observer.public_id, about=this.db.get_one(Person, row.person_id).public_id,
            practical=row.public_id, sha256=sha256,
        )  # fmt: skip
        return row.public_id
