"""Keys that take turns: keeping the one in use, changing it, signing certificates again, places in the status lists."""

from __future__ import annotations

import json
import secrets
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import rfc8785
from sqlalchemy import func, select

from trainer.access.refusal import Refused
from trainer.acts.transaction import SYSTEM, Act, act
from trainer.certificates.credential import (
    canonical_hash,
    did_of,
    public_key_of,
    sign_credential,
    verify_credential,
)
from trainer.certificates.keys import whole_second
from trainer.certificates.status_list import PURPOSES, StatusEntry, room_for
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import keys as queries
from trainer.records.tables import (
    Certificate,
    CertificateChange,
    LogEntry,
    Person,
    SignedAgain,
    SigningKeyKept,
    StatusPlace,
)

INSTALLATION = "installation"
# Names a status list where no public address is set: the list is then handed over as a file.
LISTS = uuid.uuid5(uuid.NAMESPACE_URL, "stringline:status-list")


@dataclass(frozen=True)
class KeyChange:
    """A change of keys: the public halves, and the moment from which others may have had the old one, if any."""

    old: str
    new: str
    compromised_since: datetime | None = None


def keep_key(database: Database, signing_key: bytes, address: str, now: datetime) -> Refused | None:
    """Keep the public half of the key in use and the address of its status lists; a retired key is refused."""
    with act(database, now) as this:
        refused = unusable(this, signing_key)
        if refused:
            return Refused(refused)
        row = key_in_use(this, signing_key)
        if row.address != address:
            row.address = address
        return None


def key_in_use(this: Act, signing_key: bytes) -> SigningKeyKept:
    """The row of the key; made at its first use. A key that signed before keys were kept counts from what it signed."""
    public = public_key_of(signing_key)
    row = this.db.scalar(select(SigningKeyKept).where(SigningKeyKept.public_key == public))
    if row is not None:
        return row
    first = None if _any_key(this) else this.db.scalar(select(func.min(Certificate.effective_at)))
    start = whole_second(min(this.now, first) if first else this.now)
    row = SigningKeyKept(public_key=public, from_at=start, address="")
    this.db.add(row)
    this.db.flush()
    this.log("key.first", by=SYSTEM, about=INSTALLATION, key=public)
    return row


def _any_key(this: Act) -> bool:
    return this.db.scalar(select(SigningKeyKept.id).limit(1)) is not None


def unusable(this: Act, signing_key: bytes) -> tuple[str, ...]:
    """Why nothing may be signed with this key: it was retired while a program still held it."""
    public = public_key_of(signing_key)
    retired = this.db.scalar(
        select(SigningKeyKept.until_at).where(
            SigningKeyKept.public_key == public, SigningKeyKept.until_at.is_not(None)
        )
    )
    return () if retired is None else ("key.retired",)


def change_key(database: Database, change: KeyChange, now: datetime) -> Refused | None:
    """Retire the old key and begin with the new one; what the old one signed in its time keeps counting.

    A moment from which others may have had the old key ends what it signed then or later, until it is signed again.
    """
    with act(database, now) as this:
        old = this.db.scalar(select(SigningKeyKept).where(SigningKeyKept.public_key == change.old))
        taken = this.db.scalar(select(SigningKeyKept.id).where(SigningKeyKept.public_key == change.new))
        reasons = _change_reasons(change, old, taken=taken is not None, now=now)
        if old is None or reasons:
            return Refused(reasons)
        lost = change.compromised_since
        old.until_at, old.retired_because = whole_second(now), "compromised" if lost else "replaced"
        old.compromised_since = None if lost is None else whole_second(lost)
        this.db.add(SigningKeyKept(public_key=change.new, from_at=old.until_at, address=old.address))
        if old.compromised_since is None:
            this.log("key.replaced", by=SYSTEM, about=INSTALLATION, old=change.old, new=change.new)
        else:
            since = log.moment_text(old.compromised_since)
            this.log("key.lost", by=SYSTEM, about=INSTALLATION, old=change.old, new=change.new, since=since)
        return None


def _change_reasons(
    change: KeyChange, old: SigningKeyKept | None, *, taken: bool, now: datetime
) -> tuple[str, ...]:
    since = change.compromised_since
    holds = {
        "key.unknown": old is not None,
        "key.retired": old is None or old.until_at is None,
        "key.used_before": not taken and change.old != change.new,
        "key.since_later": since is None or since <= now,
    }
    return tuple(reason for reason, good in holds.items() if not good)


