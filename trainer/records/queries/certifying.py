"""Evidence for each cabinet, certificates, practicals, exams sat, and the log of a site."""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import replace
from typing import Any

from sqlalchemy import ColumnElement, Select, Subquery, and_, case, func, or_, select
from sqlalchemy.orm import Session, aliased

from trainer.certificates.facts import (
    CabinetPlace,
    CertificateHeld,
    ExamSat,
    Logged,
    MachinePlace,
    PracticalSigned,
)
from trainer.certificates.permission import Evidence
from trainer.records.log import FIRST
from trainer.records.queries.hands import invigilators
from trainer.records.queries.keys import newest_credential
from trainer.records.queries.results import IS_NEWEST, NEWEST, PASSED, RESULT, RIGHT, VALID_UNTIL
from trainer.records.queries.standing import changes_of, last_change_of_pair, machine_changed_at
from trainer.records.tables import (
    Cabinet,
    Certificate,
    Decision,
    Exam,
    LogEntry,
    Machine,
    Person,
    Practical,
    PracticalLook,
    PracticalSecond,
    Site,
)

# Columns that name the second observers: they are among the other hands of the evidence.
SECONDS = ("practical_second", "decision_second")


def cabinet_evidence(db: Session, cabinet_id: int, scheme: str) -> list[Evidence]:
    """Evidence of everyone still employed, for one cabinet under one scheme, by name. Three statements at most."""
    return _read(db, _evidence(scheme).where(Cabinet.id == cabinet_id, Person.left_at.is_(None)))


def site_evidence(db: Session, site_id: int, scheme: str) -> list[Evidence]:
    """Evidence of everyone still employed for every cabinet of a site, by cabinet and name. Three statements."""
    return _read(db, _evidence(scheme).where(Cabinet.site_id == site_id, Person.left_at.is_(None)))


def evidence_of(db: Session, person_id: int, cabinet_id: int, scheme: str) -> Evidence | None:
    """Evidence of one person, employed or not, for one cabinet of their own site. Three statements at most."""
    found = _read(db, _evidence(scheme).where(Cabinet.id == cabinet_id, Person.id == person_id))
    return found[0] if found else None


def _read(db: Session, statement: Select[*tuple[Any, ...]]) -> list[Evidence]:
    rows = db.execute(statement.order_by(Cabinet.name, Cabinet.id, Person.name, Person.id)).mappings().all()
    seconds = [(_some(row["practical_second"]), _some(row["decision_second"])) for row in rows]
    found = [Evidence(**{name: row[name] for name in row if name not in SECONDS}) for row in rows]
    changes = changes_of(db, [one.certificate_public_id for one in found if one.certificate_public_id])
    watched = invigilators(db, {one for e in found for one in (e.exam_id, e.decision_exam_id) if one})
    return [
        replace(
            e,
            changes=changes.get(e.certificate_public_id or "", ()),
            other_hands=watched.get(e.exam_id or 0, frozenset()) | now,
            decision_other_hands=watched.get(e.decision_exam_id or 0, frozenset()) | then,
        )
        for e, (now, then) in zip(found, seconds, strict=True)
    ]


def _some(person_id: int | None) -> frozenset[int]:
    return frozenset() if person_id is None else frozenset({person_id})


