"""Deciding and approving a second time: what leads from evidence to a certificate."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.acts.free_text import digest, too_long
from trainer.acts.issuing import issue
from trainer.acts.keys import unusable
from trainer.acts.transaction import Act, act
from trainer.certificates.decision import (
    Proposal,
    Terms,
    judge_decision,
    judge_second,
)
from trainer.certificates.permission import Evidence, overlaps
from trainer.exams.scheme import Scheme
from trainer.records.database import Database
from trainer.records.queries import certifying as queries
from trainer.records.tables import Cabinet, Certificate, Decision, Person, Site


@dataclass(frozen=True)
class Decided:
    """A decision as the manager fills it in; `public_id` is made with the form, so sending it twice is one act."""

    public_id: str
    person_id: int
    cabinet_id: int
    granted: bool
    reason: str = ""
    overlap_reason: str = ""


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
            *too_long(decided.reason, decided.overlap_reason),
            *(unusable(this, signing_key) if decided.granted else ()),
        )
        if reasons:
            return Refused(reasons)
        row = _write_decision(this, e, decided, manager)
        if decided.granted and row.overlap_reason is None:
            issue(this, e, row, scheme=scheme, by=manager, signing_key=signing_key)
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
        decision=row.public_id, cabinet=_cabinet_key(this, e), digest=digest(row.reason, row.overlap_reason or ""),
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
        reasons = (*reasons, *unusable(this, signing_key))
        if reasons:
            return Refused(reasons)
        row.second_approver_id, row.second_at = by, now
        this.log(
            "decision.approved", by=manager.public_id, about=e.person_public_id, decision=row.public_id,
            cabinet=cabinet.key,
        )  # fmt: skip
        return issue(this, e, row, scheme=scheme, by=manager, signing_key=signing_key)


def _terms(this: Act, cabinet: Cabinet, scheme: Scheme) -> Terms:
    return Terms(scheme.certificate_months, this.db.get_one(Site, cabinet.site_id).time_zone)


def _cabinet_key(this: Act, e: Evidence) -> str:
    return this.db.get_one(Cabinet, e.cabinet_id).key
