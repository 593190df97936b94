"""`stringline site add` and `stringline user add`: the first site and the first person of an installation."""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import cast, get_args

import click

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.enrolment import Newcomer, enrol_newcomer
from trainer.acts.sentences import SENTENCES
from trainer.acts.sites import open_site
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.config import read_config
from trainer.records.database import Database
from trainer.records.migrate import require_current
from trainer.records.queries.people import sites
from trainer.sites.reading import read_sheet


@click.group()
def site() -> None:
    """Sites of this installation."""


@site.command("add")
@click.argument("sheet", type=click.Path(path_type=Path))
def add_site(sheet: Path) -> None:
    """Set up a site from its site sheet, a YAML file."""
    with clear_refusals():
        database = _database()
        text = _text(sheet)
        read = read_sheet(text, str(sheet))
        with database.reading() as db:
            known = sites(db)
        if read.name in [name for _, name in known]:
            raise RefusedError(
                f"{sheet}: there is already a site {read.name!r}. Change `name`, or edit it in the browser."
            )
        number = open_site(database, sheet=read, text=text, now=datetime.now(UTC))
    click.echo(f"site {number}: {read.name}")


@click.group()
def user() -> None:
    """People of this installation."""


@user.command("add")
@click.argument("name")
@click.option("--sign-in", "sign_in_name", required=True, help="What they type as their name at the door.")
@click.option("--role", required=True, type=click.Choice(get_args(Role)))
@click.option(
    "--site", "site_id", required=True, type=int, help="Number of the site, as `site add` printed it."
)
@click.option("--language", default="en", type=click.Choice(["en", "es"]), show_default=True)
@click.option("--units", default="us", type=click.Choice(["us", "metric"]), show_default=True)
@click.option("--password-stdin", is_flag=True, help="Read the password from standard input, one line.")
def add_user(
    *, name: str, sign_in_name: str, role: str, site_id: int, language: str, units: str, password_stdin: bool
) -> None:
    """Enrol a person; asks for their password."""
    with clear_refusals():
        database = _database()
        _require_site(database, site_id)
        password = (
            sys.stdin.readline().rstrip("\r\n")
            if password_stdin
            else click.prompt("Password", hide_input=True, confirmation_prompt=True)
        )
        who = Newcomer(name, sign_in_name, cast(Role, role), password, language=language, system=units)
        done = enrol_newcomer(database, site_id=site_id, by=None, who=who, now=datetime.now(UTC))
    if isinstance(done, Refused):
        raise RefusedError("\n".join(SENTENCES[reason].en for reason in done.reasons))
    click.echo(f"enrolled {name} as {role}; they sign in as {sign_in_name}")


def _database() -> Database:
    database = Database(read_config(os.environ).database_url)
    require_current(database)
    return database


def _text(sheet: Path) -> str:
    try:
        return sheet.read_text("utf-8")
    except UnicodeDecodeError:
        raise RefusedError(f"{sheet}: it is not UTF-8 text. Save it as UTF-8.") from None


def _require_site(database: Database, site_id: int) -> None:
    with database.reading() as db:
        known = sites(db)
    if site_id not in [number for number, _ in known]:
        there = (
            ", ".join(f"{number} {name}" for number, name in known) or "none; run `stringline site add` first"
        )
        raise RefusedError(f"--site {site_id}: there is no such site. There are: {there}.")
