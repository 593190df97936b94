"""Changes of certificates and of machines, yearly inspections, threats to impartiality."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class WorkplaceChange(Base):
    """A machine or its procedure changed; without a cabinet it touches every cabinet of the machine."""

    __tablename__ = "workplace_change"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    machine_id: Mapped[int] = mapped_column(ForeignKey("machine.id"), index=True)
    cabinet_id: Mapped[int | None] = mapped_column(ForeignKey("cabinet.id"))
    kind: Mapped[str] = mapped_column(String(16))
    what: Mapped[str] = mapped_column(Text)
    since: Mapped[datetime]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class CertificateChange(Base):
    """One act on a certificate after it was issued; rows are only added, and a certificate's state is their fold.

    person_id: whose certificate it is
    since: from when the ground of a suspension holds
    lifts: the public id of the suspension that a lift ends
    taken: the tasks that a reduction takes away, as a JSON list
    """

    __tablename__ = "certificate_change"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    certificate_id: Mapped[int] = mapped_column(ForeignKey("certificate.id"), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    kind: Mapped[str] = mapped_column(String(16))
    cause: Mapped[str] = mapped_column(String(32))
    workplace_change_id: Mapped[int | None] = mapped_column(ForeignKey("workplace_change.id"))
    lifts: Mapped[str | None] = mapped_column(String(36))
    taken: Mapped[str] = mapped_column(Text)
    reason: Mapped[str] = mapped_column(Text)
    since: Mapped[datetime]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class ProcedureInspection(Base):
    """A yearly inspection of a machine's lockout procedure; who was included stands in `inspection_person`.

    inspected_on: the day at the site, YYYY-MM-DD
    """

    __tablename__ = "procedure_inspection"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    machine_id: Mapped[int] = mapped_column(ForeignKey("machine.id"), index=True)
    inspected_on: Mapped[str] = mapped_column(String(10))
    inspector_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    deviations: Mapped[str] = mapped_column(Text)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class InspectionPerson(Base):
    """One employee of an inspection; `used` says that they were using the procedure that was inspected."""

    __tablename__ = "inspection_person"
    __table_args__ = (UniqueConstraint("inspection_id", "person_id"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    inspection_id: Mapped[int] = mapped_column(ForeignKey("procedure_inspection.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    used: Mapped[bool]


class ImpartialityEntry(Base):
    """One state of one threat to impartiality; the newest entry of a `threat_id` is how it stands.

    review_on: the day at the site, YYYY-MM-DD
    """

    __tablename__ = "impartiality_entry"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    threat_id: Mapped[str] = mapped_column(String(36), index=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    threat: Mapped[str] = mapped_column(Text)
    treatment: Mapped[str] = mapped_column(Text)
    owner_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    review_on: Mapped[str] = mapped_column(String(10))
    closed: Mapped[bool]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
