"""Who may observe, the second observer's marks, what a manager made of two that differ, and pictures of practicals."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint, false
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class ObserverQualification(Base):
    """A manager's word that a person may observe practicals on one machine, until a moment or until it is ended."""

    __tablename__ = "observer_qualification"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    machine_id: Mapped[int] = mapped_column(ForeignKey("machine.id"))
    grounds: Mapped[str] = mapped_column(Text)
    since: Mapped[datetime]
    until: Mapped[datetime]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    ended_at: Mapped[datetime | None]
    ended_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    ended_reason: Mapped[str | None] = mapped_column(Text)


class PracticalSecond(Base):
    """The marks of a second observer of one practical, signed without sight of the first one's.

    person_id: who was observed
    steps, remarks, device_times: JSON by the step's id; qualification: public id of what the observer was qualified by
    differs: whether the two observers counted a critical step differently
    """

    __tablename__ = "practical_second"
    __table_args__ = (UniqueConstraint("practical_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    practical_id: Mapped[int] = mapped_column(ForeignKey("practical.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    observer_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    qualification: Mapped[str] = mapped_column(String(36))
    steps: Mapped[str] = mapped_column(Text)
    remarks: Mapped[str] = mapped_column(Text)
    device_times: Mapped[str] = mapped_column(Text)
    filled_offline: Mapped[bool] = mapped_column(server_default=false())
    note: Mapped[str] = mapped_column(Text)
    passed: Mapped[bool]
    differs: Mapped[bool]
    signed_at: Mapped[datetime]


class PracticalLook(Base):
    """What a manager said of a practical whose two observers differ: whether the first one's marks count after all."""

    __tablename__ = "practical_look"
    __table_args__ = (UniqueConstraint("practical_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    practical_id: Mapped[int] = mapped_column(ForeignKey("practical.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    counts: Mapped[bool]
    reason: Mapped[str] = mapped_column(Text)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class PracticalShown(Base):
    """Somebody who could have been the second observer has looked at the first one's marks instead.

    person_id: who looked
    """

    __tablename__ = "practical_shown"
    __table_args__ = (UniqueConstraint("practical_id", "person_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    practical_id: Mapped[int] = mapped_column(ForeignKey("practical.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    at: Mapped[datetime]


class PracticalPicture(Base):
    """One small JPEG that the observer put beside a practical, in base64, with the SHA-256 of its bytes."""

    __tablename__ = "practical_picture"
    __table_args__ = (UniqueConstraint("practical_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    practical_id: Mapped[int] = mapped_column(ForeignKey("practical.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    jpeg: Mapped[str] = mapped_column(Text)
    sha256: Mapped[str] = mapped_column(String(64))
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
