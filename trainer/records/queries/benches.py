"""Runs of benches, what was done in them, and the tasks that trainers gave."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, cast

from sqlalchemy import Select, case, func, select
from sqlalchemy.orm import Session, aliased

from trainer.records.tables import (
    BenchAct,
    BenchGiven,
    BenchRun,
    LogEntry,
    Person,
    Practical,
    PracticalBench,
)


@dataclass(frozen=True)
class BenchFacts:
    """What is kept of one run beside its acts; played: how many they are.

    fixed: the options that were fixed, as canonical JSON; given: public id of the task that a trainer gave
    points, passed, failed: None until the run has ended
    """

    id: int
    public_id: str
    person_id: int
    person_public_id: str
    person: str
    site_id: int
    bench: str
    version: int
    fixed: str
    system: str
    sheet_version: int
    digest: str
    lesson: str | None
    given_id: int | None
    given: str | None
    started_at: datetime
    ended_at: datetime | None
    points: int | None
    passed: bool | None
    failed: bool | None
    played: int

    @property
    def options(self) -> dict[str, str]:
        """The options that were fixed, `level` among them."""
        return cast(dict[str, str], json.loads(self.fixed))


@dataclass(frozen=True)
class KeptRun:
    """One run: its facts and the documents of its acts, the first one first."""

    facts: BenchFacts
    acts: tuple[str, ...]


@dataclass(frozen=True)
class GivenTask:
    """A task that a trainer gave, and how far it is.

    fixed: its options as canonical JSON; runs: how many have ended, and best the most points of those that did not
    fail; passed_at: when one first passed; open_run: public id of a run that goes on
    """

    id: int
    public_id: str
    site_id: int
    person_id: int
    person_public_id: str
    person: str
    given_by: str
    bench: str
    fixed: str
    note: str
    sheet_version: int
    given_at: datetime
    due_at: datetime | None
    withdrawn_at: datetime | None
    runs: int
    best: int | None
    passed_at: datetime | None
    open_run: str | None

    @property
    def options(self) -> dict[str, str]:
        """The options that are fixed, `level` among them."""
        return cast(dict[str, str], json.loads(self.fixed))


def run(db: Session, public_id: str) -> KeptRun | None:
    """One run with its acts. Two statements."""
    row = db.execute(_runs().where(BenchRun.public_id == public_id)).mappings().first()
    if row is None:
        return None
    a = BenchAct
    acts = db.scalars(select(a.document).where(a.run_id == row["id"]).order_by(a.number))
    return KeptRun(BenchFacts(**row), tuple(acts))


def runs_of(db: Session, person_id: int, limit: int = 20) -> list[BenchFacts]:
    """A person's runs, open or ended, newest first. One statement."""
    return _newest(db, _runs().where(BenchRun.person_id == person_id).limit(limit))


def ended_runs(db: Session, person_id: int, limit: int) -> list[BenchFacts]:
    """A person's runs that have ended, the one that ended last first. One statement."""
    r = BenchRun
    mine = _runs().where(r.person_id == person_id, r.ended_at.is_not(None))
    return _read(db, mine.order_by(r.ended_at.desc(), r.id.desc()).limit(limit))


def runs_named(db: Session, public_ids: Collection[str]) -> list[BenchFacts]:
    """The runs of these public ids, whosesoever, in no order; those that are not there are left out. One statement."""
    return _read(db, _runs().where(BenchRun.public_id.in_(public_ids)))


def runs_of_practical(db: Session, public_id: str) -> list[BenchFacts]:
    """The runs that an observer showed with a practical, the one that ended last first. One statement."""
    b, r = PracticalBench, BenchRun
    shown = _runs().join(b, b.run_id == r.id).join(Practical, Practical.id == b.practical_id)
    return _read(db, shown.where(Practical.public_id == public_id).order_by(r.ended_at.desc(), r.id.desc()))


def site_runs(db: Session, site_id: int, limit: int = 100) -> list[BenchFacts]:
    """The runs of everyone of a site who has not left, newest first. One statement."""
    return _newest(db, _runs().where(Person.site_id == site_id, Person.left_at.is_(None)).limit(limit))


def open_runs(db: Session, person_id: int, bench: str, given_id: int | None = None) -> list[BenchFacts]:
    """A person's runs of a bench that have not ended, newest first; of practice where no task is named.

    One statement.
    """
    r = BenchRun
    mine = (r.person_id == person_id, r.bench == bench, r.given_id == given_id, r.ended_at.is_(None))
    return _newest(db, _runs().where(*mine))


