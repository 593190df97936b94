"""A site's own questions: every text that was saved, every step of each version's life, and the photos they show."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class OwnQuestion(Base):
    """A question of a site; its name is its id in the file and stands once in the whole installation."""

    __tablename__ = "own_question"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(80), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    begun_at: Mapped[datetime]


class OwnQuestionText(Base):
    """One save; the newest of a version is that version's text. person_id: who saved it."""

    __tablename__ = "own_question_text"
    __table_args__ = (Index("ix_own_question_text_question_id_version", "question_id", "version"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    question_id: Mapped[int] = mapped_column(ForeignKey("own_question.id"))
    version: Mapped[int]
    text: Mapped[str] = mapped_column(Text)
    fingerprint: Mapped[str] = mapped_column(String(64), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    saved_at: Mapped[datetime]


class OwnQuestionStep(Base):
    """One step of a version: submitted, returned, reviewed, published or retired.

    note: what was said to it; person_id: who took it
    """

    __tablename__ = "own_question_step"
    id: Mapped[int] = mapped_column(primary_key=True)
    question_id: Mapped[int] = mapped_column(ForeignKey("own_question.id"), index=True)
    version: Mapped[int]
    kind: Mapped[str] = mapped_column(String(16))
    note: Mapped[str] = mapped_column(Text)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class OwnQuestionPhoto(Base):
    """One photo of a site, a JPEG in base64; files name it by the SHA-256 of its bytes. person_id: who brought it."""

    __tablename__ = "own_question_photo"
    __table_args__ = (UniqueConstraint("site_id", "sha256"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    sha256: Mapped[str] = mapped_column(String(64))
    jpeg: Mapped[str] = mapped_column(Text)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    kept_at: Mapped[datetime]
