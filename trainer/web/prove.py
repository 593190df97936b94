"""Prove: a certificate's public page, its credential to take away, its code to scan, and its paper."""

from __future__ import annotations

import io
import json
import uuid

from flask import Blueprint, Response, abort, g, render_template, url_for

from trainer.access.rights import may
from trainer.acts.sentences.reasons import say_reason
from trainer.certificates.credential import public_key_of, verify_credential
from trainer.certificates.facts import CertificateHeld
from trainer.certificates.handed import verify_with
from trainer.certificates.paper import CertificatePaper, certificate_pdf
from trainer.certificates.scope import TASKS
from trainer.exams.scheme import PROGRAMME, Text
from trainer.records.heads import newest_head
from trainer.records.queries import certifying as queries
from trainer.records.queries import keys
from trainer.web.cabinet_words import STATES
from trainer.web.dates import moment_words
from trainer.web.guards import needs, open_to_all
from trainer.web.house import house, now, reading
from trainer.web.words import language

page = Blueprint("prove", __name__)


@page.get("/c/<uuid:public_id>")
@open_to_all
def certificate(public_id: uuid.UUID) -> str | tuple[str, int]:
    """What a certificate says and whether it counts now; needs no sign-in."""
    held = _held(public_id)
    if not held.credential:  # its holder was forgotten
        return render_template(
            "prove/forgotten.html", ended=moment_words(held.expires_at, held.time_zone)
        ), 410
    with reading() as db:
        kept = keys.signing_keys(db)
    # Before keys were kept nothing is known of their times; then the signature alone is looked at.
    checked = verify_with(json.loads(held.credential), kept or None)
    own_key = public_key_of(house().config.signing_key)
    return render_template(
        "prove/certificate.html",
        held=held,
        state=held.state(now()),
        states=STATES,
        title=_title(held).say(language()),
        scope=_scope(held).say(language()),
        programme=PROGRAMME.say(language()),
        moment=moment_words,
        now=moment_words(now(), held.time_zone),
        taken=[TASKS[one].say(language()) for one in held.standing(now()).taken if one in TASKS],
        signed=checked.good,
        reasons=[say_reason(one, language()) for one in checked.reasons],
        key=checked.issuer_key,
        other_key=checked.issuer_key != own_key,
        may_print=_may_print(held),
    )


@page.get("/c/<uuid:public_id>/credential.json")
@open_to_all
def credential(public_id: uuid.UUID) -> Response:
    """The signed credential, byte for byte as it was issued."""
    held = _signed(public_id)
    answer = Response(held.credential, mimetype="application/vc")
    answer.headers["Content-Disposition"] = f'attachment; filename="certificate-{held.public_id}.json"'
    return answer


@page.get("/c/<uuid:public_id>/code.svg")
@open_to_all
def code(public_id: uuid.UUID) -> Response:
    """The page's address as a QR code, black on white in every theme, or cameras cannot read it."""
    import segno  # noqa: PLC0415

    drawn = io.BytesIO()
    address = _address(_held(public_id))
    segno.make_qr(address, error="m").save(
        drawn, kind="svg", scale=4, border=4, dark="#000", light="#fff", title=address
    )
    return Response(drawn.getvalue(), mimetype="image/svg+xml")


@page.get("/c/<uuid:public_id>/certificate.pdf")
@needs("learn")
def paper(public_id: uuid.UUID) -> Response:
    """The certificate on paper: for its holder, and for trainers and managers of the site."""
    held = _signed(public_id)
    if not _may_print(held):
        abort(404)
    with reading() as db:
        head, signed = queries.log_head(db), newest_head(db)
    key = verify_credential(json.loads(held.credential)).issuer_key or "-"
    made = CertificatePaper(
        held, _title(held), _scope(held), _address(held), key, head, now(),
        keys_address=url_for("publish.keys", _external=True), signed_head=signed,
    )  # fmt: skip
    return Response(certificate_pdf(made, language()), mimetype="application/pdf")


def _may_print(held: CertificateHeld) -> bool:
    """Whether whoever is signed in is the holder, or trains or manages at the site."""
    caller = g.get("member")
    if caller is None:
        return False
    return caller.id == held.person_id or (caller.site_id == held.site_id and may(caller.role, "train"))


def _signed(public_id: uuid.UUID) -> CertificateHeld:
    """A certificate whose signed text is still there."""
    held = _held(public_id)
    return held if held.credential else abort(404)


def _held(public_id: uuid.UUID) -> CertificateHeld:
    with reading() as db:
        return queries.certificate(db, str(public_id)) or abort(404)


def _address(held: CertificateHeld) -> str:
    return url_for("prove.certificate", public_id=held.public_id, _external=True)


def _title(held: CertificateHeld) -> Text:
    scheme = house().schemes.get(held.scheme)
    return scheme.title if scheme else Text(held.scheme, held.scheme)


def _scope(held: CertificateHeld) -> Text:
    scheme = house().schemes.get(held.scheme)
    return scheme.scope if scheme else Text("", "")
