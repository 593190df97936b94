"""Everything a site owns, as rows to be written as CSV and JSON; no password, PIN or tablet token is among them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sqlalchemy import ColumnElement, Table, select, true
from sqlalchemy.orm import Session

from trainer.records.log import FIRST
from trainer.records.tables import Base, Exam, LogEntry, Person

SECRET_COLUMNS = frozenset({"password_hash", "pin_hash", "token_hash", "session_number"})
# Tries to sign in are swept away after a while and belong to nobody.
LEFT_OUT = frozenset({"sign_in_try", "log_entry"})
# A head is over the log of the whole installation, and keys sign for all its sites, so every site gets them all.
WHOLE = frozenset({"log_head", "signing_key"})
# Tables that name neither site nor person: the column that leads to a table which names a person, and that table.
THROUGH = {
    "exam_answer": ("exam_id", Base.metadata.tables["exam"]),
    "exam_key_sheet": ("exam_id", Base.metadata.tables["exam"]),
    "exam_pause": ("exam_id", Base.metadata.tables["exam"]),
    "exam_look": ("exam_id", Base.metadata.tables["exam"]),
    "exam_mark": ("exam_id", Base.metadata.tables["exam"]),
    "bench_act": ("run_id", Base.metadata.tables["bench_run"]),
    "cut_rating": ("judge_id", Base.metadata.tables["cut_judge"]),
    "practical_bench": ("practical_id", Base.metadata.tables["practical"]),
    "status_place": ("certificate_id", Base.metadata.tables["certificate"]),
    "signed_again": ("certificate_id", Base.metadata.tables["certificate"]),
}


def exported_tables(db: Session, site_id: int) -> Iterator[tuple[str, list[dict[str, Any]]]]:
    """Each table's name with the site's rows, then the site's entries of the record log. One statement a table."""
    for table in Base.metadata.sorted_tables:
        if table.name in LEFT_OUT:
            continue
        columns = [column for column in table.columns if column.name not in SECRET_COLUMNS]
        statement = select(*columns).where(_owned(table, site_id)).order_by(*table.primary_key.columns)
        yield table.name, [dict(row) for row in db.execute(statement).mappings()]
    yield "record_log", list(_log(db, site_id))


def _owned(table: Table, site_id: int) -> ColumnElement[bool]:
    people = select(Person.id).where(Person.site_id == site_id)
    if table.name in WHOLE:
        return true()
    if table.name in THROUGH:
        column, parent = THROUGH[table.name]
        return table.c[column].in_(select(parent.c.id).where(parent.c.person_id.in_(people)))
    if table.name == "site":
        return table.c.id == site_id
    return table.c.site_id == site_id if "site_id" in table.c else table.c.person_id.in_(people)


def _log(db: Session, site_id: int) -> Iterator[dict[str, Any]]:
    """The site's entries, each with the hash before it, so that each can be checked though others are left out."""
    people = set(db.scalars(select(Person.public_id).where(Person.site_id == site_id)))
    exams = set(
        db.scalars(
            select(Exam.public_id).join(Person, Person.id == Exam.person_id).where(Person.site_id == site_id)
        )
    )
    own, previous = people | exams | {f"site:{site_id}"}, FIRST.hex()
    for entry in db.scalars(select(LogEntry).order_by(LogEntry.seq).execution_options(yield_per=500)):
        if entry.by in own or entry.about in own:
            yield {"seq": entry.seq, "previous": previous, "record": entry.record, "hash": entry.hash}
        previous = entry.hash
