"""Putting one small picture beside a signed practical, and keeping the photos that a site's own questions show."""

from __future__ import annotations

import base64
import hashlib
import uuid
from datetime import datetime, timedelta

from sqlalchemy import delete, exists, select

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.acts.transaction import act
from trainer.certificates.observing import PICTURE_WITHIN, judge_picture
from trainer.certificates.picture import NoPictureError, small_picture
from trainer.records.database import Database
from trainer.records.tables import (
    OwnQuestion,
    OwnQuestionPhoto,
    OwnQuestionText,
    Person,
    Practical,
    PracticalPicture,
)

LONG_SIDE_OF_A_PHOTO = 1600
WITHOUT_A_TEXT = timedelta(days=1)  # so long a photo waits for the text that names it to be saved


def add_picture(database: Database, *, practical: str, data: bytes, by: int, now: datetime) -> str | Refused:
    """Keep a picture beside a practical that one signed oneself, once; gives the practical's public id."""
    small = _small_or_none(data)
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
                jpeg=_text(small), sha256=sha256, by_id=by, at=now,
            )
        )  # fmt: skip
        this.log(
            "practical.pictured", by=observer.public_id, about=this.db.get_one(Person, row.person_id).public_id,
            practical=row.public_id, sha256=sha256,
        )  # fmt: skip
        return row.public_id


def _small_or_none(data: bytes) -> bytes | None:
    try:
        return small_picture(data)
    except NoPictureError:
        return None


def _text(jpeg: bytes) -> str:
    return base64.b64encode(jpeg).decode("ascii")


def keep_photo(database: Database, *, member: Member, data: bytes, now: datetime) -> str | Refused:
    """Keep a photo for the questions of the member's site, once; gives the SHA-256 by which a file names it."""
    try:
        small = small_picture(data, LONG_SIDE_OF_A_PHOTO)
    except NoPictureError as none:
        return Refused((f"photo.{none.why}",))
    sha256 = hashlib.sha256(small).hexdigest()
    with act(database, now) as this:
        p = OwnQuestionPhoto
        kept = this.db.scalar(select(p).where(p.site_id == member.site_id, p.sha256 == sha256))
        if kept is not None:
            kept.kept_at = now
        else:
            this.db.add(
                p(site_id=member.site_id, sha256=sha256, jpeg=_text(small), person_id=member.id, kept_at=now)
            )
    return sha256


def drop_photos(database: Database, now: datetime) -> int:
    """Take out every photo that no text of its site names a day after it was brought; gives how many."""
    p, t, q = OwnQuestionPhoto, OwnQuestionText, OwnQuestion
    named = exists().where(
        t.question_id == q.id, q.site_id == p.site_id, t.text.contains(p.sha256, autoescape=False)
    )
    unused = (p.kept_at < now - WITHOUT_A_TEXT, ~named)
    with database.reading() as db:
        if db.scalar(select(p.id).where(*unused).limit(1)) is None:
            return 0
    with act(database, now) as this:
        gone = this.db.execute(delete(p).where(*unused).execution_options(synchronize_session=False))
        return int(gone.rowcount)  # type: ignore[attr-defined]
