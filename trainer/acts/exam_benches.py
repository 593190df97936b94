"""Playing a bench in an exam, act by act; an act is on disk before it is acknowledged, and none is taken back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import rfc8785

from trainer.access.members import Member
from trainer.acts import transaction
from trainer.acts.benches import Played
from trainer.acts.exams import ExamTools, keep_revision, paper_of, sha256_of, tasks_of
from trainer.benches.acts import Act, act_document, read_kept
from trainer.benches.frame import Bench
from trainer.exams.bench_slots import bench_of, read_acts
from trainer.exams.sitting import ActArrival, GivenAnswer, Sitting, judge_act
from trainer.records.database import Database
from trainer.records.queries import exams as queries


@dataclass(frozen=True)
class OnBench:
    """Where a bench of an exam stands: its task and the acts that are kept."""

    bench: Bench
    task: Any
    acts: tuple[Act, ...]

    @property
    def finished(self) -> bool:
        """Whether its end was reached."""
        return self.bench.is_over(self.task, self.acts)


def on_bench(sitting: Sitting, number: int, given: GivenAnswer | None, tools: ExamTools) -> OnBench | None:
    """The bench of a slot as it stands; None where it is no longer the one that was set."""
    slot = paper_of(sitting).slot(number)
    bench, task = (bench_of(slot), tasks_of(sitting, tools)(slot)) if slot else (None, None)
    if bench is None or task is None:
        return None
    acts = read_acts(bench, task, given.text) if given else ()
    return None if acts is None else OnBench(bench, task, acts)


def bench_act(
    database: Database,
    *,
    member: Member,
    public_id: str,
    slot: int,
    number: int,
    act: Act,
    language: str,
    tools: ExamTools,
    now: datetime,
    place: str | None = None,
) -> Played:
    """Keep one act on the bench of a slot, the `number`th from 1. When this returns an acceptance, it is on disk.

    The answer is the list of all acts so far, and each act a revision: the longer list counts, so that nothing is
    taken back once its outcome was seen. The same again is acknowledged and changes nothing.
    """
    with transaction.act(database, now) as this:
        sitting = queries.sitting(this.db, public_id)
        if sitting is None:
            return Played(False, reasons=("exam.unknown",))
        if sitting.person_id != member.id:
            return Played(False, reasons=("exam.not_yours",))
        asked = paper_of(sitting).slot(slot)
        if asked is None or asked.bench is None:
            return Played(False, reasons=("exam.unknown_slot" if asked is None else "exam.not_bench",))
        stands = on_bench(sitting, slot, queries.standing_answers(this.db, sitting.id).get(slot), tools)
        if stands is None:
            return Played(False, reasons=("exam.bench_changed",))
        played = _judge(sitting, stands, ActArrival(member.id, number, _document(act), now, place), act)
        if played.accepted and not played.repeated:
            text = f"[{','.join(map(_document, (*stands.acts, act)))}]"
            _keep(this, sitting, GivenAnswer(slot, number, text, language), _document(act))
        return played


def _judge(sitting: Sitting, stands: OnBench, arrival: ActArrival, act: Act) -> Played:
    bench, task = stands.bench, stands.task
    if read_kept(bench.kinds(task), act_document(act)) is None:
        return Played(False, reasons=("exam.no_such_act",))
    receipt = judge_act(sitting, [_document(one) for one in stands.acts], arrival, finished=stands.finished)
    if receipt.repeated or not receipt.accepted:
        return Played(receipt.accepted, receipt.repeated, reasons=receipt.reasons)
    said = bench.refusal(task, stands.acts, act)
    return Played(said is None, said=said)


def _keep(this: transaction.Act, sitting: Sitting, given: GivenAnswer, document: str) -> None:
    keep_revision(this, sitting, given)
    # The log holds the act alone: with the whole list in every entry it would grow by the square.
    this.log(
        "exam.acted",
        by=sitting.person_public_id,
        about=sitting.person_public_id,
        exam=sitting.public_id,
        slot=given.slot,
        revision=given.revision,
        act=document,
        done_in=given.language,
        sha256=sha256_of(given.text),
    )


def _document(act: Act) -> str:
    """An act as canonical JSON (RFC 8785)."""
    return rfc8785.dumps(act_document(act)).decode("utf-8")
