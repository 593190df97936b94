"""How questions do: what exams' answers came to, looks at all questions, and flags until somebody decides."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class ExamMark(Base):
    """What one question of a closed exam came to; nothing that scores anybody is read from here.

    scored: false where the question was on trial; mark: right, wrong, unreadable, omitted, not_reached or changed
    chosen: `right`, an option, a slip or `other`; instance: which numbers were drawn, the same for the same ones
    """

    __tablename__ = "exam_mark"
    __table_args__ = (UniqueConstraint("exam_id", "slot"), Index("ix_exam_mark_question", "question"))
    id: Mapped[int] = mapped_column(primary_key=True)
    exam_id: Mapped[int] = mapped_column(ForeignKey("exam.id"))
    slot: Mapped[int]
    question: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    scored: Mapped[bool]
    mark: Mapped[str] = mapped_column(String(12))
    chosen: Mapped[str] = mapped_column(String(80))
    instance: Mapped[str] = mapped_column(String(16))


class QuestionReview(Base):
    """One look at how a site's questions do; `document` is JSON, and the newest look is the one that is shown.

    answers: first answers that it rests on
    """

    __tablename__ = "question_review"
    __table_args__ = (UniqueConstraint("site_id", "at"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    at: Mapped[datetime]
    answers: Mapped[int]
    document: Mapped[str] = mapped_column(Text)


class QuestionFlag(Base):
    """A question that leaves scored use at a site until somebody decides: `kept` puts it back, `out` leaves it out.

    reasons: JSON; answers: those that it was raised on; person_id, note: who decided, and why
    """

    __tablename__ = "question_flag"
    __table_args__ = (Index("ix_question_flag_site_id_question", "site_id", "question"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    question: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    raised_at: Mapped[datetime]
    answers: Mapped[int]
    reasons: Mapped[str] = mapped_column(Text)
    decided_at: Mapped[datetime | None]
    decision: Mapped[str | None] = mapped_column(String(8))
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    note: Mapped[str] = mapped_column(Text, default="")
