"""Publish: the site's keys, its status lists, and a desk where anybody has a certificate checked; nothing is kept."""

from __future__ import annotations

import json
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, cast

import rfc8785
from flask import Blueprint, Response, abort, current_app, render_template, request
from wtforms import Form, TextAreaField

from trainer.access.pace import CHECKS
from trainer.access.throttle import address_key
from trainer.acts.keys import list_url
from trainer.acts.sentences import SENTENCES
from trainer.acts.sentences.reasons import say_reason
from trainer.certificates.credential import public_key_of, sign_credential
from trainer.certificates.handed import HandedError, check, read_handed, record_reasons
from trainer.certificates.keys import keys_document
from trainer.certificates.status_list import KEEP_MS, PURPOSES, list_length, status_list
from trainer.records.queries import certifying
from trainer.records.queries import keys as queries
from trainer.web.callers import address
from trainer.web.dates import moment_words
from trainer.web.guards import open_to_all
from trainer.web.house import house, now, reading
from trainer.web.words import Later, language

page = Blueprint("publish", __name__)

# No certificate of ours is a tenth as long.
LONGEST = 100_000
MOST_ADDRESSES = 10_000
ZONE = "UTC"


class CheckForm(Form):
    """The text of a certificate, for whoever has no file."""

    text = TextAreaField(Later("Or its text"))


@dataclass
class Desk:
    """Who asked when, in this process alone: it keeps a flood away from the processor, and nothing about people."""

    asked: dict[str, list[datetime]] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def lets_through(self, who: str, at: datetime) -> bool:
        """Count one more, unless there were too many."""
        with self.lock:
            if len(self.asked) > MOST_ADDRESSES:
                self.asked.clear()
            earlier = CHECKS.recent(self.asked.get(who, []), at)
            allowed = CHECKS.allows(earlier, at)
            self.asked[who] = [*earlier, at] if allowed else earlier
            return allowed


@dataclass(frozen=True)
class Found:
    """What the desk says: good or every reason why not, what the certificate says of itself, its page."""

    good: bool
    reasons: list[str]
    facts: list[tuple[str, str]]
    public_id: str | None
    reduced: bool


@page.get("/keys")
@open_to_all
def keys() -> str:
    """The keys that sign here and signed before, each with its time."""
    with reading() as db:
        kept = queries.signing_keys(db)
    return render_template(
        "publish/keys.html",
        keys=kept,
        own=public_key_of(house().config.signing_key),
        moment=lambda at: moment_words(at, ZONE),
    )


@page.get("/keys.json")
@open_to_all
def keys_file() -> Response:
    """The same for a machine: what `stringline verify-certificate --keys` reads."""
    with reading() as db:
        kept = queries.signing_keys(db)
    said = json.dumps(keys_document(kept, now()), indent=1) + "\n"
    return _for_everybody(Response(said, mimetype="application/json"))


@page.get("/status/<purpose>")
@open_to_all
def status(purpose: str) -> Response:
    """A signed status list of this moment, valid for a day."""
    if purpose not in PURPOSES:
        abort(404)
    key = house().config.signing_key
    with reading() as db:
        places, kept = queries.places(db, now()), queries.signing_keys(db)
    public = public_key_of(key)
    if any(one.public_key == public and one.until_at is not None for one in kept):
        # The key was retired while this program ran: a list signed with it would be taken for a forged one.
        abort(503)
    made = status_list(
        purpose, places.of(purpose),
        address=list_url(house().config.address, purpose), public_key=public,
        length=list_length({places.highest}), now=now(),
    )  # fmt: skip
    signed = rfc8785.dumps(sign_credential(made, key, now()))
    return _for_everybody(Response(signed, mimetype="application/vc"))


def _for_everybody(answer: Response) -> Response:
    """Anybody may keep it for the five minutes that the status list itself allows."""
    answer.headers["Cache-Control"] = f"public, max-age={KEEP_MS // 1000}"
    answer.headers["Cross-Origin-Resource-Policy"] = "cross-origin"
    answer.headers["Access-Control-Allow-Origin"] = "*"
    return answer


@page.get("/check")
@open_to_all
def desk() -> str:
    """Ask for a certificate's file or text."""
    return render_template("publish/check.html", form=CheckForm(), found=None, unread="")


@page.post("/check")
@open_to_all
def checked() -> str | tuple[str, int]:
    """Say whether the certificate that was handed in counts now; nothing of it is kept."""
    if not _desk().lets_through(address_key(address()), now()):
        abort(429)
    form = CheckForm(request.form)
    try:
        credential = read_handed(_handed(form), LONGEST)
    except HandedError as error:
        unread = SENTENCES[error.key].say(language(), **error.facts)
        return render_template("publish/check.html", form=form, found=None, unread=unread), 422
    return render_template("publish/check.html", form=form, found=_found(credential), unread="")


def _desk() -> Desk:
    return cast(Desk, current_app.extensions.setdefault("stringline-desk", Desk()))


def _handed(form: CheckForm) -> bytes:
    file = request.files.get("file")
    raw = file.read(LONGEST + 1) if file else b""
    typed = (form.text.data or "").strip().encode("utf-8", "replace")
    if not raw and not typed:
        raise HandedError("handed.nothing")
    return raw or typed


def _found(credential: Mapping[str, Any]) -> Found:
    public_id = str(credential.get("id", "")).removeprefix("urn:uuid:")
    with reading() as db:
        kept = queries.signing_keys(db)
        held, texts = certifying.certificate(db, public_id), queries.texts_of(db, public_id)
    found = check(credential, kept, now())
    state = held.state(now()) if held else None
    # What is not signed here may say anything: only a text of ours is compared with the record and shown.
    ours = found.whole
    reasons = (*found.reasons, *(record_reasons(credential, texts, state) if ours else ()))
    return Found(
        good=not reasons,
        reasons=[say_reason(one, language()) for one in reasons],
        facts=_facts(credential) if ours else [],
        public_id=held.public_id if held and ours else None,
        reduced=state == "reduced",
    )


def _facts(credential: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What a certificate of ours says of itself."""
    subject = credential["credentialSubject"]
    achievement = subject["achievement"]
    return [
        (str(Later("Holder")), subject["identifier"][0]["identityHash"]),
        (str(Later("Site")), credential["issuer"]["name"]),
        (str(Later("Cabinet")), achievement.get("specialization", achievement["description"])),
        (str(Later("Counts from")), credential["validFrom"]),
        (str(Later("Counts until")), credential["validUntil"]),
    ]
