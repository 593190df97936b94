"""Signed heads of the record log: the next one to sign, those that are kept, whether they still stand in the log."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Row, func, select
from sqlalchemy.orm import Session

from trainer.certificates.signed_head import SignedHead, head_is_signed, sign_facts
from trainer.records.log import Flaw, moment_text
from trainer.records.tables import LogEntry, LogHead
from trainer.records.tree import (
    Peaks,
    consistency_proof,
    inclusion_proof,
    leaf_hash,
    peaks_text,
    read_peaks,
)

A_DAY = timedelta(days=1)


@dataclass(frozen=True)
class EntryProof:
    """What shows that one entry stands in the tree of a signed head."""

    seq: int
    record: str
    leaf: str
    proof: tuple[str, ...]
    head: SignedHead


def kept_heads(db: Session) -> list[SignedHead]:
    """Every signed head, oldest first. One statement."""
    return [_read(row) for row in db.scalars(select(LogHead).order_by(LogHead.number))]


def newest_head(db: Session) -> SignedHead | None:
    """The newest signed head. One statement."""
    row = db.scalar(select(LogHead).order_by(LogHead.number.desc()).limit(1))
    return None if row is None else _read(row)


def _read(row: LogHead) -> SignedHead:
    return SignedHead(row.number, row.size, row.root, row.head, moment_text(row.at), row.key, row.signature)


def is_due(db: Session, now: datetime) -> bool:
    """Whether a head should be signed: entries have come, and the newest head is a day old. Two statements.

    A head from the future was signed by a clock that was wrong since; it must not put off every later one.
    """
    last = db.execute(select(LogHead.size, LogHead.at).order_by(LogHead.number.desc()).limit(1)).first()
    size = db.scalar(select(func.max(LogEntry.seq))) or 0
    if last is None:
        return size > 0
    return size > last.size and not timedelta(0) <= now - last.at < A_DAY


def write_head(db: Session, *, signing_key: bytes, at: datetime) -> SignedHead | None:
    """Sign the log as it stands and keep the head; where nothing came since the newest head, that one. None of no log.

    Only entries after the newest head are read and hashed. The caller holds the write lock.
    """
    last = db.scalar(select(LogHead).order_by(LogHead.number.desc()).limit(1))
    known = (None if last is None else read_peaks(last.size, last.peaks)) or Peaks()
    records = db.execute(
        select(LogEntry.record, LogEntry.hash).where(LogEntry.seq > known.size).order_by(LogEntry.seq)
    ).all()
    if not records:
        return None if last is None else _read(last)
    peaks = known.grown(leaf_hash(one.record.encode()) for one in records)
    signed = sign_facts(
        1 if last is None else last.number + 1, peaks.size, peaks.root().hex(), records[-1].hash, moment_text(at),
        signing_key=signing_key,
    )  # fmt: skip
    db.add(
        LogHead(
            number=signed.number, size=signed.size, root=signed.root, head=signed.head, at=at, key=signed.key,
            signature=signed.signature, peaks=peaks_text(peaks),
        )
    )  # fmt: skip
    db.flush()
    return signed


@dataclass(frozen=True)
class HeadsReport:
    """What a check of every kept head found; flaws name the head by its number; keys: those that the heads name."""

    heads: int
    flaws: tuple[Flaw, ...]
    keys: tuple[str, ...]


def verify_heads(db: Session, trusted: Collection[str] | None = None) -> HeadsReport:
    """Reckon the tree anew and check every kept head against it, oldest first. Two statements.

    trusted: the keys (z6Mk…) that may sign heads; None takes the key that a head names.
    Each root is reckoned over a beginning of one and the same log, so that heads which all hold also hold each other:
    a later tree has only grown out of an earlier one.
    """
    heads = kept_heads(db)
    stands = _roots_at(db, {head.size for head in heads})
    flaws = [
        Flaw(head.number, why)
        for before, head in zip([None, *heads], heads, strict=False)
        for why in (*_faults(head, trusted), *_order_faults(before, head), *_log_faults(head, stands))
    ]
    return HeadsReport(len(heads), tuple(flaws), tuple(dict.fromkeys(head.key for head in heads)))


def _roots_at(db: Session, sizes: Collection[int]) -> dict[int, tuple[str, str]]:
    """Root and chain hash of the log's first entries, for each of the sizes that it has."""
    found, peaks = {}, Peaks()
    for entry in _log(db):
        peaks = peaks.grown([leaf_hash(entry.record.encode())])
        if peaks.size in sizes:
            found[peaks.size] = (peaks.root().hex(), entry.hash)
    return found


def _log(db: Session) -> Iterator[Row[tuple[str, str]]]:
    columns = select(LogEntry.record, LogEntry.hash).order_by(LogEntry.seq)
    return iter(db.execute(columns.execution_options(yield_per=1000)))


def _faults(head: SignedHead, trusted: Collection[str] | None) -> Iterator[str]:
    if not head_is_signed(head):
        yield "its signature does not belong to it"
    if trusted is not None and head.key not in trusted:
        yield f"it is signed with a key that is not this installation's: {head.key}"


def _order_faults(before: SignedHead | None, head: SignedHead) -> Iterator[str]:
    expected = 1 if before is None else before.number + 1
    if head.number != expected:
        yield f"head {expected} is missing before it"
    if before is not None and head.size <= before.size:
        yield f"it counts {head.size} entries, and the head before it {before.size}"


def _log_faults(head: SignedHead, stands: Mapping[int, tuple[str, str]]) -> Iterator[str]:
    if head.size not in stands:
        yield f"it counts {head.size} entries, which the log does not have"
    elif stands[head.size] != (head.root, head.head):
        yield f"the first {head.size} entries of the log are not those that it was signed over"


def prove_entry(db: Session, seq: int) -> EntryProof | None:
    """The proof of entry `seq` under the newest head; None where no such entry is under one. Two statements."""
    head = newest_head(db)
    if head is None or not 1 <= seq <= head.size:
        return None
    records = [entry.record for entry in _log(db)][: head.size]
    leaves = [leaf_hash(record.encode()) for record in records]
    steps = inclusion_proof(leaves, seq - 1)
    return EntryProof(seq, records[seq - 1], leaves[seq - 1].hex(), tuple(one.hex() for one in steps), head)


def prove_growth(db: Session, earlier: int, later: int) -> tuple[SignedHead, SignedHead, list[str]] | None:
    """Two kept heads by number and the proof between them; None where one is not kept. Two statements."""
    heads = {head.number: head for head in kept_heads(db)}
    if earlier not in heads or later not in heads or earlier > later:
        return None
    old, new = heads[earlier], heads[later]
    leaves = [leaf_hash(entry.record.encode()) for entry in _log(db)][: new.size]
    return old, new, [one.hex() for one in consistency_proof(leaves, old.size)]
