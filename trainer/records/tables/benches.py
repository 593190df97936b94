"""Runs of benches, what was done in each, and tasks that a trainer gave."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class BenchGiven(Base):
    """A task that a trainer gave to a person; `fixed` holds its options as canonical JSON."""

    __tablename__ = "bench_given"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    given_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    bench: Mapped[str] = mapped_column(String(80))
    fixed: Mapped[str] = mapped_column(Text)
    note: Mapped[str] = mapped_column(String(500))
    sheet_version: Mapped[int]
    given_at: Mapped[datetime]
    due_at: Mapped[datetime | None]
    withdrawn_at: Mapped[datetime | None]


class BenchRun(Base):
    """One run of a bench. With the secret, the sheet and `fixed` its task is made again; `digest` tells whether it is.

    failed: whether it failed whatever its points; points, passed and failed stand once it has ended
    """

    __tablename__ = "bench_run"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    bench: Mapped[str] = mapped_column(String(80))
    version: Mapped[int]
    fixed: Mapped[str] = mapped_column(Text)
    system: Mapped[str] = mapped_column(String(8))
    sheet_version: Mapped[int]
    digest: Mapped[str] = mapped_column(String(64))
    lesson: Mapped[str | None] = mapped_column(String(80))
    given_id: Mapped[int | None] = mapped_column(ForeignKey("bench_given.id"), index=True)
    started_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    points: Mapped[int | None]
    passed: Mapped[bool | None]
    failed: Mapped[bool | None]


class BenchAct(Base):
    """One act of a run, as canonical JSON; numbers go from 1 without a gap, and none is ever changed."""

    __tablename__ = "bench_act"
    __table_args__ = (UniqueConstraint("run_id", "number"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    run_id: Mapped[int] = mapped_column(ForeignKey("bench_run.id"))
    number: Mapped[int]
    document: Mapped[str] = mapped_column(Text)
    received_at: Mapped[datetime]
