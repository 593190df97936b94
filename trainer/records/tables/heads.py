"""Signed heads of the record log: what it was at a moment, so that nobody can write it anew unseen."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class LogHead(Base):
    """One signed head. `peaks` are the subtrees it was reckoned from, so that the next one hashes new entries alone."""

    __tablename__ = "log_head"
    __table_args__ = (UniqueConstraint("size"),)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    size: Mapped[int]
    root: Mapped[str] = mapped_column(String(64))
    head: Mapped[str] = mapped_column(String(64))
    at: Mapped[datetime]
    key: Mapped[str] = mapped_column(String(64))
    signature: Mapped[str] = mapped_column(String(96))
    peaks: Mapped[str] = mapped_column(Text)
