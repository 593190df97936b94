"""Keys that signed and sign, the places of certificates in the status lists, certificates that were signed again."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class SigningKeyKept(Base):
    """The public half of a key and its time; `address` is where its status lists are to be found."""

    __tablename__ = "signing_key"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_key: Mapped[str] = mapped_column(String(64), unique=True)
    address: Mapped[str] = mapped_column(String(200), default="")
    from_at: Mapped[datetime]
    until_at: Mapped[datetime | None]
    retired_because: Mapped[str | None] = mapped_column(String(16))
    compromised_since: Mapped[datetime | None]


class StatusPlace(Base):
    """Which bit of the status lists is a certificate's; drawn by chance, so that neighbours tell nothing."""

    __tablename__ = "status_place"
    id: Mapped[int] = mapped_column(primary_key=True)
    certificate_id: Mapped[int] = mapped_column(ForeignKey("certificate.id"), unique=True)
    place: Mapped[int] = mapped_column(unique=True)


class SignedAgain(Base):
    """A certificate signed again with a newer key; the newest one counts, the first stays as it was."""

    __tablename__ = "signed_again"
    __table_args__ = (UniqueConstraint("certificate_id", "key_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    certificate_id: Mapped[int] = mapped_column(ForeignKey("certificate.id"), index=True)
    key_id: Mapped[int] = mapped_column(ForeignKey("signing_key.id"))
    credential: Mapped[str] = mapped_column(Text)
    signed_at: Mapped[datetime]
