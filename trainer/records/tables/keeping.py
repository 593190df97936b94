"""Legal holds, and proposals to forget a person."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class LegalHold(Base):
    """While it is open nothing that it covers is forgotten; without a person it covers the whole site."""

    __tablename__ = "legal_hold"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    reason: Mapped[str] = mapped_column(Text)
    placed_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    placed_at: Mapped[datetime]
    lifted_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    lifted_at: Mapped[datetime | None]
    lifted_reason: Mapped[str | None] = mapped_column(Text)


class ForgetProposal(Base):
    """Somebody proposes to forget a person; somebody else carries it out or drops it."""

    __tablename__ = "forget_proposal"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    reason: Mapped[str] = mapped_column(Text)
    proposed_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    proposed_at: Mapped[datetime]
    closed_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    closed_at: Mapped[datetime | None]
    carried_out: Mapped[bool] = mapped_column(default=False)
