"""Machines, cabinets, practicals, decisions and certificates."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint, false
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class Machine(Base):
    """A machine of the site sheet; `key` is its id there."""

    __tablename__ = "machine"
    __table_args__ = (UniqueConstraint("site_id", "key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    key: Mapped[str] = mapped_column(String(64))
    name: Mapped[str] = mapped_column(String(120))


class Cabinet(Base):
    """A control cabinet and the machine it feeds."""

    __tablename__ = "cabinet"
    __table_args__ = (UniqueConstraint("site_id", "key"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    machine_id: Mapped[int] = mapped_column(ForeignKey("machine.id"))
    key: Mapped[str] = mapped_column(String(64))
    name: Mapped[str] = mapped_column(String(120))


class Practical(Base):
    """An observed checklist on a named machine, signed by a named person.

    steps, remarks, device_times: JSON by the step's id; the times are those of the observer's own device
    qualification: public id of what the observer was qualified by; None before there were qualifications
    asks_second: whether the draw asked for a second observer
    """

    __tablename__ = "practical"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    machine_id: Mapped[int] = mapped_column(ForeignKey("machine.id"))
    scheme: Mapped[str] = mapped_column(String(80))
    scheme_version: Mapped[int]
    observer_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    steps: Mapped[str] = mapped_column(Text)
    note: Mapped[str] = mapped_column(Text, default="")
    passed: Mapped[bool]
    signed_at: Mapped[datetime]
    remarks: Mapped[str] = mapped_column(Text, server_default="{}")
    device_times: Mapped[str] = mapped_column(Text, server_default="{}")
    filled_offline: Mapped[bool] = mapped_column(server_default=false())
    qualification: Mapped[str | None] = mapped_column(String(36))
    asks_second: Mapped[bool] = mapped_column(server_default=false())


class PracticalBench(Base):
    """A run of a bench that the observer shows with a practical; it supports the steps and replaces none."""

    __tablename__ = "practical_bench"
    __table_args__ = (UniqueConstraint("practical_id", "run_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    practical_id: Mapped[int] = mapped_column(ForeignKey("practical.id"))
    run_id: Mapped[int] = mapped_column(ForeignKey("bench_run.id"))


class Decision(Base):
    """A manager's decision on one person and one cabinet, with the evidence it rested on."""

    __tablename__ = "decision"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    cabinet_id: Mapped[int] = mapped_column(ForeignKey("cabinet.id"))
    exam_id: Mapped[int | None] = mapped_column(ForeignKey("exam.id"))
    practical_id: Mapped[int | None] = mapped_column(ForeignKey("practical.id"))
    granted: Mapped[bool]
    reason: Mapped[str] = mapped_column(Text, default="")
    decided_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    decided_at: Mapped[datetime]
    overlap_reason: Mapped[str | None] = mapped_column(Text)
    second_approver_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    second_at: Mapped[datetime | None]


class Certificate(Base):
    """A signed statement that a person met a scheme on a date; `credential` is the signed JSON, never changed."""

    __tablename__ = "certificate"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    cabinet_id: Mapped[int] = mapped_column(ForeignKey("cabinet.id"))
    decision_id: Mapped[int] = mapped_column(ForeignKey("decision.id"), unique=True)
    scheme: Mapped[str] = mapped_column(String(80))
    scheme_version: Mapped[int]
    effective_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    credential: Mapped[str] = mapped_column(Text)
    withdrawn_at: Mapped[datetime | None]
    withdrawn_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    withdrawn_reason: Mapped[str | None] = mapped_column(Text)
