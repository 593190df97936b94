"""Versions of schemes as they were frozen, and panels that set a cut: their judges and every rating."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class FrozenScheme(Base):
    """One version of a scheme as a site uses it: its canonical text, and the SHA-256 of that.

    frozen_by_id: the manager; None where the first exam froze it
    """

    __tablename__ = "frozen_scheme"
    __table_args__ = (UniqueConstraint("site_id", "scheme", "version"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    scheme: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    fingerprint: Mapped[str] = mapped_column(String(64))
    text: Mapped[str] = mapped_column(Text)
    frozen_at: Mapped[datetime]
    frozen_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))


class CutPanel(Base):
    """One panel on a version of a scheme. What stands once it is sealed never changes.

    form: the items that are rated, as canonical JSON; result: the last round's figures, likewise
    """

    __tablename__ = "cut_panel"
    __table_args__ = (UniqueConstraint("site_id", "scheme", "version", "number"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    scheme: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    number: Mapped[int]
    definition: Mapped[str] = mapped_column(Text)
    form: Mapped[str] = mapped_column(Text)
    sheet_version: Mapped[int]
    round: Mapped[int]
    opened_at: Mapped[datetime]
    opened_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    sealed_at: Mapped[datetime | None]
    sealed_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    dropped_at: Mapped[datetime | None]
    cut: Mapped[int | None]
    reason: Mapped[str] = mapped_column(Text)
    effective_from: Mapped[datetime | None]
    result: Mapped[str | None] = mapped_column(Text)


class CutJudge(Base):
    """A member of a panel; handed_in: how many rounds they have finished."""

    __tablename__ = "cut_judge"
    __table_args__ = (UniqueConstraint("panel_id", "person_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    panel_id: Mapped[int] = mapped_column(ForeignKey("cut_panel.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    qualification: Mapped[str] = mapped_column(Text)
    handed_in: Mapped[int]


class CutRating(Base):
    """What a judge said of one item in one round, in per cent; it may be said again until the round is handed in."""

    __tablename__ = "cut_rating"
    __table_args__ = (UniqueConstraint("judge_id", "round", "item"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    judge_id: Mapped[int] = mapped_column(ForeignKey("cut_judge.id"))
    round: Mapped[int]
    item: Mapped[int]
    per_cent: Mapped[int]
    rated_at: Mapped[datetime]
