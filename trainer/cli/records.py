"""`stringline verify-log`, `backup`, `restore`, `export`: what an administrator and an auditor do with records."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.cli.evidence import write_evidence
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.cli.tables import write_csv, write_json
from trainer.config import database_address, read_config, read_settings
from trainer.records import log
from trainer.records.backup import BackupError, restore_backup, write_backup
from trainer.records.database import Database, Session
from trainer.records.export import exported_tables
from trainer.records.heads import verify_heads
from trainer.records.migrate import require_current
from trainer.records.queries.people import sites
from trainer.web.open_house import open_house


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
@click.option(
    "--evidence", is_flag=True, help="What an auditor checks alone, with the program that checks it."
)
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
def export(site_id: int, folder: Path, *, evidence: bool) -> None:
    """Write everything a site owns to FOLDER, each table as CSV and as JSON.

    With --evidence also the whole record log, its heads, keys, certificates, exams with their key sheets, and
    verifier.py, which checks all of it without the server. FOLDER must then be new or empty.
    """
    with opened() as database, database.snapshot() as db:
        if site_id not in {id_ for id_, _ in sites(db)}:
            raise RefusedError(f"--site: there is no site {site_id}.")
        if not evidence:
            click.echo(f"{folder}: {_write_tables(db, folder, site_id)} rows")
            return
    _export_evidence(folder, site_id)


def _export_evidence(folder: Path, site_id: int) -> None:
    now = datetime.now(UTC)
    with clear_refusals():
        if folder.is_dir() and any(folder.iterdir()):
            raise RefusedError(f"{folder}: something stands in it. Name a new folder.")
        house = open_house(read_config(os.environ), lambda: now)
        try:
            entries, files = write_evidence(house, folder, site_id, now)
        finally:
            house.database.dispose()
    click.echo(
        f"{folder}: {entries} log entries, {files} files. Check it: python {folder / 'verifier.py'} {folder}"
    )


def _write_tables(db: Session, folder: Path, site_id: int) -> int:
    folder.mkdir(parents=True, exist_ok=True)
    count = 0
    for name, rows in exported_tables(db, site_id):
        write_json(folder / f"{name}.json", rows)
        write_csv(folder / f"{name}.csv", rows)
        count += len(rows)
    return count