def take_place(this: Act, certificate: Certificate, row: SigningKeyKept) -> tuple[StatusEntry, ...]:
    """Draw the certificate's place in the status lists, and give its entry in each."""
    taken = set(this.db.scalars(select(StatusPlace.place)))
    room = room_for(len(taken))
    place = next(place for place in _draws(room) if place not in taken)
    this.db.add(StatusPlace(certificate_id=certificate.id, place=place))
    return tuple(StatusEntry(purpose, place, list_url(row.address, purpose)) for purpose in PURPOSES)


def _draws(room: int) -> Iterator[int]:
    while True:
        yield secrets.randbelow(room)


def list_url(address: str, purpose: str) -> str:
    """The address of a status list; without a public address a name, and the list travels as a file."""
    return f"{address}/status/{purpose}" if address else f"urn:uuid:{uuid.uuid5(LISTS, purpose)}"


@dataclass(frozen=True)
class SignedOnes:
    """What signing again came to: public ids signed, and those that were not, each with why."""

    signed: tuple[str, ...]
    left: tuple[tuple[str, str], ...]


def sign_again(database: Database, signing_key: bytes, now: datetime) -> SignedOnes | Refused:
    """Sign with the key in use every running certificate whose newest signature was made with a compromised key.

    Also those signed before others had the key: whoever has it can write any moment. Only what the record log knows
    is signed, so that a certificate which somebody forged and slipped in stays out.
    """
    with act(database, now) as this:
        refused = unusable(this, signing_key)
        if refused:
            return Refused(refused)
        row = key_in_use(this, signing_key)
        lost = {one.public_key for one in queries.signing_keys(this.db) if one.compromised_since is not None}
        signed: list[str] = []
        left: list[tuple[str, str]] = []
        for one in _running(this):
            text = _newest(this, one)
            # Of somebody who was forgotten there is no text left to sign.
            if not text or verify_credential(json.loads(text)).issuer_key not in lost:
                continue
            if _on_record(this, one):
                _sign_one(this, one, row, signing_key)
                signed.append(one.public_id)
            else:
                left.append((one.public_id, "record.differs"))
        return SignedOnes(tuple(signed), tuple(left))


def _running(this: Act) -> list[Certificate]:
    c = Certificate
    withdrawn = select(CertificateChange.certificate_id).where(CertificateChange.kind == "withdrawn")
    statement = select(c).where(c.id.not_in(withdrawn), c.expires_at > this.now).order_by(c.id)
    return list(this.db.scalars(statement))


def _newest(this: Act, one: Certificate) -> str:
    again = this.db.scalar(
        select(SignedAgain.credential)
        .where(SignedAgain.certificate_id == one.id)
        .order_by(SignedAgain.id.desc())
        .limit(1)
    )
    return again or one.credential


def _on_record(this: Act, one: Certificate) -> bool:
    """Whether the log says that this very credential was issued."""
    person = this.db.get_one(Person, one.person_id)
    said = this.db.scalars(
        select(LogEntry.record).where(
            LogEntry.kind == "certificate.issued", LogEntry.about == person.public_id
        )
    )
    wanted = (one.public_id, canonical_hash(json.loads(one.credential)))
    facts = (json.loads(record)["facts"] for record in said)
    return any((fact.get("certificate"), fact.get("hash")) == wanted for fact in facts)


def _sign_one(this: Act, one: Certificate, row: SigningKeyKept, signing_key: bytes) -> None:
    """The same words under the key in use; a certificate from before the status lists gets its place in them now."""
    document = {name: value for name, value in json.loads(one.credential).items() if name != "proof"}
    document["issuer"] = {**document["issuer"], "id": did_of(row.public_key)}
    if "credentialStatus" not in document:
        document["credentialStatus"] = [entry.document() for entry in take_place(this, one, row)]
    signed = sign_credential(document, signing_key, this.now)
    this.db.add(
        SignedAgain(
            certificate_id=one.id, key_id=row.id, credential=rfc8785.dumps(signed).decode("utf-8"),
            signed_at=this.now,
        )
    )  # fmt: skip
    this.db.flush()
    person = this.db.get_one(Person, one.person_id)
    this.log(
        "certificate.signed_again", by=SYSTEM, about=person.public_id, certificate=one.public_id,
        key=row.public_key, hash=canonical_hash(signed),
    )  # fmt: skip
