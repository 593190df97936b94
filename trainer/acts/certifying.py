"""Signing a practical, deciding, approving a second time, withdrawing: whatever leads to a certificate or ends it."""

from __future__ import annotations

import json
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import cast

import rfc8785
from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.access.throttle import name_key
from trainer.acts.hashing import matches
from trainer.acts.transaction import Act, act
from trainer.acts.tries import begin_try, failed_try, good_try
from trainer.certificates.credential import canonical_hash, public_key_of, sign_credential
from trainer.certificates.decision import (
    MOST_BENCHES,
    BenchShown,
    Proposal,
    Terms,
    expiry_of,
    failed_critical,
    judge_benches,
    judge_decision,
    judge_practical,
    judge_second,
    judge_withdrawal,
    marks_from,
    practical_passed,
)
from trainer.certificates.permission import Evidence, overlaps
from trainer.certificates.statement import Statement, credential_document
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import is_text
from trainer.records import log
from trainer.records.database import Database
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying as queries
from trainer.records.queries.benches import BenchFacts
from trainer.records.queries.sign_in import secrets_of
from trainer.records.tables import (
    Cabinet,
    Certificate,
    Decision,
    Exam,
    Machine,
    Person,
    Practical,
    PracticalBench,
    Site,
)

LONGEST_TEXT = 2000


@dataclass(frozen=True)
class Observed:
    """A practical as the observer fills it in; `public_id` is made with the form, so sending it twice is one act.

    benches: public ids of ended runs of the person that support it; they replace no step
    """

    public_id: str
    person_id: int
    machine_id: int
    marks: Mapping[str, str | None]
    note: str = ""
    benches: tuple[str, ...] = ()


@dataclass(frozen=True)
class Decided:
    """A decision as the manager fills it in; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    person_id: int
    cabinet_id: int
    granted: bool
    reason: str = ""
    overlap_reason: str = ""


def sign_practical(
    database: Database,
    observed: Observed,
    *,
    scheme: Scheme,
    by: int,
    password: str,
    address: str,
    now: datetime,
) -> str | Refused:
    """Sign a practical with one's own password; gives its public id. A failed practical is signed too."""
    with database.reading() as db:
        observer = secrets_of(db, by)
    if observer is None:
        raise LookupError(f"there is no person {by}")
    tried = begin_try(database, key=name_key(observer.sign_in_name), address=address, now=now)
    if isinstance(tried, Refused):
        return tried
    fine = matches(observer.password_hash, password)
    with act(database, now) as this:
        if not fine:
            failed_try(this, tried, observer.public_id)
            return Refused(("signature.wrong",))
        good_try(this, tried)
        return _sign(this, observed, scheme, by)


