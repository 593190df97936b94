"""`stringline keys`: the keys that sign certificates: which there are, a new one, certificates signed again."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click

from trainer.access.refusal import Refused
from trainer.acts.keys import KeyChange, change_key, keep_key, sign_again
from trainer.acts.sentences import SENTENCES
from trainer.certificates.credential import moment, public_key_of
from trainer.certificates.keys import SigningKey, keys_document
from trainer.cli.preparing import OWNER_ALONE, make_key
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.config import SIGNING_KEY_FILE, Config, key_path, read_config, read_settings
from trainer.records.database import Database
from trainer.records.migrate import require_current
from trainer.records.queries.keys import signing_keys


@click.group()
def keys() -> None:
    """Keys that sign certificates: list them, change the key, sign certificates again."""


@keys.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print what /keys.json gives.")
def list_keys(*, as_json: bool) -> None:
    """Every key with its time, newest first; the one in the key file is marked."""
    with _opened() as (database, config):
        kept = _kept(database)
        if as_json:
            click.echo(json.dumps(keys_document(kept, datetime.now(UTC)), indent=1))
            return
        own = public_key_of(config.signing_key)
        for one in kept:
            click.echo(f"{one.public_key}  {_time_words(one)}{'  (in use)' if one.public_key == own else ''}")
        if own not in {one.public_key for one in kept}:
            click.echo(f"{own}  has signed nothing yet  (in use)")


@keys.command("new")
@click.option(
    "--compromised-since",
    "since",
    help="The moment from which others may have had the old key, such as 2026-03-02T15:00:00Z.",
)
def new_key(since: str | None) -> None:
    """Make a new key file and retire the old key. Stop the program first, and start it again afterwards.

    What the old key signed in its time keeps counting; with --compromised-since, what it signed then or later does
    not, until `stringline keys sign-again`.
    """
    os.umask(OWNER_ALONE)
    now = datetime.now(UTC)
    lost = None if since is None else _moment(since)
    with _opened() as (database, config):
        path = key_path(read_settings(os.environ), "STRINGLINE_SIGNING_KEY_FILE", SIGNING_KEY_FILE)
        waiting = path.with_name(f"{path.name}.new")
        own = public_key_of(config.signing_key)
        if not _half_done(database, own, waiting):
            _refused(keep_key(database, config.signing_key, config.address, now))
            if not waiting.exists():
                make_key(waiting)
            _refused(change_key(database, KeyChange(own, _public_of(waiting), lost), now))
        retired = path.with_name(f"{path.name}.retired-{now:%Y%m%dT%H%M%SZ}")
        path.rename(retired)
        waiting.rename(path)
        click.echo(f"{path}: the new key {_public_of(path)}; keep a copy apart from the database")
        click.echo(f"{retired}: the old key {own}; it signs nothing any more: destroy it and its copies")
        click.echo("Start the program again. Tell whoever checks certificates of the new key: /keys.json.")
        if lost is not None:
            click.echo("Then run `stringline keys sign-again`, and give people their certificates anew.")


@keys.command("sign-again")
def sign_anew() -> None:
    """Sign with the key in use every running certificate whose key fell into other hands.

    Only what the record log knows is signed; exit 1 and name each certificate that differs from it.
    """
    with _opened() as (database, config):
        done = sign_again(database, config.signing_key, datetime.now(UTC))
    if isinstance(done, Refused):
        raise RefusedError(_said(done))
    for public_id in done.signed:
        click.echo(f"signed again: {public_id}")
    for public_id, why in done.left:
        click.echo(f"not signed: {public_id}: {SENTENCES[why].en}")
    if done.left:
        raise SystemExit(1)
    click.echo(f"{len(done.signed)} certificates signed again")


@contextmanager
def _opened() -> Iterator[tuple[Database, Config]]:
    with clear_refusals():
        config = read_config(os.environ)
        database = Database(config.database_url)
        try:
            require_current(database)
            yield database, config
        finally:
            database.dispose()


def _kept(database: Database) -> list[SigningKey]:
    with database.reading() as db:
        return signing_keys(db)


def _half_done(database: Database, own: str, waiting: Path) -> bool:
    """Whether an earlier change was broken off after the records knew of it and before the files did."""
    if not waiting.exists():
        return False
    until = {one.public_key: one.until_at for one in _kept(database)}
    public = _public_of(waiting)
    return until.get(own) is not None and public in until and until[public] is None


def _public_of(path: Path) -> str:
    return public_key_of(bytes.fromhex(path.read_text("ascii").strip()))


def _time_words(one: SigningKey) -> str:
    until = "" if one.until_at is None else f" until {moment(one.until_at)}"
    lost = (
        ""
        if one.compromised_since is None
        else f", in other hands since {moment(one.compromised_since)}: what it signed from then on does not count"
    )
    return f"from {moment(one.from_at)}{until}{lost}"


def _moment(said: str) -> datetime:
    try:
        at = datetime.fromisoformat(said)
    except ValueError:
        raise RefusedError(
            f"--compromised-since {said} is not a moment; write one such as 2026-03-02T15:00:00Z."
        ) from None
    if at.tzinfo is None:
        raise RefusedError(f"--compromised-since {said} has no time zone; add Z for UTC.")
    return at


def _refused(done: Refused | None) -> None:
    if done is not None:
        raise RefusedError(_said(done))


def _said(refused: Refused) -> str:
    return "\n".join(SENTENCES[reason].en for reason in refused.reasons)
