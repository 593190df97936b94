"""The record log: append-only, each entry chained to the one before."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import String, Text
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class LogEntry(Base):
    """One act. `record` is the canonical JSON (RFC 8785) that was hashed; the columns repeat parts of it."""

    __tablename__ = "log_entry"
    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    at: Mapped[datetime]
    kind: Mapped[str] = mapped_column(String(48), index=True)
    by: Mapped[str] = mapped_column(String(36))
    about: Mapped[str] = mapped_column(String(80), index=True)
    record: Mapped[str] = mapped_column(Text)
    hash: Mapped[str] = mapped_column(String(64))
