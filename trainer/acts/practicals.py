"""Signing an observed practical."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.access.throttle import name_key
from trainer.acts.free_text import digest, too_long
from trainer.acts.hashing import matches
from trainer.acts.transaction import Act, act
from trainer.acts.tries import begin_try, failed_try, good_try
from trainer.certificates.decision import (
    MOST_BENCHES,
    BenchShown,
    failed_critical,
    judge_benches,
    judge_practical,
    marks_from,
    practical_passed,
)
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import is_text
from trainer.records.database import Database
from trainer.records.queries import benches as bench_queries
from trainer.records.queries.benches import BenchFacts
from trainer.records.queries.sign_in import secrets_of
from trainer.records.tables import Machine, Person, Practical, PracticalBench


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
        *too_long(observed.note),
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
        missed=list(failed_critical(marks)), benches=list(benches), digest=digest(row.steps, row.note),
    )  # fmt: skip
    return row.public_id


def _runs_shown(this: Act, benches: Sequence[str]) -> dict[str, BenchFacts]:
    """The runs of these public ids; more than can stand are not looked for."""
    asked = [one for one in benches if is_text(one)] if len(benches) <= MOST_BENCHES else []
    return {one.public_id: one for one in bench_queries.runs_named(this.db, asked)}


def _shown(run: BenchFacts | None) -> BenchShown | None:
    return None if run is None else BenchShown(run.person_id, run.ended_at is not None)


def _foreign(*sites: int) -> tuple[str, ...]:
    return () if len(set(sites)) == 1 else ("site.other",)