def _sign(this: Act, observed: Observed, scheme: Scheme, by: int) -> str | Refused:
    earlier = this.db.scalar(select(Practical).where(Practical.public_id == observed.public_id))
    if earlier is not None:
        # Sent twice, by a double click or a lost answer: what was signed first stands.
        mine = (earlier.observer_id, earlier.person_id) == (by, observed.person_id)
        return earlier.public_id if mine else Refused(("form.used",))
    person, observer = this.db.get_one(Person, observed.person_id), this.db.get_one(Person, by)
    machine = this.db.get_one(Machine, observed.machine_id)
    marks = marks_from(scheme.practical, observed.marks)
    benches = tuple(dict.fromkeys(observed.benches))
    runs = _runs_shown(this, benches)
    reasons = (
        *_foreign(observer.site_id, person.site_id, machine.site_id),
        *judge_practical(
            marks, by, cast(Role, observer.role), person.id, person_left=person.left_at is not None
        ),
        *judge_benches([_shown(runs.get(one)) for one in benches], person.id),
        *_too_long(observed.note),
    )
    if reasons:
        return Refused(reasons)
    row = Practical(
        public_id=observed.public_id, person_id=person.id, machine_id=machine.id, scheme=scheme.id,
        scheme_version=scheme.version, observer_id=by, note=observed.note.strip(), signed_at=this.now,
        steps=json.dumps({one.step: one.mark for one in marks}), passed=practical_passed(marks),
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    this.db.add_all(PracticalBench(practical_id=row.id, run_id=runs[one].id) for one in benches)
    this.log(
        "practical.passed" if row.passed else "practical.failed", by=observer.public_id, about=person.public_id,
        practical=row.public_id, machine=machine.key, scheme=scheme.id, version=scheme.version,
        missed=list(failed_critical(marks)), benches=list(benches), digest=_digest(row.steps, row.note),
    )  # fmt: skip
    return row.public_id


def _runs_shown(this: Act, benches: Sequence[str]) -> dict[str, BenchFacts]:
    """The runs of these public ids; more than can stand are not looked for."""
    asked = [one for one in benches if is_text(one)] if len(benches) <= MOST_BENCHES else []
    return {one.public_id: one for one in bench_queries.runs_named(this.db, asked)}


def _shown(run: BenchFacts | None) -> BenchShown | None:
    return None if run is None else BenchShown(run.person_id, run.ended_at is not None)


def decide(
    database: Database, decided: Decided, *, scheme: Scheme, by: int, signing_key: bytes, now: datetime
) -> str | Refused:
    """Grant or refuse; gives the decision's public id. A grant issues the certificate or waits for a second one."""
    with act(database, now) as this:
        earlier = this.db.scalar(select(Decision).where(Decision.public_id == decided.public_id))
        if earlier is not None:
            mine = (earlier.decided_by_id, earlier.person_id) == (by, decided.person_id)
            return earlier.public_id if mine else Refused(("form.used",))
        manager, cabinet = this.db.get_one(Person, by), this.db.get_one(Cabinet, decided.cabinet_id)
        e = queries.evidence_of(this.db, decided.person_id, cabinet.id, scheme.id)
        if e is None or manager.site_id != cabinet.site_id:
            return Refused(("site.other",))
        proposal = Proposal(
            by, cast(Role, manager.role), decided.granted, decided.reason, decided.overlap_reason
        )
        reasons = (
            *judge_decision(e, proposal, _terms(this, cabinet, scheme), now),
            *_too_long(decided.reason, decided.overlap_reason),
        )
        if reasons:
            return Refused(reasons)
        row = _write_decision(this, e, decided, manager)
        if decided.granted and row.overlap_reason is None:
            _issue(this, e, row, scheme=scheme, by=manager, signing_key=signing_key)
        return row.public_id


def _write_decision(this: Act, e: Evidence, decided: Decided, manager: Person) -> Decision:
    overlap = decided.granted and overlaps(e, manager.id)
    row = Decision(
        public_id=decided.public_id, person_id=e.person_id, cabinet_id=e.cabinet_id, exam_id=e.exam_id,
        practical_id=e.practical_id, granted=decided.granted, reason=decided.reason.strip(),
        decided_by_id=manager.id, decided_at=this.now,
        overlap_reason=decided.overlap_reason.strip() if overlap else None,
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    kind = "decision.granted" if decided.granted else "decision.refused"
    this.log(
        "decision.waits" if overlap else kind, by=manager.public_id, about=e.person_public_id,
        decision=row.public_id, cabinet=_cabinet_key(this, e), digest=_digest(row.reason, row.overlap_reason or ""),
    )  # fmt: skip
    return row


def approve_second(
    database: Database, *, decision: str, scheme: Scheme, by: int, signing_key: bytes, now: datetime
) -> str | Refused:
    """Approve a decision that waits for a second approver and issue the certificate; gives its public id."""
    with act(database, now) as this:
        row = this.db.scalar(select(Decision).where(Decision.public_id == decision))
        manager = this.db.get_one(Person, by)
        if row is None or this.db.get_one(Cabinet, row.cabinet_id).site_id != manager.site_id:
            return Refused(("site.other",))
        issued = this.db.scalar(select(Certificate.public_id).where(Certificate.decision_id == row.id))
        if issued is not None and row.second_approver_id == by:
            return issued
        cabinet = this.db.get_one(Cabinet, row.cabinet_id)
        e = queries.evidence_of(this.db, row.person_id, row.cabinet_id, scheme.id)
        if e is None:
            return Refused(("site.other",))
        reasons = judge_second(
            e, by, cast(Role, manager.role), decision, terms=_terms(this, cabinet, scheme), now=now
        )
        if reasons:
            return Refused(reasons)
        row.second_approver_id, row.second_at = by, now
        this.log(
            "decision.approved", by=manager.public_id, about=e.person_public_id, decision=row.public_id,
            cabinet=cabinet.key,
        )  # fmt: skip
        return _issue(this, e, row, scheme=scheme, by=manager, signing_key=signing_key)


def withdraw(database: Database, *, certificate: str, by: int, reason: str, now: datetime) -> str | Refused:
    """Withdraw a certificate for good, and with it every other of the same person and cabinet that still runs."""
    with act(database, now) as this:
        manager = this.db.get_one(Person, by)
        row = this.db.scalar(select(Certificate).where(Certificate.public_id == certificate))
        if row is None or this.db.get_one(Cabinet, row.cabinet_id).site_id != manager.site_id:
            return Refused(("site.other",))
        if row.withdrawn_at is not None:
            return row.public_id
        reasons = (*judge_withdrawal(cast(Role, manager.role), reason), *_too_long(reason))
        if reasons:
            return Refused(reasons)
        person = this.db.get_one(Person, row.person_id)
        for one in {row, *_running(this, row)}:
            one.withdrawn_at, one.withdrawn_by_id, one.withdrawn_reason = now, by, reason.strip()
            this.log(
                "certificate.withdrawn", by=manager.public_id, about=person.public_id,
                certificate=one.public_id, digest=_digest(reason.strip()),
            )  # fmt: skip
        return row.public_id


def _running(this: Act, row: Certificate) -> list[Certificate]:
    """Certificates of the same person and cabinet that have not run out: a renewal leaves the older one in hand."""
    c = Certificate
    same = (c.person_id == row.person_id, c.cabinet_id == row.cabinet_id)
    return list(this.db.scalars(select(c).where(*same, c.withdrawn_at.is_(None), c.expires_at > this.now)))


def _issue(
    this: Act, e: Evidence, decision: Decision, *, scheme: Scheme, by: Person, signing_key: bytes
) -> str:
    """Sign the certificate of a granted decision and keep it; its hash stands in the log."""
    cabinet = this.db.get_one(Cabinet, e.cabinet_id)
    site = this.db.get_one(Site, cabinet.site_id)
    row = Certificate(
        public_id=str(uuid.uuid4()), person_id=e.person_id, cabinet_id=cabinet.id, decision_id=decision.id,
        scheme=scheme.id, scheme_version=scheme.version, effective_at=this.now,
        expires_at=expiry_of(e, Terms(scheme.certificate_months, site.time_zone), this.now),
    )  # fmt: skip
    said = _statement(this, e, row, decision, title=scheme.title.en)
    document = credential_document(said, public_key_of(signing_key))
    signed = sign_credential(document, signing_key, this.now)
    row.credential = rfc8785.dumps(signed).decode("utf-8")
    this.db.add(row)
    this.db.flush()
    this.log(
        "certificate.issued", by=by.public_id, about=e.person_public_id, certificate=row.public_id,
        decision=decision.public_id, cabinet=cabinet.key, scheme=scheme.id, version=scheme.version,
        expires=log.moment_text(row.expires_at), hash=canonical_hash(signed),
    )  # fmt: skip
    return row.public_id


def _statement(this: Act, e: Evidence, row: Certificate, decision: Decision, *, title: str) -> Statement:
    cabinet = this.db.get_one(Cabinet, row.cabinet_id)
    site = this.db.get_one(Site, cabinet.site_id)
    exam, practical = (
        this.db.get_one(Exam, decision.exam_id),
        this.db.get_one(Practical, decision.practical_id),
    )
    return Statement(
        certificate=row.public_id, person_public_id=e.person_public_id, person=e.person, site=site.name,
        cabinet_key=cabinet.key, cabinet=cabinet.name, machine=e.machine, scheme=row.scheme,
        scheme_version=row.scheme_version, title=title, effective_at=row.effective_at,
        expires_at=row.expires_at, exam=exam.public_id, practical=practical.public_id,
        decision=decision.public_id, log_head=queries.log_head(this.db),
    )  # fmt: skip


def _terms(this: Act, cabinet: Cabinet, scheme: Scheme) -> Terms:
    return Terms(scheme.certificate_months, this.db.get_one(Site, cabinet.site_id).time_zone)


def _cabinet_key(this: Act, e: Evidence) -> str:
    return this.db.get_one(Cabinet, e.cabinet_id).key


def _foreign(*sites: int) -> tuple[str, ...]:
    return () if len(set(sites)) == 1 else ("site.other",)


def _too_long(*texts: str) -> tuple[str, ...]:
    return ("text.too_long",) if any(len(text) > LONGEST_TEXT for text in texts) else ()


def _digest(*texts: str) -> str:
    """What the log keeps of free text: names may stand in it, so the text itself stays outside."""
    return canonical_hash({"texts": list(texts)})
