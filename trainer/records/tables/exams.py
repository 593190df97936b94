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


class ExamRescore(Base):
    """A closed exam scored again after a question's key changed; the close's own result and key sheet stay as they are.

    act: what was signed, for one exam or many; person_id: who sat the exam
    how: by the `newer` text's key, or `right` for everybody
    marks: by slot, the mark before and the one after, as canonical JSON
    keys, salt: by slot the newer key as canonical JSON, and what gives with it the digest in the log
    right, result, valid_until: what follows from the new marks; passed: whether the exam is passed all the same
    lowers: whether that pass stands although the new result is none
    seen_at: when the person said that they have read it
    """

    __tablename__ = "exam_rescore"
    __table_args__ = (UniqueConstraint("act", "exam_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    act: Mapped[str] = mapped_column(String(36))
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    question: Mapped[str] = mapped_column(String(80), index=True)
    how: Mapped[str] = mapped_column(String(8))
    old_fingerprint: Mapped[str] = mapped_column(String(64))
    new_fingerprint: Mapped[str] = mapped_column(String(64))
    marks: Mapped[str] = mapped_column(Text)
    keys: Mapped[str] = mapped_column(Text)
    salt: Mapped[str] = mapped_column(String(64))
    right: Mapped[int]
    passed: Mapped[bool]
    lowers: Mapped[bool]
    result: Mapped[str] = mapped_column(Text)
    valid_until: Mapped[datetime | None]
    reason: Mapped[str] = mapped_column(Text)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
    seen_at: Mapped[datetime | None]
