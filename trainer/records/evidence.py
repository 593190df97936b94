"""The record log and the site's exams as an auditor takes them away: every entry that the chain and the tree need."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.records.tables import Exam, ExamKeySheet, LogEntry, LogHead, Person, SigningKeyKept, Site
from trainer.records.tree import leaf_hash


def log_lines(db: Session, site_id: int) -> Iterator[dict[str, Any]]:
    """Every entry of the log in order; of what concerns another site the leaf alone, which keeps the tree whole.

    The chain's hash of such an entry stands where something is checked against it: before an entry of this site,
    under a head, at the end.
    """
    others, sizes = _others(db, site_id), set(db.scalars(select(LogHead.size)))
    entries = select(LogEntry.seq, LogEntry.by, LogEntry.about, LogEntry.record, LogEntry.hash)
    sealed: dict[str, Any] | None = None
    chained = ""
    for entry in db.execute(entries.order_by(LogEntry.seq).execution_options(yield_per=500)):
        ours = entry.by not in others and entry.about not in others
        if sealed is not None:
            yield {**sealed, "hash": chained} if ours or sealed["seq"] in sizes else sealed
        sealed, chained = None, entry.hash
        if ours:
            yield {"seq": entry.seq, "record": entry.record, "hash": entry.hash}
        else:
            sealed = {"seq": entry.seq, "leaf": leaf_hash(entry.record.encode()).hex()}
    if sealed is not None:
        yield {**sealed, "hash": chained}


def _others(db: Session, site_id: int) -> set[str]:
    """What stands in the log for people, exams and places of other sites. Three statements."""
    elsewhere = select(Person.id).where(Person.site_id != site_id)
    people = db.scalars(select(Person.public_id).where(Person.site_id != site_id))
    exams = db.scalars(select(Exam.public_id).where(Exam.person_id.in_(elsewhere)))
    sites = db.scalars(select(Site.id).where(Site.id != site_id))
    return {*people, *exams, *(f"site:{one}" for one in sites)}


def closed_exams(db: Session, site_id: int) -> list[str]:
    """Public ids of the site's closed exams, oldest first: only those may have their keys shown. One statement."""
    statement = (
        select(Exam.public_id)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, Exam.submitted_at.is_not(None))
        .order_by(Exam.id)
    )
    return list(db.scalars(statement))


def kept_key_sheet(db: Session, exam_id: int) -> dict[str, Any] | None:
    """The key sheet that an exam's close kept, with its salt; None where it closed before they were. One statement."""
    asked = select(ExamKeySheet.salt, ExamKeySheet.sheet).where(ExamKeySheet.exam_id == exam_id)
    row = db.execute(asked).one_or_none()
    return None if row is None else {"salt": row.salt, "sheet": json.loads(row.sheet)}


def status_address(db: Session, public_key: str) -> str:
    """Where the status lists of certificates signed with a key are to be found; empty where nobody said."""
    asked = select(SigningKeyKept.address).where(SigningKeyKept.public_key == public_key)
    return db.scalar(asked) or ""
