"""What was measured for a site sheet, and how its questions hold with its numbers."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class Measurement(Base):
    """One number of a walk through the site sheet: who measured what and when.

    `sheet_version` is 0 while the walk is open, then the version that it was saved in; a site has one open walk.
    `written` is the value as the sheet has it, in either language the same; empty where it was skipped.
    """

    __tablename__ = "measurement"
    __table_args__ = (UniqueConstraint("site_id", "sheet_version", "field"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    sheet_version: Mapped[int] = mapped_column(default=0)
    field: Mapped[str] = mapped_column(String(160))
    state: Mapped[str] = mapped_column(String(8))
    written: Mapped[str] = mapped_column(String(80))
    sure: Mapped[bool]
    revision: Mapped[int]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    measured_at: Mapped[datetime]


class SheetCheck(Base):
    """The latest audit of every question with the numbers of one sheet version; `findings` is JSON by question.

    generator: of the code that audited
    """

    __tablename__ = "sheet_check"
    __table_args__ = (UniqueConstraint("site_id", "sheet_version"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    sheet_version: Mapped[int]
    questions: Mapped[int]
    findings: Mapped[str] = mapped_column(Text)
    checked_at: Mapped[datetime]
    generator: Mapped[str] = mapped_column(String(12), default="", server_default="")
