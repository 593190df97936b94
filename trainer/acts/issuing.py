"""Issuing the certificate of a granted decision: the signed credential, and its hash in the log."""

from __future__ import annotations

import uuid
from dataclasses import replace

import rfc8785

from trainer.acts.heads import sign_head
from trainer.acts.keys import key_in_use, take_place
from trainer.acts.transaction import Act
from trainer.certificates.credential import canonical_hash, public_key_of, sign_credential
from trainer.certificates.decision import Terms, expiry_of
from trainer.certificates.permission import Evidence
from trainer.certificates.statement import Statement, credential_document
from trainer.exams.scheme import Scheme
from trainer.records import log
from trainer.records.queries import certifying as queries
from trainer.records.tables import Cabinet, Certificate, Decision, Exam, Person, Practical, Site


def issue(
    this: Act, e: Evidence, decision: Decision, *, scheme: Scheme, by: Person, signing_key: bytes
) -> str:
    """Sign the certificate of a granted decision and keep it; its hash stands in the log."""
    cabinet = this.db.get_one(Cabinet, e.cabinet_id)
    site = this.db.get_one(Site, cabinet.site_id)
    row = Certificate(
        public_id=str(uuid.uuid4()), person_id=e.person_id, cabinet_id=cabinet.id, decision_id=decision.id,
        scheme=scheme.id, scheme_version=scheme.version, effective_at=this.now, credential="",
        expires_at=expiry_of(e, Terms(scheme.certificate_months, site.time_zone), this.now),
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    entries = take_place(this, row, key_in_use(this, signing_key))
    said = replace(_statement(this, e, row, decision, scheme), entries=entries)
    document = credential_document(said, public_key_of(signing_key))
    signed = sign_credential(document, signing_key, this.now)
    row.credential = rfc8785.dumps(signed).decode("utf-8")
    this.db.flush()
    this.log(
        "certificate.issued", by=by.public_id, about=e.person_public_id, certificate=row.public_id,
        decision=decision.public_id, cabinet=cabinet.key, scheme=scheme.id, version=scheme.version,
        expires=log.moment_text(row.expires_at), hash=canonical_hash(signed),
    )  # fmt: skip
    # The holder carries the certificate away, and with it a witness of everything logged so far.
    sign_head(this, signing_key)
    return row.public_id


def _statement(this: Act, e: Evidence, row: Certificate, decision: Decision, scheme: Scheme) -> Statement:
    cabinet = this.db.get_one(Cabinet, row.cabinet_id)
    site = this.db.get_one(Site, cabinet.site_id)
    exam, practical = (
        this.db.get_one(Exam, decision.exam_id),
        this.db.get_one(Practical, decision.practical_id),
    )
    return Statement(
        certificate=row.public_id, person_public_id=e.person_public_id, person=e.person, site=site.name,
        cabinet_key=cabinet.key, cabinet=cabinet.name, machine=e.machine, scheme=row.scheme,
        scheme_version=row.scheme_version, title=scheme.title.en, effective_at=row.effective_at,
        expires_at=row.expires_at, exam=exam.public_id, practical=practical.public_id,
        decision=decision.public_id, log_head=queries.log_head(this.db),
        scope=scheme.scope,
    )  # fmt: skip
