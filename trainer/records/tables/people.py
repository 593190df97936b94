"""Sites, site sheets, people, shared tablets and tries to sign in."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.records.tables.base import Base


class Site(Base):
    """One wash."""

    __tablename__ = "site"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    time_zone: Mapped[str] = mapped_column(String(64))


class SiteSheetVersion(Base):
    """One saved state of a site's sheet; the highest version is the sheet in force."""

    __tablename__ = "site_sheet_version"
    __table_args__ = (UniqueConstraint("site_id", "version"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"))
    version: Mapped[int]
    text: Mapped[str] = mapped_column(Text)
    saved_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    saved_at: Mapped[datetime]


class Person(Base):
    """One person of a site; `public_id` stands for them in the log, the name never does.

    name_salt: with it the name gives the digest in the log's entry of enrolment; gone when the person is forgotten
    """

    __tablename__ = "person"
    id: Mapped[int] = mapped_column(primary_key=True)
    public_id: Mapped[str] = mapped_column(String(36), unique=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    name: Mapped[str] = mapped_column(String(120))
    sign_in_name: Mapped[str] = mapped_column(String(64), unique=True)
    role: Mapped[str] = mapped_column(String(16))
    password_hash: Mapped[str | None] = mapped_column(String(255))
    pin_hash: Mapped[str | None] = mapped_column(String(255))
    language: Mapped[str] = mapped_column(String(2), default="en")
    system: Mapped[str] = mapped_column(String(8), default="us")
    trained_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    joined_at: Mapped[datetime]
    left_at: Mapped[datetime | None]
    session_number: Mapped[int] = mapped_column(default=1)
    name_salt: Mapped[str | None] = mapped_column(String(64))
    forgotten_at: Mapped[datetime | None]


class Tablet(Base):
    """A shared tablet that the site has enrolled; PINs work on it alone."""

    __tablename__ = "tablet"
    id: Mapped[int] = mapped_column(primary_key=True)
    site_id: Mapped[int] = mapped_column(ForeignKey("site.id"), index=True)
    name: Mapped[str] = mapped_column(String(120))
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    enrolled_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    enrolled_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]


class SignInTry(Base):
    """One try to sign in, kept so that every worker counts the same tries."""

    __tablename__ = "sign_in_try"
    __table_args__ = (Index("ix_sign_in_try_key_at", "key", "at"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    key: Mapped[str] = mapped_column(String(160))
    at: Mapped[datetime]
    good: Mapped[bool]
