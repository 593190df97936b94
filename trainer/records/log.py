"""The record log: one canonical record an act, each hash over the one before."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import rfc8785
from sqlalchemy import Connection, insert, select
from sqlalchemy.orm import Session

from trainer.records.tables import LogEntry

FIRST = bytes(32)
# An act's moment is read before it waits for the write lock, so entries may stand a few seconds out of order. More
# than this means that somebody, or something, set the clock back.
OUT_OF_ORDER = timedelta(minutes=1)
# Built once: every act appends, and building a statement costs as much as running it.
_LAST = select(LogEntry.seq, LogEntry.hash).order_by(LogEntry.seq.desc()).limit(1)
_ENTRY = insert(LogEntry.__table__)  # type: ignore[arg-type]
HEAD = "head of the record log"
Fact = str | int | bool | None | list["Fact"] | dict[str, "Fact"]


@dataclass(frozen=True)
class Flaw:
    """One place where the log does not hold: the entry's number and why."""

    seq: int
    why: str


@dataclass(frozen=True)
class LogReport:
    """What a walk over the whole log found.

    time_steps: entries whose time is well before that of the entry before: the chain holds, the clock was set back
    """

    entries: int
    head: str
    flaws: tuple[Flaw, ...]
    time_steps: tuple[Flaw, ...] = ()


def chain_hash(previous: bytes, record: bytes) -> bytes:
    """SHA-256 over the hash before and this record's canonical bytes."""
    return hashlib.sha256(previous + record).digest()


def moment_text(moment: datetime) -> str:
    """A moment as the log writes it: UTC, microseconds, Z."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def append(db: Session, *, at: datetime, kind: str, by: str, about: str, facts: Mapping[str, Fact]) -> int:
    """Append one act and give its number. The caller holds the write lock. One insert; one query the first time.

    A session of this house is one transaction, so what it appended last is the head until its end.
    """
    connection = db.connection()
    seq, previous = db.info.get(HEAD) or _last(connection)
    seq += 1
    record = {"about": about, "at": moment_text(at), "by": by, "facts": dict(facts), "kind": kind, "seq": seq}
    canonical = rfc8785.dumps(record)
    row = {"seq": seq, "at": at, "kind": kind, "by": by, "about": about, "record": canonical.decode("utf-8")}
    own = chain_hash(previous, canonical)
    connection.execute(_ENTRY, {**row, "hash": own.hex()})
    db.info[HEAD] = (seq, own)
    return seq


def _last(connection: Connection) -> tuple[int, bytes]:
    """The number and hash of the newest entry."""
    last = connection.execute(_LAST).first()
    return (0, FIRST) if last is None else (last.seq, bytes.fromhex(last.hash))


def verify(db: Session) -> LogReport:
    """Walk the log from its first entry and name every entry that does not hold."""
    flaws: list[Flaw] = []
    steps: list[Flaw] = []
    previous, expected, at = FIRST, 1, None
    for entry in _entries(db):
        flaws.extend(_flaws_of(entry, previous, expected))
        # Go on from what stands there, so that one changed entry is one flaw and not a flood.
        previous, expected = _as_hash(entry.hash), entry.seq + 1
        if at is not None and entry.at < at - OUT_OF_ORDER:
            steps.append(Flaw(entry.seq, f"its time {moment_text(entry.at)} is before {moment_text(at)}"))
        at = entry.at
    return LogReport(entries=expected - 1, head=previous.hex(), flaws=tuple(flaws), time_steps=tuple(steps))


def _as_hash(said: str) -> bytes:
    """The bytes of a stored hash; whatever is no hash is hashed, so that nothing can follow from it."""
    try:
        return bytes.fromhex(said)
    except ValueError:
        return hashlib.sha256(said.encode()).digest()


def holds(db: Session, head: str) -> bool:
    """Whether an entry of the log has this hash, so that a head noted earlier still stands in it. One statement."""
    return head == FIRST.hex() or db.scalar(select(LogEntry.seq).where(LogEntry.hash == head)) is not None


def _entries(db: Session) -> Iterator[LogEntry]:
    return iter(db.scalars(select(LogEntry).order_by(LogEntry.seq).execution_options(yield_per=500)))


def _flaws_of(entry: LogEntry, previous: bytes, expected: int) -> Iterator[Flaw]:
    if entry.seq != expected:
        yield Flaw(entry.seq, f"entry {expected} is missing before it")
    if chain_hash(previous, entry.record.encode("utf-8")).hex() != entry.hash:
        yield Flaw(entry.seq, "its hash does not follow from the entry before and its own record")
    shown = {
        "about": entry.about,
        "at": moment_text(entry.at),
        "by": entry.by,
        "kind": entry.kind,
        "seq": entry.seq,
    }
    if not _says(entry.record, shown):
        yield Flaw(entry.seq, "its columns differ from its record")


def _says(record: str, shown: Mapping[str, object]) -> bool:
    try:
        said = json.loads(record)
    except ValueError:
        return False
    return isinstance(said, dict) and all(said.get(key) == value for key, value in shown.items())
