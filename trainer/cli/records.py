"""`stringline verify-log`, `backup`, `restore`, `export`: what an administrator and an auditor do with records."""

from __future__ import annotations

import csv
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.config import database_address, read_settings
from trainer.records import log
from trainer.records.backup import BackupError, restore_backup, write_backup
from trainer.records.database import Database
from trainer.records.export import exported_tables
from trainer.records.heads import verify_heads
from trainer.records.migrate import require_current
from trainer.records.queries.people import sites

# OWASP, "CSV Injection": a spreadsheet takes a cell that begins with one of these for a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


@contextmanager
def opened(*, current: bool = True) -> Iterator[Database]:
    """The installation's database, with one clear line for whatever is wrong."""
    with clear_refusals():
        database = Database(database_address(read_settings(os.environ)))
        try:
            if current:
                require_current(database)
            yield database
        except BackupError as error:
            raise RefusedError(str(error)) from error
        finally:
            database.dispose()


@click.command("verify-log")
@click.option("--head", help="A head noted earlier: the log must still hold it.")
@click.option(
    "--key", "keys", multiple=True, help="A public key (z6Mk…) that may sign heads; others are named."
)
def verify_log(head: str | None, keys: tuple[str, ...]) -> None:
    """Walk the record log from its first entry, and check every signed head; exit 1 and name what does not hold."""
    with opened() as database, database.reading() as db:
        report = log.verify(db)
        heads = verify_heads(db, set(keys) or None)
        known = head is None or log.holds(db, head)
    for step in report.time_steps:
        click.echo(f"entry {step.seq}: {step.why}: the clock was set back; the chain is not touched by that")
    for flaw in report.flaws:
        click.echo(f"entry {flaw.seq}: {flaw.why}")
    for flaw in heads.flaws:
        click.echo(f"head {flaw.seq}: {flaw.why}")
    if not known:
        click.echo(f"no entry has the head {head}: the log was rewritten or cut since it was noted")
    if report.flaws or heads.flaws or not known:
        raise SystemExit(1)
    click.echo(f"{heads.heads} signed heads hold, keys: {', '.join(heads.keys) or 'none'}")
    click.echo(f"the log holds: {report.entries} entries, head {report.head}")


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def backup(file: Path) -> None:
    """Copy every row to FILE in one snapshot while people work."""
    with opened() as database:
        done = write_backup(database, file)
    click.echo(f"{file}: {done.rows} rows, {done.log_entries} log entries, head {done.head}")


@click.command()
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False, exists=True))
def restore(file: Path) -> None:
    """Fill the empty database of DATABASE_URL from a backup, SQLite or PostgreSQL, whichever wrote it."""
    with opened(current=False) as database:
        done = restore_backup(database, file)
    click.echo(f"restored {done.rows} rows, {done.log_entries} log entries, head {done.head}")


@click.command()
@click.option("--site", "site_id", type=int, default=1, show_default=True, help="The site's number.")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
def export(site_id: int, folder: Path) -> None:
    """Write everything a site owns to FOLDER, each table as CSV and as JSON."""
    with opened() as database, database.reading() as db:
        if site_id not in {id_ for id_, _ in sites(db)}:
            raise RefusedError(f"--site: there is no site {site_id}.")
        folder.mkdir(parents=True, exist_ok=True)
        count = 0
        for name, rows in exported_tables(db, site_id):
            write_json(folder / f"{name}.json", rows)
            write_csv(folder / f"{name}.csv", rows)
            count += len(rows)
    click.echo(f"{folder}: {count} rows")


def write_json(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Rows as a JSON list."""
    plain = [{name: _plain(value) for name, value in row.items()} for row in rows]
    path.write_text(json.dumps(plain, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def write_csv(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Rows as CSV (RFC 4180): a head, CRLF, quotes doubled, no cell that a spreadsheet would run."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        if rows:
            writer.writerow(rows[0])
            writer.writerows([csv_cell(_plain(value)) for value in row.values()] for row in rows)


def csv_cell(value: object) -> object:
    """A cell as it is written: text that a spreadsheet would take for a formula gets an apostrophe in front."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value


def _plain(value: object) -> object:
    return log.moment_text(value) if isinstance(value, datetime) else value
