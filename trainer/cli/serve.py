"""`stringline run`: serve the pages, close exams whose time is up."""

from __future__ import annotations

import errno
import logging
import os
import signal
from dataclasses import replace
from datetime import UTC, datetime
from threading import Event, Thread
from types import FrameType
from typing import NoReturn

import click
import waitress  # type: ignore[import-untyped]
from flask import Flask
from waitress.server import BaseWSGIServer  # type: ignore[import-untyped]

from trainer import demo as demo_wash
from trainer.acts.exams import ExamTools, close_overdue
from trainer.acts.heads import sign_daily
from trainer.acts.keys import keep_key
from trainer.acts.looking import look_over
from trainer.acts.pictures import drop_photos
from trainer.acts.sentences import SENTENCES
from trainer.acts.statistics import look_where_due
from trainer.cli.channel import with_channels
from trainer.cli.preparing import OWNER_ALONE, prepare_installation
from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.config import Config, read_config
from trainer.records.queries.people import sites
from trainer.web.app import create_app
from trainer.web.checking import check_where_changed
from trainer.web.house import House
from trainer.web.open_house import open_house

THREADS = 8
# A browser keeps its connection open between two answers: a house full of people needs one each, not a hundred in all.
CONNECTIONS = 800
SWEEP_SECONDS = 1.0
HEAD_SECONDS = 60.0
PHOTO_SECONDS = 3600.0
log = logging.getLogger("stringline")


@click.command()
@click.option("--demo", is_flag=True, help="Prepare, and fill an empty installation with an invented wash.")
@click.option("--host", help="Address to listen on, instead of STRINGLINE_HOST.")
@click.option(
    "--port", type=click.IntRange(0, 65535), help="Port, instead of STRINGLINE_PORT; 0 takes a free one."
)
def run(demo: bool, host: str | None, port: int | None) -> None:
    """Serve the pages until Ctrl-C."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(levelname)s %(message)s")
    logging.getLogger("alembic").setLevel(logging.WARNING)
    os.umask(OWNER_ALONE)
    with clear_refusals():
        if demo:
            prepare_installation(os.environ)
        config = read_config(os.environ)
        config = replace(config, host=host or config.host, port=config.port if port is None else port)
        house = open_house(config, lambda: datetime.now(UTC))
        if demo:
            _fill(house)
        _keep_key(house)
        server = _listen(house, config)
    click.echo(f"Stringline is at http://{_written(config.host)}:{server.effective_port} (Ctrl-C stops it)")
    _serve(server, house)


def _fill(house: House) -> None:
    """Build the invented wash where there is no site yet, and say how to sign in."""
    with house.database.reading() as db:
        if sites(db):
            return
    content = demo_wash.Content(house.bank, house.lessons, house.schemes)
    for one in demo_wash.build(house.database, house.config, content, house.clock()):
        pin = f"  PIN {one.pin}" if one.pin else ""
        click.echo(f"  {one.sign_in_name:6}  {one.password}{pin}  {one.name}, {one.who}")


def _keep_key(house: House) -> None:
    """Know the key in use and where its status lists stand; a retired key is refused before anybody signs."""
    refused = keep_key(house.database, house.config.signing_key, house.config.address, house.clock())
    if refused is not None:
        raise RefusedError(" ".join(SENTENCES[reason].en for reason in refused.reasons))


def _listen(house: House, config: Config) -> BaseWSGIServer:
    try:
        return make_server(create_app(house), config.host, config.port, proxies=config.proxies)
    except OSError as error:
        raise RefusedError(_why_not(error, config)) from error


def make_server(app: Flask, host: str, port: int, *, proxies: int) -> BaseWSGIServer:
    """The server as it is shipped, over a web program. Raises OSError."""
    server = waitress.create_server(
        app, host=host, port=port, threads=THREADS, ident=None, connection_limit=CONNECTIONS,
        asyncore_use_poll=True,
        # Behind a proxy ProxyFix reads what the proxy says of the caller; else nobody may say it.
        clear_untrusted_proxy_headers=proxies == 0,
    )  # fmt: skip
    return with_channels(server)


def _why_not(error: OSError, config: Config) -> str:
    where = f"{_written(config.host)}:{config.port}"
    if error.errno == errno.EADDRINUSE:
        other = config.port % 65535 + 1
        return f"{where}: another program listens there. Stop it, or choose another port: --port {other}."
    if error.errno == errno.EACCES:
        return f"{where}: this user may not listen there. Choose a port above 1023."
    return (
        f"{where}: {error.strerror or error}. Check the address: --host 127.0.0.1 serves this machine alone."
    )


def _written(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def _serve(server: BaseWSGIServer, house: House) -> None:
    stopping = Event()
    sweepers = [
        Thread(target=one, args=(house, stopping), daemon=True)
        for one in (sweep, look_at_questions, sign_heads, sweep_photos)
    ]
    for sweeper in sweepers:
        sweeper.start()
    signal.signal(signal.SIGTERM, _stop)
    try:
        server.run()
    finally:
        stopping.set()
        for sweeper in sweepers:
            sweeper.join(timeout=10)
        house.database.dispose()


def sweep(house: House, stopping: Event, seconds: float = SWEEP_SECONDS) -> None:
    """Close overdue exams again and again until told to stop; a failure is written down and tried again."""
    tools = _tools(house)
    while not stopping.is_set():
        try:
            for public_id in close_overdue(house.database, tools, house.clock()):
                log.info("closed exam %s: its time was up", public_id)
            for public_id in look_over(house.database, tools, house.clock()):
                log.info("exam %s asks for a look", public_id)
        except Exception:
            log.exception("overdue exams could not be closed; trying again in %g s", seconds)
        stopping.wait(seconds)


def look_at_questions(house: House, stopping: Event, seconds: float = HEAD_SECONDS) -> None:
    """Look once a day at how questions do, and check them again where the program has changed, until told to stop.

    Beside the sweep, for either may take a while.
    """
    while not stopping.is_set():
        try:
            for site_id, version in check_where_changed(house):
                log.info("checked the questions of site %d again with sheet version %d", site_id, version)
            for site_id in look_where_due(house.database, _tools(house), house.clock()):
                log.info("looked at how the questions of site %d do", site_id)
        except Exception:
            log.exception("how questions do could not be looked at; trying again in %g s", seconds)
        stopping.wait(seconds)


def _tools(house: House) -> ExamTools:
    return ExamTools(house.bank, house.schemes, house.key_for("instances"), house.site_values, house.sheet)


def sign_heads(house: House, stopping: Event, seconds: float = HEAD_SECONDS) -> None:
    """Sign the head of the record log once a day until told to stop; a failure is written down and tried again."""
    while not stopping.is_set():
        try:
            signed = sign_daily(house.database, house.config.signing_key, house.clock())
            if signed is not None:
                log.info("signed head %d of the record log: %d entries", signed.number, signed.size)
        except Exception:
            log.exception("the head of the record log could not be signed; trying again in %g s", seconds)
        stopping.wait(seconds)


def sweep_photos(house: House, stopping: Event, seconds: float = PHOTO_SECONDS) -> None:
    """Take out photos that no question names, once an hour until told to stop; a failure is tried again."""
    while not stopping.is_set():
        try:
            gone = drop_photos(house.database, house.clock())
            if gone:
                log.info("took out photos that no question names: %d", gone)
        except Exception:
            log.exception("unnamed photos could not be taken out; trying again in %g s", seconds)
        stopping.wait(seconds)


def _stop(_signal: int, _frame: FrameType | None) -> NoReturn:
    raise SystemExit(0)
