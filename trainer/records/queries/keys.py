"""Keys that signed and sign, places in the status lists, what was signed again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from trainer.certificates.keys import SigningKey
from trainer.certificates.states import standing, withdrawal
from trainer.certificates.status_list import Purpose
from trainer.records.queries.standing import changes_of
from trainer.records.tables import (
    Certificate,
    CertificateChange,
    SignedAgain,
    SigningKeyKept,
    StatusPlace,
)


@dataclass(frozen=True)
class Places:
    """The places of the certificates that do not count, by why, and how long the lists must be for all of them."""

    revocation: frozenset[int]
    suspension: frozenset[int]
    highest: int

    def of(self, purpose: Purpose) -> frozenset[int]:
        """The places that one list sets."""
        return self.revocation if purpose == "revocation" else self.suspension


def signing_keys(db: Session) -> list[SigningKey]:
    """Every key that signs or signed, newest first. One statement."""
    k = SigningKeyKept
    rows = db.execute(
        select(k.public_key, k.from_at, k.until_at, k.compromised_since).order_by(
            k.from_at.desc(), k.id.desc()
        )
    )
    return [SigningKey(*row) for row in rows]


def places(db: Session, now: datetime) -> Places:
    """Which bits of the two lists are set now. Two statements."""
    c = Certificate
    changed = select(CertificateChange.certificate_id).distinct()
    rows = db.execute(
        select(StatusPlace.place, c.public_id, c.effective_at, c.expires_at, c.id.in_(changed).label("changed"))
        .join(c, c.id == StatusPlace.certificate_id)
    ).all()  # fmt: skip
    changes = changes_of(db, [row.public_id for row in rows if row.changed])
    revoked, suspended = set(), set()
    for row in rows:
        made = changes.get(row.public_id, ())
        if withdrawal(made) is not None:
            revoked.add(row.place)
        elif standing(row.effective_at, row.expires_at, made, now).suspensions:
            suspended.add(row.place)
    return Places(
        frozenset(revoked), frozenset(suspended), highest=max((row.place for row in rows), default=0)
    )


def texts_of(db: Session, public_id: str) -> list[str]:
    """Every signed text of a certificate, the first one first; none when there is no such number. Two statements."""
    first = db.execute(
        select(Certificate.id, Certificate.credential).where(Certificate.public_id == public_id)
    ).first()
    if first is None:
        return []
    again = (
        select(SignedAgain.credential).where(SignedAgain.certificate_id == first.id).order_by(SignedAgain.id)
    )
    # The texts of somebody who was forgotten are empty.
    return [text for text in (first.credential, *db.scalars(again)) if text]


def newest_credential() -> ColumnElement[str]:
    """The credential that counts of a certificate in a statement: signed again, or else as it was issued."""
    again = (
        select(SignedAgain.credential)
        .where(SignedAgain.certificate_id == Certificate.id)
        .order_by(SignedAgain.id.desc())
        .limit(1)
        .correlate(Certificate)
        .scalar_subquery()
    )
    return func.coalesce(again, Certificate.credential).label("credential")
