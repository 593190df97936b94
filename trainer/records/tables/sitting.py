"""Who asked to start or go on, who confirmed it, pauses of the clock, extra time, and what was looked at afterwards."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class ExamRequest(Base):
    """A person asks an invigilator to start an exam, or to go on with one in another place; good for one use.

    exam_id: the exam to go on with; after a start, the exam that was started
    place: SHA-256 of the token of the browser that asked
    """

    __tablename__ = "exam_request"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    scheme: Mapped[str] = mapped_column(String(80))
    kind: Mapped[str] = mapped_column(String(8))
    exam_id: Mapped[int | None] = mapped_column(ForeignKey("exam.id"), index=True)
    place: Mapped[str] = mapped_column(String(64))
    asked_at: Mapped[datetime]
    answered_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    admitted_at: Mapped[datetime | None]
    turned_away_at: Mapped[datetime | None]
    used_at: Mapped[datetime | None]


class ExamPause(Base):
    """Time of an exam that does not count: a pause, or time that was given back at once (then both moments agree)."""

    __tablename__ = "exam_pause"
    id: Mapped[int] = mapped_column(primary_key=True)
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"), index=True)
    began_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    began_at: Mapped[datetime]
    reason: Mapped[str] = mapped_column(Text)
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    ended_at: Mapped[datetime | None]
    credit_seconds: Mapped[int | None]


class ExamAllowance(Base):
    """Extra time of a person, from its approval until it was ended; `factor`: 5/4, 3/2, 2 or none (no limit)."""

    __tablename__ = "exam_allowance"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    factor: Mapped[str] = mapped_column(String(8))
    reason: Mapped[str] = mapped_column(Text)
    approved_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    approved_at: Mapped[datetime]
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    ended_at: Mapped[datetime | None]


class ExamLook(Base):
    """What was found when a closed exam was looked at: marks that ask for a person's eye and decide nothing.

    keys: answers that equal another person's key; bursts: answers changed several times in a minute; fast: right
    answers that came too soon to have been worked out; `detail`: which, as canonical JSON
    """

    __tablename__ = "exam_look"
    __table_args__ = (UniqueConstraint("exam_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"))
    looked_at: Mapped[datetime]
    keys: Mapped[int]
    bursts: Mapped[int]
    fast: Mapped[int]
    flagged: Mapped[bool]
    detail: Mapped[str] = mapped_column(Text)
