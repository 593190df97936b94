"""Lessons read, drills answered and where each person stands on each skill."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class LessonRead(Base):
    """A person's latest reading of a lesson, and what they wrote under 'on your own bay'."""

    __tablename__ = "lesson_read"
    __table_args__ = (UniqueConstraint("person_id", "lesson"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str] = mapped_column(String(80))
    read_at: Mapped[datetime]
    own_bay: Mapped[str] = mapped_column(Text, default="")


class Drill(Base):
    """One instance shown in practice and, once answered, what was answered and how it was taken."""

    __tablename__ = "drill"
    __table_args__ = (Index("ix_drill_person_id_shown_at", "person_id", "shown_at"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    lesson: Mapped[str | None] = mapped_column(String(80))
    skill: Mapped[str] = mapped_column(String(80))
    question: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    fingerprint: Mapped[str] = mapped_column(String(64))
    sheet_version: Mapped[int]
    system: Mapped[str] = mapped_column(String(8))
    support: Mapped[str] = mapped_column(String(16))
    shown_at: Mapped[datetime]
    answered_at: Mapped[datetime | None]
    answer: Mapped[str | None] = mapped_column(Text)
    verdict: Mapped[str | None] = mapped_column(String(24))
    right: Mapped[bool | None]
    slip: Mapped[str | None] = mapped_column(String(80))


class SkillStanding(Base):
    """Where a person stands on a skill, after the latest answer."""

    __tablename__ = "skill_standing"
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    skill: Mapped[str] = mapped_column(String(80), primary_key=True)
    known: Mapped[float]
    answered: Mapped[int]
    right_alone: Mapped[int]
    wrong_run: Mapped[int]
    support: Mapped[str] = mapped_column(String(16))
    card: Mapped[str | None] = mapped_column(Text)
    due_at: Mapped[datetime | None]
    last_slip: Mapped[str | None] = mapped_column(String(80))
    mastered_at: Mapped[datetime | None]
    updated_at: Mapped[datetime]