def _evidence(scheme: str) -> Select[*tuple[Any, ...]]:
    """Each person of a site beside each cabinet of it, with the newest of everything that speaks for them."""
    exam, practical = _best_exam(scheme), _best_practical(scheme)
    newest, settled = _newest_decision(waiting=True), _newest_decision(waiting=False)
    trainer, observer, decider, second, waiter = (aliased(Person) for _ in range(5))
    return (
        select(
            Person.id.label("person_id"), Person.public_id.label("person_public_id"), Person.name.label("person"),
            Person.left_at, Person.trained_by_id, trainer.name.label("trained_by"),
            Cabinet.id.label("cabinet_id"), Cabinet.name.label("cabinet"), Cabinet.machine_id,
            Machine.name.label("machine"), _text(scheme).label("scheme"),
            exam.c.id.label("exam_id"), exam.c.scheme.label("exam_scheme"), exam.c.passed.label("exam_passed"),
            exam.c.valid_until.label("exam_valid_until"),
            practical.c.id.label("practical_id"), practical.c.machine_id.label("practical_machine_id"),
            practical.c.passed.label("practical_passed"), practical.c.signed_at.label("practical_signed_at"),
            func.coalesce(practical.c.differs, False).label("practical_differs"),
            practical.c.counted.label("practical_counted"), practical.c.second_id.label("practical_second"),
            practical.c.observer_id.label("observed_by_id"), observer.name.label("observed_by"),
            settled.c.public_id.label("decision_public_id"), settled.c.exam_id.label("decision_exam_id"),
            settled.c.practical_id.label("decision_practical_id"),
            settled.c.observer_id.label("decision_observer_id"), settled.c.granted,
            settled.c.second_id.label("decision_second"),
            settled.c.reason.label("refused_because"), settled.c.decided_by_id, decider.name.label("decided_by"),
            settled.c.decided_at, settled.c.overlap_reason, settled.c.second_approver_id,
            second.name.label("second_approver"), settled.c.certificate.label("certificate_public_id"),
            settled.c.effective_at, settled.c.expires_at,
            last_change_of_pair("withdrawn").label("last_withdrawn_at"),
            last_change_of_pair("reduced").label("last_reduced_at"), machine_changed_at().label("changed_at"),
            newest.c.public_id.label("pending_public_id"), newest.c.exam_id.label("pending_exam_id"),
            newest.c.practical_id.label("pending_practical_id"), newest.c.decided_by_id.label("pending_by_id"),
            waiter.name.label("pending_by"), newest.c.overlap_reason.label("pending_reason"),
        )
        .select_from(Person)
        .join(Cabinet, Cabinet.site_id == Person.site_id)
        .join(Machine, Machine.id == Cabinet.machine_id)
        .outerjoin(trainer, trainer.id == Person.trained_by_id)
        .outerjoin(exam, and_(exam.c.person_id == Person.id, exam.c.place == 1))
        .outerjoin(
            practical,
            and_(
                practical.c.person_id == Person.id, practical.c.cabinet_id == Cabinet.id, practical.c.place == 1
            ),
        )
        .outerjoin(observer, observer.id == practical.c.observer_id)
        .outerjoin(settled, _of_this_pair(settled))
        .outerjoin(decider, decider.id == settled.c.decided_by_id)
        .outerjoin(second, second.id == settled.c.second_approver_id)
        .outerjoin(newest, and_(_of_this_pair(newest), newest.c.granted, newest.c.certificate.is_(None)))
        .outerjoin(waiter, waiter.id == newest.c.decided_by_id)
    )  # fmt: skip


def _text(value: str) -> ColumnElement[str]:
    return func.coalesce(value, value)


def _of_this_pair(decision: Subquery) -> ColumnElement[bool]:
    return and_(decision.c.person_id == Person.id, decision.c.cabinet_id == Cabinet.id, decision.c.place == 1)


def _best_exam(scheme: str) -> Subquery:
    """Exams by person, best first: of the scheme, passed, valid longest, newest."""
    e = Exam
    of_scheme = case((e.scheme == scheme, 0), else_=1)
    passed = case((and_(PASSED.is_(True), VALID_UNTIL.is_not(None)), 0), else_=1)
    order = (of_scheme, passed, func.coalesce(VALID_UNTIL, e.started_at).desc(), e.id.desc())
    place = func.row_number().over(partition_by=e.person_id, order_by=order).label("place")
    return (
        select(e.id, e.person_id, e.scheme, PASSED.label("passed"), VALID_UNTIL.label("valid_until"), place)
        .outerjoin(NEWEST, IS_NEWEST)
        .where(e.submitted_at.is_not(None))
        .subquery("best_exam")
    )


def _best_practical(scheme: str) -> Subquery:
    """Practicals by person and cabinet, the one that counts first: on the cabinet's machine, newest."""
    p, s, k = Practical, PracticalSecond, PracticalLook
    here = case((p.machine_id == Cabinet.machine_id, 0), else_=1)
    pair = (p.person_id, Cabinet.id)
    place = func.row_number().over(partition_by=pair, order_by=(here, p.signed_at.desc(), p.id.desc()))
    return (
        select(
            p.id, p.person_id, Cabinet.id.label("cabinet_id"), p.machine_id, p.passed, p.signed_at,
            p.observer_id, s.differs, k.counts.label("counted"), s.observer_id.label("second_id"), place.label("place"),
        )
        .outerjoin(s, s.practical_id == p.id)
        .outerjoin(k, k.practical_id == p.id)
        .join(Machine, Machine.id == p.machine_id)
        .join(Cabinet, Cabinet.site_id == Machine.site_id)
        .where(p.scheme == scheme)
        .subquery("best_practical")
    )  # fmt: skip


