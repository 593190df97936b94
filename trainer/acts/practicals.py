"""Signing an observed practical, as the first observer or as the second."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import cast

from sqlalchemy import select

from trainer.access.members import Role
from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts.free_text import digest, too_long
from trainer.acts.signature import Signature, sign
from trainer.acts.transaction import Act
from trainer.certificates.decision import (
    MOST_BENCHES,
    BenchShown,
    StepMark,
    failed_critical,
    judge_benches,
    judge_practical,
    marks_from,
    practical_passed,
)
from trainer.certificates.observing import (
    FirstSigned,
    asks_second,
    differing,
    judge_second_marks,
    observer_lacks,
    qualification_in_force,
)
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import is_text
from trainer.records.database import Database
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import practicals as queries
from trainer.records.queries.benches import BenchFacts
from trainer.records.tables import Machine, Person, Practical, PracticalBench, PracticalSecond


@dataclass(frozen=True)
class Observed:
    """A practical as an observer fills it in; `public_id` is made with the form, so sending it twice is one act.

    benches: public ids of ended runs of the person that support it; they replace no step
    remarks: by the step's id; device_times: when each step was marked by the observer's own device, as text
    filled_offline: whether the device says that it had no connection while it was filled in
    """

    public_id: str
    person_id: int
    machine_id: int
    marks: Mapping[str, str | None]
    note: str = ""
    benches: tuple[str, ...] = ()
    remarks: Mapping[str, str] = field(default_factory=dict)
    device_times: Mapping[str, str] = field(default_factory=dict)
    filled_offline: bool = False


@dataclass(frozen=True)
class _Seen:
    """What one observer saw, with the people and the machine, ready to be judged and written."""

    observed: Observed
    marks: tuple[StepMark, ...]
    person: Person
    observer: Person
    machine: Machine
    qualification: str
    reasons: tuple[str, ...]


def sign_practical(
    database: Database,
    observed: Observed,
    *,
    scheme: Scheme,
    by: int,
    password: str,
    address: str,
    sample_key: bytes,
    now: datetime,
) -> str | Refused:
    """Sign a practical with one's own password; gives its public id. A failed practical is signed too.

    sample_key: what draws the practicals that ask for a second observer
    """
    signature = Signature(by, password, address)
    return sign(database, signature, now, lambda this: _sign_first(this, observed, scheme, by, sample_key))


def sign_second(
    database: Database,
    observed: Observed,
    *,
    scheme: Scheme,
    by: int,
    password: str,
    address: str,
    now: datetime,
) -> str | Refused:
    """Sign one's own marks as the second observer; gives the public id of the practical they stand beside."""
    signature = Signature(by, password, address)
    return sign(database, signature, now, lambda this: _sign_second(this, observed, scheme, by))


def _sign_first(this: Act, observed: Observed, scheme: Scheme, by: int, sample_key: bytes) -> str | Refused:
    earlier = this.db.scalar(select(Practical).where(Practical.public_id == observed.public_id))
    if earlier is not None:
        # Sent twice, by a double click or a lost answer: what was signed first stands.
        mine = (earlier.observer_id, earlier.person_id) == (by, observed.person_id)
        return earlier.public_id if mine else Refused(("form.used",))
    seen = _seen(this, observed, scheme, by)
    benches = tuple(dict.fromkeys(observed.benches))
    runs = _runs_shown(this, benches)
    reasons = (
        *seen.reasons,
        *judge_benches([_shown(runs.get(one)) for one in benches], seen.person.id),
    )
    if reasons:
        return Refused(reasons)
    number = 1 + queries.signed_before(this.db, seen.person.id, seen.machine.id, scheme.id)
    row = Practical(
        scheme=scheme.id, scheme_version=scheme.version, machine_id=seen.machine.id,
        asks_second=asks_second(
            sample_key, scheme=scheme.id, person=seen.person.public_id, machine=seen.machine.key, number=number
        ),
        **_columns(this, seen),
    )  # fmt: skip
    this.db.add(row)
    this.db.flush()
    this.db.add_all(PracticalBench(practical_id=row.id, run_id=runs[one].id) for one in benches)
    this.log(
        "practical.passed" if row.passed else "practical.failed", by=seen.observer.public_id,
        about=seen.person.public_id, practical=row.public_id, machine=seen.machine.key, scheme=scheme.id,
        version=scheme.version, missed=list(failed_critical(seen.marks)), benches=list(benches),
        digest=digest(row.steps, row.note), **_more_logged(row),
        asks_second=row.asks_second,
    )  # fmt: skip
    return row.public_id


