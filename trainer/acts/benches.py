"""Starting a run of a bench and playing it act by act, giving tasks; an act is on disk before it is acknowledged."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from hashlib import sha256
from typing import Any, cast

import rfc8785
from sqlalchemy import exists, select
from sqlalchemy.orm import Session

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import transaction
from trainer.benches import catalogue
from trainer.benches.acts import MOST_ACTS, Act, act_document, read_kept
from trainer.benches.catalogue import Run, checked, digest, task_of
from trainer.benches.frame import Bench, NoTask, Score
from trainer.exams.sitting import is_text
from trainer.quantities.dimensions import System
from trainer.records.database import Database
from trainer.records.log import Fact, moment_text
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.records.queries.benches import BenchFacts, GivenTask, KeptRun
from trainer.records.tables import BenchAct, BenchGiven, BenchRun, Person
from trainer.sites.said import Said
from trainer.sites.sheet import SiteSheet

LONGEST_NOTE = 500


@dataclass(frozen=True)
class BenchTools:
    """What benches need beside the database: the secret, and a site's sheet at a version."""

    secret: bytes
    sheet: Callable[[int, int], SiteSheet]


@dataclass(frozen=True)
class Played:
    """How an act was taken. accepted: it is on disk, now or since an earlier try (`repeated`).

    said: why the bench does not allow it now, in its own words; reasons: why the run does not, keys of the sentences
    """

    accepted: bool
    repeated: bool = False
    said: Said | None = None
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Wanted:
    """A run that somebody asks for, before it has an id; fixed: its options, checked."""

    bench: Bench
    fixed: dict[str, str]
    sheet_version: int
    given_id: int | None = None

    def run(self, label: str, system: System) -> Run:
        """The run under a label, from which its task is made."""
        card = self.bench.CARD
        return Run(card.id, card.version, self.fixed, label, system)


def start(
    database: Database,
    *,
    member: Member,
    bench_id: str,
    asked: Mapping[str, str],
    sheet_version: int,
    lesson: str | None = None,
    given: str | None = None,
    tools: BenchTools,
    now: datetime,
) -> str | Refused:
    """Start a run and give its public id; one with the same options that is still open is given back instead.

    given: public id of a task from a trainer, whose options and sheet version then stand in place of these
    """
    with database.reading() as db:
        if given:
            wanted = _given_run(db, member, bench_id, given)
        else:
            wanted = _wanted_run(member, bench_id, asked, sheet_version, tools)
        if isinstance(wanted, Refused):
            return wanted
        going_on = _going_on(db, member, wanted, tools)
    if going_on is not None:
        return going_on
    # The task is made before the write lock is taken: it may be dear, and everybody else's acts would wait for it.
    row = _new_run(member, wanted, tools)
    if isinstance(row, Refused):
        return row
    row.lesson, row.started_at = lesson, now
    with transaction.act(database, now) as this:
        # Looked for again under the write lock: a double click begins twice at the same moment.
        going_on = _going_on(this.db, member, wanted, tools)
        if going_on is None:
            this.db.add(row)
        return going_on or row.public_id


def _wanted_run(
    member: Member, bench_id: str, asked: Mapping[str, str], sheet_version: int, tools: BenchTools
) -> _Wanted | Refused:
    bench = catalogue.benches().get(bench_id)
    if bench is None:
        return Refused(("bench.unknown",))
    fixed = checked(bench, tools.sheet(member.site_id, sheet_version), asked)
    return Refused(("bench.no_option",)) if fixed is None else _Wanted(bench, fixed, sheet_version)


def _given_run(db: Session, member: Member, bench_id: str, given: str) -> _Wanted | Refused:
    task = queries.given_task(db, given)
    bench = catalogue.benches().get(bench_id)
    if task is None or task.bench != bench_id or bench is None:
        return Refused(("bench.given_unknown",))
    if task.person_id != member.id:
        return Refused(("bench.given_not_yours",))
    if task.withdrawn_at is not None:
        return Refused(("bench.given_withdrawn",))
    return _Wanted(bench, task.options, task.sheet_version, task.id)


def _going_on(db: Session, member: Member, wanted: _Wanted, tools: BenchTools) -> str | None:
    """An open run of just this, whose task can still be made and which has room for more acts."""
    card, fixed = wanted.bench.CARD, _canonical(wanted.fixed)
    for one in queries.open_runs(db, member.id, card.id, wanted.given_id):
        same = (one.fixed, one.system, one.version) == (fixed, member.system, card.version)
        if same and one.played < MOST_ACTS and task_of_run(one, tools) is not None:
            return one.public_id
    return None


