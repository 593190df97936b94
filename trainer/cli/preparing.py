"""`stringline prepare`: the data folder, the secret, the signing key, the tables."""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

import click

from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.config import (
    SECRET_BYTES,
    SECRET_FILE,
    SIGNING_KEY_FILE,
    database_address,
    key_path,
    read_config,
    read_settings,
)
from trainer.records.database import Database
from trainer.records.migrate import revision_of, upgrade

# Whatever is made holds hashes, keys or exams: nobody else on the machine reads it.
OWNER_ALONE = 0o077
KEYS = (("STRINGLINE_SECRET_FILE", SECRET_FILE), ("STRINGLINE_SIGNING_KEY_FILE", SIGNING_KEY_FILE))


@click.command()
def prepare() -> None:
    """Make the data folder, the secret, the signing key and the tables; safe to repeat, nothing is overwritten."""
    os.umask(OWNER_ALONE)
    with clear_refusals():
        for line in prepare_installation(os.environ):
            click.echo(line)


def prepare_installation(environ: Mapping[str, str]) -> list[str]:
    """Make what is missing; a line for each thing made."""
    texts = read_settings(environ)
    folder = Path(texts["STRINGLINE_DATA_FOLDER"])
    made = [] if folder.is_dir() else [f"made the folder {folder}"]
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    database = Database(database_address(texts))
    before = revision_of(database)
    for name, usual in KEYS:
        path = key_path(texts, name, usual)
        if not path.exists():
            _refuse_new_key_for_old_records(path, before, database.where)
            make_key(path)
            made.append(f"made the key {path}; keep a copy apart from the database")
    read_config(environ)
    upgrade(database)
    database.dispose()
    return [*made, f"the tables in {database.where} are up to date"]


def _refuse_new_key_for_old_records(path: Path, revision: str | None, where: str) -> None:
    """A new key beside old records would make their exams and certificates worthless without a word."""
    if revision is not None:
        raise RefusedError(
            f"{path}: this key is missing, but {where} already holds records made with it. Put back its copy."
        )


def make_key(path: Path) -> None:
    """Write 32 random bytes as hex, for the owner alone, never over a file that is there."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_bytes(SECRET_BYTES).hex() + "\n")
        file.flush()
        os.fsync(file.fileno())
