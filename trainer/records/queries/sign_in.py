"""Who is calling, with what secret, from which tablet, after which tries."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Select, bindparam, exists, select
from sqlalchemy.orm import Session, aliased

from trainer.access.members import Member, Role
from trainer.records.queries.people import member_columns
from trainer.records.tables import Person, SignInTry, Site, Tablet


@dataclass(frozen=True)
class Caller:
    """The person that a session names, and whether the session's tablet is still enrolled at their site."""

    member: Member
    tablet_stands: bool


@dataclass(frozen=True)
class Secrets:
    """What a person signs in with; hashes only."""

    person_id: int
    public_id: str
    site_id: int
    name: str
    sign_in_name: str
    role: Role
    password_hash: str | None
    pin_hash: str | None
    left_at: datetime | None


@dataclass(frozen=True)
class EnrolledTablet:
    """A tablet that the site shares."""

    id: int
    site_id: int
    site_name: str
    name: str
    enrolled_at: datetime
    enrolled_by: str


@dataclass(frozen=True)
class AtTheTablet:
    """A person as the tablet's door lists them."""

    public_id: str
    name: str
    language: str


# Whether the tablet of a session stands. No tablet is NULL, which is no tablet's id.
TABLET_STANDS = (
    exists()
    .where(
        Tablet.id == bindparam("tablet_id"),
        Tablet.site_id == Person.site_id,
        Tablet.withdrawn_at.is_(None),
    )
    .label("tablet_stands")
)
# Built once: every request of a person who is signed in asks it.
_CALLER = member_columns().add_columns(TABLET_STANDS).where(Person.id == bindparam("person_id"))


def caller(connection: Connection, person_id: int, tablet_id: int | None) -> Caller | None:
    """The person of a session. One statement."""
    row = connection.execute(_CALLER, {"person_id": person_id, "tablet_id": tablet_id}).mappings().first()
    if row is None:
        return None
    facts = dict(row)
    tablet_stands = bool(facts.pop("tablet_stands"))
    return Caller(Member(**facts), tablet_stands)


def _secrets() -> Select[*tuple[Any, ...]]:
    p = Person
    return select(
        p.id.label("person_id"), p.public_id, p.site_id, p.name, p.sign_in_name, p.role,
        p.password_hash, p.pin_hash, p.left_at,
    )  # fmt: skip


def secrets_by_name(db: Session, sign_in_name: str) -> Secrets | None:
    """What the person with this sign-in name signs in with. One statement."""
    row = db.execute(_secrets().where(Person.sign_in_name == sign_in_name)).mappings().first()
    return None if row is None else Secrets(**row)


def secrets_of(db: Session, person_id: int) -> Secrets | None:
    """What a person signs in with. One statement."""
    row = db.execute(_secrets().where(Person.id == person_id)).mappings().first()
    return None if row is None else Secrets(**row)


def secrets_by_public_id(db: Session, public_id: str) -> Secrets | None:
    """What the person with this public id signs in with. One statement."""
    row = db.execute(_secrets().where(Person.public_id == public_id)).mappings().first()
    return None if row is None else Secrets(**row)


def at_the_tablet(db: Session, site_id: int) -> list[AtTheTablet]:
    """Everyone of a site who has a PIN and has not left, by name. One statement."""
    p = Person
    rows = db.execute(
        select(p.public_id, p.name, p.language)
        .where(p.site_id == site_id, p.left_at.is_(None), p.pin_hash.is_not(None))
        .order_by(p.name, p.id)
    )
    return [AtTheTablet(*row) for row in rows]


def _tablets() -> Select[*tuple[Any, ...]]:
    t, by = Tablet, aliased(Person)
    return (
        select(
            t.id, t.site_id, Site.name.label("site_name"), t.name, t.enrolled_at, by.name.label("enrolled_by")
        )
        .join(Site, Site.id == t.site_id)
        .join(by, by.id == t.enrolled_by_id)
        .where(t.withdrawn_at.is_(None))
    )


def tablets(db: Session, site_id: int) -> list[EnrolledTablet]:
    """The tablets that a site has enrolled and not withdrawn, by name. One statement."""
    rows = db.execute(_tablets().where(Tablet.site_id == site_id).order_by(Tablet.name, Tablet.id))
    return [EnrolledTablet(**row) for row in rows.mappings()]


def tablet_by_token(db: Session, token_hash: str) -> EnrolledTablet | None:
    """The enrolled tablet whose token has this SHA-256. One statement."""
    row = db.execute(_tablets().where(Tablet.token_hash == token_hash)).mappings().first()
    return None if row is None else EnrolledTablet(**row)


def failed_tries(db: Session, key: str, since: datetime) -> list[datetime]:
    """The failed tries under a key after its last good one, oldest first. One statement."""
    t = SignInTry
    rows = db.execute(select(t.at, t.good).where(t.key == key, t.at > since).order_by(t.at, t.id)).all()
    good_ones = [place for place, row in enumerate(rows) if row.good]
    return [row.at for row in rows[(good_ones[-1] + 1 if good_ones else 0) :]]