def _new_run(member: Member, wanted: _Wanted, tools: BenchTools) -> BenchRun | Refused:
    public_id, card = str(uuid.uuid4()), wanted.bench.CARD
    label = run_label(member.public_id, public_id, card.id, card.version)
    sheet = tools.sheet(member.site_id, wanted.sheet_version)
    try:
        task = task_of(wanted.run(label, member.system), sheet, tools.secret)
    except NoTask as none:
        return Refused(("bench.no_task",), said=none.why)
    return BenchRun(
        public_id=public_id, person_id=member.id, bench=card.id, version=card.version,
        fixed=_canonical(wanted.fixed), system=member.system, sheet_version=wanted.sheet_version,
        digest=digest(task), given_id=wanted.given_id,
    )  # fmt: skip


def run_label(person: str, run: str, bench: str, version: int) -> str:
    """What the task of a run is drawn from, beside the secret."""
    return f"bench|{person}|{run}|{bench}@{version}"


def task_of_run(kept: BenchFacts, tools: BenchTools) -> Any | None:
    """The task of a run, whoever asks; None where the bench, or what it draws, is no longer that of then."""
    bench = catalogue.benches().get(kept.bench)
    if bench is None or bench.CARD.version != kept.version:
        return None
    label = run_label(kept.person_public_id, kept.public_id, kept.bench, kept.version)
    source = (kept.bench, kept.version, kept.fixed, label, kept.system)
    return _task(tools, kept.site_id, kept.sheet_version, source, kept.digest)


@lru_cache(maxsize=256)
def _task(
    tools: BenchTools, site_id: int, sheet_version: int, source: tuple[str, int, str, str, str], kept: str
) -> Any | None:
    """A task never changes while a program runs, and every act asks for it under the write lock."""
    bench, version, fixed, label, system = source
    run = Run(bench, version, json.loads(fixed), label, cast(System, system))
    try:
        task = task_of(run, tools.sheet(site_id, sheet_version), tools.secret)
    except NoTask:
        return None
    return task if digest(task) == kept else None


def acts_of_run(kept: KeptRun, task: Any) -> tuple[Act, ...]:
    """The acts of a run, the first one first. Raises ValueError for one that its task does not know."""
    kinds = catalogue.benches()[kept.facts.bench].kinds(task)
    acts = [read_kept(kinds, json.loads(document)) for document in kept.acts]
    if None in acts:
        raise ValueError(f"run {kept.facts.public_id} holds an act that its task does not know")
    return tuple(act for act in acts if act is not None)


def play(
    database: Database,
    *,
    member: Member,
    public_id: str,
    number: int,
    act: Act,
    tools: BenchTools,
    now: datetime,
) -> Played:
    """Keep one act, the `number`th of its run from 1. When this returns an acceptance, it is on disk.

    The same again is acknowledged and changes nothing, also after the end; another act under a number that is
    taken, or a number that leaves a gap, is refused. The act that ends the run brings its score.
    """
    with transaction.act(database, now) as this:
        kept = queries.run(this.db, public_id)
        if kept is None:
            return Played(False, reasons=("bench.unknown_run",))
        if kept.facts.person_id != member.id:
            return Played(False, reasons=("bench.not_yours",))
        task = task_of_run(kept.facts, tools)
        if task is None:
            return Played(False, reasons=("bench.changed",))
        played = _judge(kept, task, number, act)
        if played.accepted and not played.repeated:
            _keep(this, kept, task, act)
        return played


def _judge(kept: KeptRun, task: Any, number: int, act: Act) -> Played:
    bench = catalogue.benches()[kept.facts.bench]
    if read_kept(bench.kinds(task), act_document(act)) is None:
        return Played(False, reasons=("bench.no_such_act",))
    if 1 <= number <= len(kept.acts) and kept.acts[number - 1] == _document(act):
        return Played(True, repeated=True)
    stands = {
        "bench.over": kept.facts.ended_at is not None,
        "bench.out_of_step": kept.facts.ended_at is None and number != len(kept.acts) + 1,
        "bench.too_many": len(kept.acts) >= MOST_ACTS,
    }
    reasons = tuple(key for key, holds in stands.items() if holds)
    if reasons:
        return Played(False, reasons=reasons)
    said = bench.refusal(task, acts_of_run(kept, task), act)
    return Played(said is None, said=said)


def _keep(this: transaction.Act, kept: KeptRun, task: Any, act: Act) -> None:
    document, number = _document(act), len(kept.acts) + 1
    this.db.add(BenchAct(run_id=kept.facts.id, number=number, document=document, received_at=this.now))
    now_kept = replace(kept, acts=(*kept.acts, document))
    bench, acts = catalogue.benches()[kept.facts.bench], acts_of_run(now_kept, task)
    if bench.is_over(task, acts):
        _end(this, now_kept, bench.score(task, acts))


def _end(this: transaction.Act, kept: KeptRun, score: Score) -> None:
    row = this.db.get_one(BenchRun, kept.facts.id)
    row.ended_at, row.points = this.now, score.points
    row.passed, row.failed = score.passed, score.failed is not None
    person = kept.facts.person_public_id
    this.log("bench.ended", by=person, about=person, **end_facts(kept, score))


