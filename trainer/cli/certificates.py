"""Checking a certificate's file without the server: `stringline verify-certificate`."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import click

from trainer.acts.sentences import SENTENCES
from trainer.certificates.credential import key_bytes, out_of_time, verify_credential

NOT_GOOD, BAD_USE = 1, 2
MOST_BYTES = 1_000_000


class UnreadableError(ValueError):
    """A file that holds no certificate: why."""


@click.command("verify-certificate")
@click.argument("file", type=click.File("rb"))
@click.option(
    "--key", help="The site's public key (z6Mk…); without it, any key that the certificate names itself."
)
@click.option(
    "--at", help="The moment that it must count for, such as 2026-03-02T15:00:00Z; without it, now."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of sentences.")
def verify_certificate(file: Any, key: str | None, at: str | None, language: str, *, as_json: bool) -> None:
    """Check the certificate in FILE (- for standard input): signature, key and dates. Needs no server.

    Exit code 0: good. 1: not good, with every reason. 2: FILE, KEY or the moment cannot be read.
    Whether it was withdrawn stands on its public page alone.
    """
    try:
        moment = _moment(at)
        credential = _read(file.read(MOST_BYTES + 1))
        if key is not None and key_bytes(key) is None:
            raise UnreadableError(f"{key} is not an Ed25519 public key in multibase; it begins with z6Mk.")
    except UnreadableError as error:
        click.echo(f"{error}", err=True)
        sys.exit(BAD_USE)
    found = verify_credential(credential, None if key is None else {key})
    reasons = (*found.reasons, *out_of_time(credential, moment))
    if as_json:
        click.echo(json.dumps({"good": not reasons, "reasons": reasons, "key": found.issuer_key}))
    else:
        _say(credential, reasons, found.issuer_key, language)
    sys.exit(NOT_GOOD if reasons else 0)


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


def _read(raw: bytes) -> Mapping[str, Any]:
    """The one JSON object of a file; a name that stands twice is refused, for readers differ on which counts."""
    if len(raw) > MOST_BYTES:
        raise UnreadableError(f"The file is longer than {MOST_BYTES:,} bytes; no certificate is.")
    try:
        read = json.loads(raw.decode("utf-8"), object_pairs_hook=_once)
    except UnicodeDecodeError:
        raise UnreadableError("The file is not UTF-8 text.") from None
    except json.JSONDecodeError as error:
        raise UnreadableError(
            f"The file is not JSON: {error.msg}, line {error.lineno} column {error.colno}."
        ) from None
    except RecursionError:
        raise UnreadableError("The file is nested too deeply to be a certificate.") from None
    if not isinstance(read, dict):
        raise UnreadableError("The file holds JSON, but not one object.")
    return read


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    read = dict(pairs)
    if len(read) != len(pairs):
        twice = next(name for index, (name, _) in enumerate(pairs) if name in dict(pairs[:index]))
        raise UnreadableError(f"The name {twice!r} stands twice in one object.")
    return read


def _say(credential: Mapping[str, Any], reasons: tuple[str, ...], key: str | None, language: str) -> None:
    spanish = language == "es"
    if reasons:
        click.echo("No vale:" if spanish else "Not good:")
        for reason in reasons:
            name, _, fact = reason.partition(":")
            click.echo(f"- {SENTENCES[name].say(language, name=fact, moment=fact)}")
        return
    until = credential.get("validUntil", "-")
    click.echo(f"{'Vale' if spanish else 'Good'}: {credential['id']}")
    click.echo(f"{'Hasta' if spanish else 'Until'}: {until}")
    click.echo(f"{'Firmado con' if spanish else 'Signed with'}: {key}")
    click.echo(
        "Compara la clave con la del sitio. Si se retiró, lo dice su página pública."
        if spanish
        else "Compare the key with the site's. Whether it was withdrawn stands on its public page."
    )
