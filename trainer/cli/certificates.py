"""Checking a certificate's file without the server: `stringline verify-certificate`."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import IO, Any

import click

from trainer.acts.sentences import SENTENCES
from trainer.acts.sentences.reasons import say_reason
from trainer.certificates.credential import key_bytes
from trainer.certificates.handed import MOST_BYTES, Checked, HandedError, Trust, check, read_handed
from trainer.certificates.keys import KeysError, read_keys
from trainer.exams.scheme import Text

NOT_GOOD, BAD_USE = 1, 2
GOOD, BAD = Text("Good", "Vale"), Text("Not good", "No vale")
UNTIL, SIGNED = Text("Until", "Hasta"), Text("Signed with", "Firmado con")
COMPARE = Text("Compare the key with the site's.", "Compara la clave con la del sitio.")
STATUS = {
    True: Text(
        "By the status lists given it is neither withdrawn nor suspended.",
        "Según las listas dadas no está retirado ni suspendido.",
    ),
    False: Text(
        "Not checked: whether it was withdrawn or suspended. Give the site's status lists with --status, or look at "
        "its public page.",
        "Sin comprobar: si se retiró o se suspendió. Da las listas del sitio con --status, o mira su página pública.",
    ),
}


class UnreadableError(ValueError):
    """Something given on the command line that cannot be used: why."""


@click.command("verify-certificate")
@click.argument("file", type=click.File("rb"))
@click.option(
    "--key", help="The site's public key (z6Mk…); without it, any key that the certificate names itself."
)
@click.option("--keys", type=click.File("rb"), help="The site's keys with their times, from its /keys.json.")
@click.option(
    "--status",
    type=click.File("rb"),
    multiple=True,
    help="A status list of the site, from its /status/revocation or /status/suspension; give both.",
)
@click.option(
    "--at", help="The moment that it must count for, such as 2026-03-02T15:00:00Z; without it, now."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of sentences.")
def verify_certificate(
    file: IO[bytes],
    *,
    key: str | None,
    keys: IO[bytes] | None,
    status: Sequence[IO[bytes]],
    at: str | None,
    language: str,
    as_json: bool,
) -> None:
    """Check the certificate in FILE (- for standard input): signature, key, dates, status lists. Needs no server.

    Exit code 0: good. 1: not good, with every reason. 2: something given cannot be read.
    Without status lists it says that withdrawal and suspension were not checked.
    """
    try:
        moment, trust = _moment(at), _trust(key, keys)
        credential = read_handed(file.read(MOST_BYTES + 1))
        lists = [read_handed(one.read(MOST_BYTES + 1)) for one in status]
    except HandedError as error:
        click.echo(SENTENCES[error.key].say(language, **error.facts), err=True)
        sys.exit(BAD_USE)
    except (UnreadableError, KeysError) as error:
        click.echo(f"{error}", err=True)
        sys.exit(BAD_USE)
    found = check(credential, trust, moment, lists)
    if as_json:
        said = {
            "good": found.good,
            "reasons": found.reasons,
            "key": found.key,
            "status": found.status_checked,
        }
        click.echo(json.dumps(said))
    else:
        _say(credential, found, language, named=trust is not None)
    sys.exit(0 if found.good else NOT_GOOD)


def _moment(at: str | None) -> datetime:
    if at is None:
        return datetime.now(UTC)
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        raise UnreadableError(f"--at {at} is not a moment; write one such as 2026-03-02T15:00:00Z.") from None
    if moment.tzinfo is None:
        raise UnreadableError(f"--at {at} has no time zone; add Z for UTC.")
    return moment


def _trust(key: str | None, keys: IO[bytes] | None) -> Trust:
    if key is not None and keys is not None:
        raise UnreadableError("Give either --key or --keys, not both.")
    if keys is not None:
        return read_keys(read_handed(keys.read(MOST_BYTES + 1)))
    if key is not None and key_bytes(key) is None:
        raise UnreadableError(f"{key} is not an Ed25519 public key in multibase; it begins with z6Mk.")
    return None if key is None else frozenset({key})


def _say(credential: Mapping[str, Any], found: Checked, language: str, *, named: bool) -> None:
    if not found.good:
        click.echo(f"{BAD.say(language)}:")
        for reason in found.reasons:
            click.echo(f"- {say_reason(reason, language)}")
    else:
        click.echo(f"{GOOD.say(language)}: {credential['id']}")
        click.echo(f"{UNTIL.say(language)}: {credential.get('validUntil', '-')}")
        click.echo(f"{SIGNED.say(language)}: {found.key}")
        if not named:
            click.echo(COMPARE.say(language))
    if found.good or not found.status_checked:
        click.echo(STATUS[found.status_checked].say(language))