def _newest_decision(*, waiting: bool) -> Subquery:
    """Decisions by person and cabinet, newest first; without `waiting`, only those refused or with a certificate."""
    d, c, p, s = Decision, Certificate, Practical, PracticalSecond
    place = func.row_number().over(
        partition_by=(d.person_id, d.cabinet_id), order_by=(d.decided_at.desc(), d.id.desc())
    )
    query = (
        select(
            d.public_id, d.person_id, d.cabinet_id, d.exam_id, d.practical_id, d.granted, d.reason,
            d.decided_by_id, d.decided_at, d.overlap_reason, d.second_approver_id, p.observer_id,
            s.observer_id.label("second_id"), c.public_id.label("certificate"), c.effective_at, c.expires_at,
            place.label("place"),
        )
        .outerjoin(c, c.decision_id == d.id)
        .outerjoin(p, p.id == d.practical_id)
        .outerjoin(s, s.practical_id == p.id)
    )  # fmt: skip
    if not waiting:
        query = query.where(or_(d.granted.is_(False), c.id.is_not(None)))
    return query.subquery("newest_decision" if waiting else "settled_decision")


def _cabinets() -> Select[*tuple[Any, ...]]:
    c = Cabinet
    return (
        select(
            c.id, c.key, c.name, c.machine_id, Machine.name.label("machine"), c.site_id, Site.name.label("site"),
            Site.time_zone,
        )
        .join(Machine, Machine.id == c.machine_id)
        .join(Site, Site.id == c.site_id)
    )  # fmt: skip


def cabinets(db: Session, site_id: int) -> list[CabinetPlace]:
    """The cabinets of a site, by name. One statement."""
    rows = db.execute(_cabinets().where(Cabinet.site_id == site_id).order_by(Cabinet.name, Cabinet.id))
    return [CabinetPlace(**row) for row in rows.mappings()]


def cabinet(db: Session, site_id: int, cabinet_id: int) -> CabinetPlace | None:
    """One cabinet of a site. One statement."""
    row = (
        db.execute(_cabinets().where(Cabinet.site_id == site_id, Cabinet.id == cabinet_id)).mappings().first()
    )
    return None if row is None else CabinetPlace(**row)


def machines(db: Session, site_id: int) -> list[MachinePlace]:
    """The machines of a site, by name. One statement."""
    m = Machine
    rows = db.execute(
        select(m.id, m.key, m.name, m.site_id).where(m.site_id == site_id).order_by(m.name, m.id)
    )
    return [MachinePlace(*row) for row in rows]


def exams_sat(db: Session, person_id: int, scheme: str) -> list[ExamSat]:
    """A person's sittings of a scheme, newest first. One statement."""
    e = Exam
    rows = db.execute(
        select(
            e.public_id, e.scheme, e.scheme_version, e.started_at, e.submitted_at, RIGHT, PASSED, RESULT, VALID_UNTIL,
            NEWEST.at, func.coalesce(NEWEST.lowers, False),
        )
        .outerjoin(NEWEST, IS_NEWEST)
        .where(e.person_id == person_id, e.scheme == scheme)
        .order_by(e.started_at.desc(), e.id.desc())
    )  # fmt: skip
    return [ExamSat(*row) for row in rows]


def _practicals() -> Select[*tuple[Any, ...]]:
    p, observer = Practical, aliased(Person)
    return (
        select(
            p.public_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            Machine.name.label("machine"), p.scheme, p.scheme_version, observer.name.label("observer"),
            p.steps.label("marks"), p.note, p.passed, p.signed_at, p.remarks, p.device_times, p.filled_offline,
        )
        .join(Person, Person.id == p.person_id)
        .join(Machine, Machine.id == p.machine_id)
        .join(observer, observer.id == p.observer_id)
    )  # fmt: skip


def _signed(row: Any) -> PracticalSigned:
    read = {name: json.loads(row[name]) for name in ("marks", "remarks", "device_times")}
    return PracticalSigned(**{**row, **read})


def practicals(db: Session, site_id: int, most: int = 50) -> list[PracticalSigned]:
    """The newest signed practicals of a site. One statement."""
    statement = _practicals().where(Person.site_id == site_id)
    rows = db.execute(statement.order_by(Practical.signed_at.desc(), Practical.id.desc()).limit(most))
    return [_signed(row) for row in rows.mappings()]


def practical(db: Session, site_id: int, public_id: str) -> PracticalSigned | None:
    """One signed practical of a site. One statement."""
    statement = _practicals().where(Person.site_id == site_id, Practical.public_id == public_id)
    row = db.execute(statement).mappings().first()
    return None if row is None else _signed(row)


def practical_by_id(db: Session, practical_id: int) -> PracticalSigned | None:
    """The signed practical that evidence names. One statement."""
    row = db.execute(_practicals().where(Practical.id == practical_id)).mappings().first()
    return None if row is None else _signed(row)


def decision_place(db: Session, site_id: int, public_id: str) -> tuple[int, int] | None:
    """The person and the cabinet, by id, that a decision of this site is about. One statement."""
    row = db.execute(
        select(Decision.person_id, Decision.cabinet_id)
        .join(Cabinet, Cabinet.id == Decision.cabinet_id)
        .where(Decision.public_id == public_id, Cabinet.site_id == site_id)
    ).first()
    return None if row is None else (row.person_id, row.cabinet_id)


