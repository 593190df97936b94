"""A copy of every row in one snapshot while people work, and its restore into an empty database of either kind."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Column, Table, func, select, text
from sqlalchemy import column as column_of
from sqlalchemy import table as table_of
from sqlalchemy.orm import Session

from trainer.records import log
from trainer.records.database import Database
from trainer.records.migrate import revision_of, upgrade
from trainer.records.tables import Base
from trainer.records.tables.base import UtcMoment

KIND = "stringline backup 1"


class BackupError(RuntimeError):
    """A backup that cannot be made or taken back: where, what is wrong, what to do."""

    def __init__(self, where: str, wrong: str, mend: str) -> None:
        super().__init__(f"{where}: {wrong} {mend}")
        self.where, self.wrong, self.mend = where, wrong, mend


@dataclass(frozen=True)
class Copied:
    """What a backup or restore moved: how many rows, and the head of the record log."""

    rows: int
    log_entries: int
    head: str


def write_backup(database: Database, path: Path) -> Copied:
    """Write every row to `path`, read in one snapshot; what stands there complete is never half written over.

    JSON lines: a head, one line a row, and an end with the number of rows and a SHA-256 of all lines before it.
    """
    part = path.with_name(path.name + ".part")
    with database.snapshot() as db:
        rows = _write_lines(db, part)
        report = log.verify(db)
    if report.flaws:
        part.unlink()
        raise BackupError(str(path), "the record log does not hold.", "Run `stringline verify-log` first.")
    part.replace(path)
    return Copied(rows, report.entries, report.head)


def _write_lines(db: Session, part: Path) -> int:
    digest, count = hashlib.sha256(), 0
    with part.open("w", encoding="utf-8", newline="\n") as file:
        for line in _lines(db):
            digest.update(line.encode())
            file.write(line)
            count += 1
        file.write(_line({"end": True, "lines": count, "sha256": digest.hexdigest()}))
        file.flush()
        os.fsync(file.fileno())
    return count - 1


def _lines(db: Session) -> Iterator[str]:
    revision = db.scalar(text("SELECT version_num FROM alembic_version"))
    yield _line({"kind": KIND, "revision": revision})
    for table in _tables():
        order = list(table.primary_key.columns)
        for row in db.execute(select(table).order_by(*order).execution_options(yield_per=500)).mappings():
            yield _line({"table": table.name, "row": {name: _plain(value) for name, value in row.items()}})


def _tables() -> list[Table]:
    return list(Base.metadata.sorted_tables)


def _line(facts: dict[str, Any]) -> str:
    return json.dumps(facts, ensure_ascii=False, separators=(",", ":")) + "\n"


def _plain(value: object) -> object:
    return log.moment_text(value) if isinstance(value, datetime) else value


def restore_backup(database: Database, path: Path) -> Copied:
    """Fill an empty database from a backup, all or nothing, and check the record log. Raises BackupError."""
    head, rows = _checked(path)
    if revision_of(database) is not None:
        raise BackupError(database.where, "it is not empty.", "Restore into a new, empty database.")
    upgrade(database, str(head["revision"]))
    with database.writing() as db:
        late = [(table, row) for table, row in _insert_all(db, rows) if row]
        for table, row in late:
            db.execute(table.update().where(table.c.id == row.pop("id")).values(**row))
        if not database.is_sqlite:
            _set_sequences(db, {str(said["table"]) for said in rows})
        report = log.verify(db)
        if report.flaws:
            raise BackupError(str(path), "the record log in it does not hold.", "Take another backup.")
    upgrade(database)
    return Copied(len(rows), report.entries, report.head)


def _checked(path: Path) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The head and the rows of a backup whose end fits what stands before it."""
    broken = BackupError(
        str(path), "it is no whole backup of Stringline.", "Use a file that `stringline backup` wrote."
    )
    try:
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        said = [json.loads(line) for line in lines]
    except (UnicodeDecodeError, json.JSONDecodeError):
        raise broken from None
    if len(said) < 2 or not all(isinstance(one, dict) for one in said) or said[0].get("kind") != KIND:
        raise broken
    digest = hashlib.sha256("".join(lines[:-1]).encode()).hexdigest()
    if said[-1] != {"end": True, "lines": len(lines) - 1, "sha256": digest}:
        raise broken
    return said[0], said[1:-1]


def _insert_all(db: Session, rows: list[dict[str, Any]]) -> Iterator[tuple[Table, dict[str, Any]]]:
    """Insert every row; a reference to the row's own table waits until all of them stand."""
    for said in rows:
        table = Base.metadata.tables[said["table"]]
        row = {name: _typed(table.c[name], value) for name, value in said["row"].items()}
        own = [c.name for c in table.columns if any(key.column.table is table for key in c.foreign_keys)]
        later = {name: row[name] for name in own if row.get(name) is not None}
        # Only the columns that the backup has: the table is still as the older program knew it.
        then = table_of(table.name, *(column_of(name, table.c[name].type) for name in row))
        db.execute(then.insert().values(**{**row, **dict.fromkeys(name for name in own if name in row)}))
        yield table, {"id": row["id"], **later} if later else {}


def _typed(column: Column[Any], value: object) -> object:
    if isinstance(column.type, UtcMoment) and isinstance(value, str):
        return datetime.fromisoformat(value)
    return value


def _set_sequences(db: Session, filled: set[str]) -> None:
    """PostgreSQL counts ids by sequences, which rows with ids of their own do not move.

    Only of tables that were filled: a backup of an older program has not all of today's.
    """
    for table in _tables():
        if "id" in table.c and table.name in filled:
            highest = db.scalar(select(func.max(table.c.id)))
            if highest is not None:
                name = text("SELECT setval(pg_get_serial_sequence(:table, 'id'), :highest)")
                db.execute(name, {"table": table.name, "highest": highest})