def end_facts(kept: KeptRun, score: Score) -> dict[str, Fact]:
    """What the log says of the end of a run."""
    run = kept.facts
    return {
        "run": run.public_id,
        "bench": run.bench,
        "version": run.version,
        "level": run.options["level"],
        "points": score.points,
        "passed": score.passed,
        "failed": score.failed is not None,
        "acts": len(kept.acts),
        "acts_sha256": sha256(f"[{','.join(kept.acts)}]".encode()).hexdigest(),
        "digest": run.digest,
        "sheet": run.sheet_version,
    }


def give(
    database: Database,
    *,
    by: Member,
    person_id: int,
    bench_id: str,
    asked: Mapping[str, str],
    note: str,
    due_at: datetime | None,
    sheet_version: int,
    tools: BenchTools,
    now: datetime,
) -> str | Refused:
    """Give a person of one's site a task and give its public id; the same one given again is not doubled."""
    with database.reading() as db:
        person = people.member(db, person_id)
    reasons = _why_not_given(by, person, note, due_at, now)
    if person is None or reasons:
        return Refused(reasons)
    wanted = _wanted_run(person, bench_id, asked, sheet_version, tools)
    if isinstance(wanted, Refused):
        return wanted
    public_id = str(uuid.uuid4())
    lacks = _lacks(person, wanted, public_id, tools)
    if lacks is not None:
        return Refused(("bench.no_task",), said=lacks)
    row = BenchGiven(
        public_id=public_id, site_id=by.site_id, person_id=person.id, given_by_id=by.id, bench=bench_id,
        fixed=_canonical(wanted.fixed), note=note.strip(), sheet_version=sheet_version, given_at=now, due_at=due_at,
    )  # fmt: skip
    with transaction.act(database, now) as this:
        twin = _twin(this.db, row)
        if twin is None:
            this.db.add(row)
            _log_given(this, by, person, row)
        return twin or public_id


def _why_not_given(
    by: Member, person: Member | None, note: str, due_at: datetime | None, now: datetime
) -> tuple[str, ...]:
    stands = {
        "bench.may_not_give": not may(by.role, "train"),
        "bench.person_unknown": person is None or person.site_id != by.site_id or person.left_at is not None,
        "bench.note_too_long": len(note.strip()) > LONGEST_NOTE,
        "bench.note_not_text": not is_text(note),
        "bench.due_past": due_at is not None and due_at <= now,
    }
    return tuple(key for key, holds in stands.items() if holds)


def _lacks(person: Member, wanted: _Wanted, given: str, tools: BenchTools) -> Said | None:
    """What the sheet lacks for such a task. Another draw may be luckier or not; the sheet's own lacks show here."""
    run = wanted.run(f"given|{given}", person.system)
    try:
        task_of(run, tools.sheet(person.site_id, wanted.sheet_version), tools.secret)
    except NoTask as none:
        return none.why
    return None


def _twin(db: Session, row: BenchGiven) -> str | None:
    """The same task already given and not yet done: a double click gives one."""
    g, r = BenchGiven, BenchRun
    alike = [
        getattr(g, name) == getattr(row, name)
        for name in ("person_id", "given_by_id", "bench", "fixed", "note", "sheet_version", "due_at")
    ]
    ended = exists().where(r.given_id == g.id, r.ended_at.is_not(None))
    return db.scalar(select(g.public_id).where(*alike, g.withdrawn_at.is_(None), ~ended))


def _log_given(this: transaction.Act, by: Member, person: Member, row: BenchGiven) -> None:
    this.log(
        "bench.given",
        by=by.public_id,
        about=person.public_id,
        given=row.public_id,
        bench=row.bench,
        level=json.loads(row.fixed)["level"],
        fixed=row.fixed,
        sheet=row.sheet_version,
        due=None if row.due_at is None else moment_text(row.due_at),
        note_sha256=sha256(row.note.encode()).hexdigest(),
    )


def take_back(database: Database, *, by: Member, public_id: str, now: datetime) -> Refused | None:
    """Take a task back that was given at one's site; runs of it stay. A second press changes nothing."""
    if not may(by.role, "train"):
        return Refused(("bench.may_not_give",))
    with transaction.act(database, now) as this:
        task = queries.given_task(this.db, public_id)
        if task is None or task.site_id != by.site_id:
            return Refused(("bench.given_unknown",))
        if task.withdrawn_at is None:
            _withdraw(this, by, task)
        return None


def _withdraw(this: transaction.Act, by: Member, task: GivenTask) -> None:
    this.db.get_one(BenchGiven, task.id).withdrawn_at = this.now
    person = this.db.get_one(Person, task.person_id)
    this.log(
        "bench.withdrawn", by=by.public_id, about=person.public_id, given=task.public_id, bench=task.bench
    )


def _document(act: Act) -> str:
    """An act as canonical JSON (RFC 8785)."""
    return _canonical(act_document(act))


def _canonical(document: Mapping[str, Any]) -> str:
    return rfc8785.dumps(dict(document)).decode("utf-8")