def _certificates() -> Select[*tuple[Any, ...]]:
    c, decider = Certificate, aliased(Person)
    return (
        select(
            c.public_id, c.person_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            Cabinet.site_id, Site.name.label("site"), Site.time_zone, c.cabinet_id, Cabinet.name.label("cabinet"),
            Machine.name.label("machine"), c.scheme, c.scheme_version, c.effective_at, c.expires_at,
            decider.name.label("decided_by"), newest_credential(),
        )
        .join(Person, Person.id == c.person_id)
        .join(Cabinet, Cabinet.id == c.cabinet_id)
        .join(Site, Site.id == Cabinet.site_id)
        .join(Machine, Machine.id == Cabinet.machine_id)
        .join(Decision, Decision.id == c.decision_id)
        .join(decider, decider.id == Decision.decided_by_id)
    )  # fmt: skip


def certificate(db: Session, public_id: str) -> CertificateHeld | None:
    """One certificate by its public id, of whatever site. Two statements."""
    return next(iter(_held(db, _certificates().where(Certificate.public_id == public_id))), None)


def certificates_of(db: Session, person_id: int) -> list[CertificateHeld]:
    """A person's certificates, newest first. Two statements."""
    statement = _certificates().where(Certificate.person_id == person_id)
    return _held(db, statement.order_by(Certificate.effective_at.desc(), Certificate.id.desc()))


def held_by_exam(db: Session, exams: Collection[int]) -> dict[int, list[CertificateHeld]]:
    """The certificates whose decisions rest on these exams, by the exam's id, oldest first. Up to three statements."""
    if not exams:
        return {}
    c, d = Certificate, Decision
    pairs = db.execute(
        select(Exam.id, c.public_id)
        .join_from(Exam, d, d.exam_id == Exam.id)
        .join(c, c.decision_id == d.id)
        .where(Exam.id.in_(exams))
        .order_by(c.id)
    ).all()
    if not pairs:
        return {}
    named = [row.public_id for row in pairs]
    held = {one.public_id: one for one in _held(db, _certificates().where(Certificate.public_id.in_(named)))}
    found: dict[int, list[CertificateHeld]] = {}
    for exam_id, public_id in pairs:
        found.setdefault(exam_id, []).append(held[public_id])
    return found


def _held(db: Session, statement: Select[*tuple[Any, ...]]) -> list[CertificateHeld]:
    rows = db.execute(statement).mappings().all()
    changes = changes_of(db, [row["public_id"] for row in rows])
    return [CertificateHeld(**row, changes=changes.get(row["public_id"], ())) for row in rows]


def certificates_of_site(db: Session, site_id: int) -> list[CertificateHeld]:
    """Every certificate of those still employed at a site, by name, oldest first. Two statements."""
    statement = _certificates().where(Cabinet.site_id == site_id, Person.left_at.is_(None))
    return _held(db, statement.order_by(Person.name, Person.id, Certificate.id))


def log_of_site(db: Session, site_id: int, before: int | None, most: int) -> list[Logged]:
    """The newest entries by or about people of a site, numbered below `before`. One statement."""
    people = select(Person.public_id).where(Person.site_id == site_id)
    e = LogEntry
    mine = or_(e.by.in_(people), e.about.in_(people), e.about == f"site:{site_id}", _of_their_exams(site_id))
    statement = select(e.seq, e.at, e.kind, e.by, e.about, e.record, e.hash).where(mine)
    if before is not None:
        statement = statement.where(e.seq < before)
    return [Logged(*row) for row in db.execute(statement.order_by(e.seq.desc()).limit(most))]


def _of_their_exams(site_id: int) -> ColumnElement[bool]:
    """Entries that the system wrote about an exam of the site: nobody of the site stands in them."""
    exams = select(Exam.public_id).join(Person, Person.id == Exam.person_id).where(Person.site_id == site_id)
    return LogEntry.about.in_(exams)


def names_by_public_id(db: Session, site_id: int) -> dict[str, str]:
    """Whom each public id of a site stands for: a person, or the person of an exam. Two statements."""
    people = db.execute(select(Person.public_id, Person.name).where(Person.site_id == site_id))
    named = {row.public_id: row.name for row in people}
    exams = db.execute(
        select(Exam.public_id, Person.name)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id)
    )
    return {**named, **{row.public_id: row.name for row in exams}}


def log_head(db: Session) -> str:
    """The hash of the log's newest entry, or the one that stands before the first. One statement."""
    newest = db.scalar(select(LogEntry.hash).order_by(LogEntry.seq.desc()).limit(1))
    return newest or FIRST.hex()