def open_run(db: Session, person_id: int, bench: str, given_id: int | None = None) -> BenchFacts | None:
    """The newest of a person's open runs of a bench. One statement."""
    return next(iter(open_runs(db, person_id, bench, given_id)), None)


def best_points(db: Session, person_id: int) -> dict[str, int]:
    """The most points that a person has reached on each bench; a run that failed has none. One statement."""
    r = BenchRun
    rows = db.execute(
        select(r.bench, func.max(r.points))
        .where(r.person_id == person_id, r.points.is_not(None), r.failed.is_(False))
        .group_by(r.bench)
    )
    return {bench: points for bench, points in rows if points is not None}


def given_task(db: Session, public_id: str) -> GivenTask | None:
    """One task that was given, withdrawn or not. One statement."""
    row = db.execute(_given().where(BenchGiven.public_id == public_id)).mappings().first()
    return None if row is None else GivenTask(**row)


def given_to(db: Session, person_id: int) -> list[GivenTask]:
    """The tasks given to a person and not withdrawn, done or not, newest first. One statement."""
    g = BenchGiven
    return _newest_given(db, _given().where(g.person_id == person_id, g.withdrawn_at.is_(None)))


def given_by_site(db: Session, site_id: int) -> list[GivenTask]:
    """The tasks given at a site to people who have not left, withdrawn ones too, newest first. One statement."""
    return _newest_given(db, _given().where(BenchGiven.site_id == site_id, _TO.left_at.is_(None)))


def logged_ends(db: Session, person_public_id: str, public_id: str) -> list[Mapping[str, Any]]:
    """What the record log says about the end of a run; one entry where all is well. One statement."""
    rows = db.scalars(
        select(LogEntry.record)
        .where(LogEntry.kind == "bench.ended", LogEntry.about == person_public_id)
        .order_by(LogEntry.seq)
    )
    facts: list[Mapping[str, Any]] = [json.loads(record)["facts"] for record in rows]
    return [one for one in facts if one["run"] == public_id]


_TO, _BY = aliased(Person), aliased(Person)


def _runs() -> Select[*tuple[Any, ...]]:
    r = BenchRun
    played = select(func.count()).where(BenchAct.run_id == r.id).scalar_subquery()
    return (
        select(
            r.id, r.public_id, r.person_id, Person.public_id.label("person_public_id"), Person.name.label("person"),
            Person.site_id, r.bench, r.version, r.fixed, r.system, r.sheet_version, r.digest, r.lesson, r.given_id,
            BenchGiven.public_id.label("given"), r.started_at, r.ended_at, r.points, r.passed, r.failed,
            played.label("played"),
        )
        .join(Person, Person.id == r.person_id)
        .outerjoin(BenchGiven, BenchGiven.id == r.given_id)
    )  # fmt: skip


def _newest(db: Session, runs: Select[*tuple[Any, ...]]) -> list[BenchFacts]:
    return _read(db, runs.order_by(BenchRun.started_at.desc(), BenchRun.id.desc()))


def _read(db: Session, runs: Select[*tuple[Any, ...]]) -> list[BenchFacts]:
    rows = db.execute(runs)
    return [BenchFacts(**row) for row in rows.mappings()]


def _given() -> Select[*tuple[Any, ...]]:
    g, r = BenchGiven, BenchRun
    mine = r.given_id == g.id
    o = aliased(BenchRun)
    goes_on = (
        select(o.public_id).where(o.given_id == g.id, o.ended_at.is_(None)).order_by(o.id.desc()).limit(1)
    )
    best = case((r.failed.is_(False), r.points))
    passed_at = case((r.passed.is_(True), r.ended_at))
    return (
        select(
            g.id, g.public_id, g.site_id, g.person_id, _TO.public_id.label("person_public_id"),
            _TO.name.label("person"), _BY.name.label("given_by"), g.bench, g.fixed, g.note, g.sheet_version,
            g.given_at, g.due_at, g.withdrawn_at,
            func.count(r.ended_at).label("runs"), func.max(best).label("best"), func.min(passed_at).label("passed_at"),
            goes_on.scalar_subquery().label("open_run"),
        )
        .join(_TO, _TO.id == g.person_id)
        .join(_BY, _BY.id == g.given_by_id)
        .outerjoin(r, mine)
        .group_by(g.id, _TO.public_id, _TO.name, _BY.name)
    )  # fmt: skip


def _newest_given(db: Session, given: Select[*tuple[Any, ...]]) -> list[GivenTask]:
    rows = db.execute(given.order_by(BenchGiven.given_at.desc(), BenchGiven.id.desc()))
    return [GivenTask(**row) for row in rows.mappings()]
