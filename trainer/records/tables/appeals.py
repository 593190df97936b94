"""Appeals: what was asked to be looked at again, the frozen evidence, and each step taken on it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class Appeal(Base):
    """A written appeal; `pack` is the evidence as canonical JSON, frozen when it was filed, `pack_hash` its SHA-256.

    against_kind and against: an exam, a decision or a change of a certificate, by its public id
    filed_by_id: the person, or the manager who wrote down the letter of somebody who no longer signs in
    """

    __tablename__ = "appeal"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    against_kind: Mapped[str] = mapped_column(String(16))
    against: Mapped[str] = mapped_column(String(36), unique=True)
    grounds: Mapped[str] = mapped_column(Text)
    filed_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    filed_at: Mapped[datetime]
    pack: Mapped[str] = mapped_column(Text)
    pack_hash: Mapped[str] = mapped_column(String(64))


class AppealStep(Base):
    """Somebody took an appeal on (`taken`) or decided it (`decided`); rows are only added.

    person_id: whose appeal it is
    """

    __tablename__ = "appeal_step"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    appeal_id: Mapped[int] = mapped_column(ForeignKey("appeal.id"), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    kind: Mapped[str] = mapped_column(String(16))
    outcome: Mapped[str | None] = mapped_column(String(16))
    reason: Mapped[str] = mapped_column(Text)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
