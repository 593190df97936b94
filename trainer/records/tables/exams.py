"""Exams sat, and every revision of every answer as it was typed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class Exam(Base):
    """One sitting. `form` holds the slots as canonical JSON; with the secret it replays every instance.

    place: SHA-256 of the token of the one browser that may answer; None binds it to none
    allowance: the extra time that was granted when it began; paused_at: since when its clock stands
    """

    __tablename__ = "exam"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    scheme: Mapped[str] = mapped_column(String(80))
    scheme_version: Mapped[int]
    sheet_version: Mapped[int]
    form: Mapped[str] = mapped_column(Text)
    system: Mapped[str] = mapped_column(String(8))
    started_at: Mapped[datetime]
    deadline: Mapped[datetime] = mapped_column(index=True)
    submitted_at: Mapped[datetime | None]
    closed_by: Mapped[str | None] = mapped_column(String(16))
    right: Mapped[int | None]
    passed: Mapped[bool | None]
    result: Mapped[str | None] = mapped_column(Text)
    valid_until: Mapped[datetime | None]
    place: Mapped[str | None] = mapped_column(String(64))
    allowance: Mapped[str | None] = mapped_column(String(8))
    paused_at: Mapped[datetime | None]


class ExamAnswer(Base):
    """One revision of one slot's answer; the highest revision counts, never the latest arrival.

    `language`: what it was typed in, for a comma means one thing in English and another in Spanish.
    """

    __tablename__ = "exam_answer"
    __table_args__ = (UniqueConstraint("exam_id", "slot", "revision"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"))
    slot: Mapped[int]
    revision: Mapped[int]
    answer: Mapped[str] = mapped_column(Text)
    language: Mapped[str] = mapped_column(String(2))
    received_at: Mapped[datetime]


class ExamKeySheet(Base):
    """What was right in a closed exam, as canonical JSON: kept at the close, for a question may be mended later.

    salt: with it the sheet gives the digest in the log's entry of the close
    """

    __tablename__ = "exam_key_sheet"
    __table_args__ = (UniqueConstraint("exam_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"))
    salt: Mapped[str] = mapped_column(String(64))
    sheet: Mapped[str] = mapped_column(Text)