def _sign_second(this: Act, observed: Observed, scheme: Scheme, by: int) -> str | Refused:
    earlier = this.db.scalar(select(PracticalSecond).where(PracticalSecond.public_id == observed.public_id))
    if earlier is not None:
        mine = (earlier.observer_id, earlier.person_id) == (by, observed.person_id)
        return this.db.get_one(Practical, earlier.practical_id).public_id if mine else Refused(("form.used",))
    first = queries.newest_first(this.db, observed.person_id, observed.machine_id, scheme.id)
    seen = _seen(this, observed, scheme, by)
    reasons = (*seen.reasons, *judge_second_marks(first, by, this.now))
    if reasons or first is None:
        return Refused(reasons)
    return _write_second(this, seen, first)


def _write_second(this: Act, seen: _Seen, first: FirstSigned) -> str:
    practical = this.db.scalars(select(Practical).where(Practical.public_id == first.public_id)).one()
    critical = {one.step: one.critical for one in seen.marks}
    marks = [
        StepMark(step, critical.get(step, False), mark) for step, mark in json.loads(practical.steps).items()
    ]
    apart = differing(marks, seen.marks)
    row = PracticalSecond(practical_id=practical.id, differs=bool(apart), **_columns(this, seen))
    this.db.add(row)
    this.db.flush()
    this.log(
        "practical.second_differs" if apart else "practical.second_agrees", by=seen.observer.public_id,
        about=seen.person.public_id, practical=first.public_id, second=row.public_id, machine=seen.machine.key,
        differs=list(apart), digest=digest(row.steps, row.note), **_more_logged(row),
    )  # fmt: skip
    return first.public_id


def _seen(this: Act, observed: Observed, scheme: Scheme, by: int) -> _Seen:
    """What was observed, with every reason that holds for any observer."""
    person, observer = this.db.get_one(Person, observed.person_id), this.db.get_one(Person, by)
    machine = this.db.get_one(Machine, observed.machine_id)
    marks = marks_from(scheme.practical, observed.marks)
    held = queries.qualifications_of(this.db, by)
    counts = qualification_in_force(held, machine.id, this.now)
    role, left = cast(Role, observer.role), person.left_at is not None
    texts = (observed.note, *observed.remarks.values())
    foreign = _foreign(observer.site_id, person.site_id, machine.site_id)
    reasons = (
        *foreign,
        *judge_practical(marks, by, role, person.id, person_left=left),
        *(observer_lacks(held, machine.id, this.now) if may(role, "train") and not foreign else ()),
        *too_long(*texts),
        *unkept(*texts),
    )
    qualification = counts.public_id if counts else ""
    return _Seen(observed, marks, person, observer, machine, qualification, reasons)


def _columns(this: Act, seen: _Seen) -> dict[str, object]:
    """What is written of either observer's marks."""
    steps, observed = [one.step for one in seen.marks], seen.observed
    remarks = {step: text for step in steps if (text := observed.remarks.get(step, "").strip())}
    times = {step: observed.device_times[step] for step in steps if step in observed.device_times}
    return {
        "public_id": observed.public_id, "person_id": seen.person.id, "observer_id": seen.observer.id,
        "qualification": seen.qualification, "steps": json.dumps({one.step: one.mark for one in seen.marks}),
        "remarks": json.dumps(remarks), "device_times": json.dumps(times),
        "filled_offline": observed.filled_offline, "note": observed.note.strip(),
        "passed": practical_passed(seen.marks), "signed_at": this.now,
    }  # fmt: skip


def _more_logged(row: Practical | PracticalSecond) -> dict[str, str | bool]:
    return {
        "qualification": row.qualification or "", "offline": row.filled_offline,
        "remarks": digest(row.remarks), "device_times": digest(row.device_times),
    }  # fmt: skip


def unkept(*texts: str) -> tuple[str, ...]:
    """Why one of these texts cannot be kept as it was typed, if so."""
    return () if all(is_text(text) for text in texts) else ("practical.not_text",)


def _runs_shown(this: Act, benches: Sequence[str]) -> dict[str, BenchFacts]:
    """The runs of these public ids; more than can stand are not looked for."""
    asked = [one for one in benches if is_text(one)] if len(benches) <= MOST_BENCHES else []
    return {one.public_id: one for one in bench_queries.runs_named(this.db, asked)}


def _shown(run: BenchFacts | None) -> BenchShown | None:
    return None if run is None else BenchShown(run.person_id, run.ended_at is not None)


def _foreign(*sites: int) -> tuple[str, ...]:
    return () if len(set(sites)) == 1 else ("site.other",)
