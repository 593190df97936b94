"""Looking at closed exams for marks, beside the pages; what is found is kept once and decides nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta

import rfc8785
from sqlalchemy import select

from trainer.acts.exams import ExamTools, paper_of
from trainer.acts.transaction import SYSTEM, act
from trainer.exams.forms import Slot
from trainer.exams.marks import Marks, marks_of
from trainer.exams.paper import Paper, instance_of
from trainer.language.draws import Instance
from trainer.records.database import Database
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import sitting as queries
from trainer.records.tables import ExamLook

AFTER = timedelta(seconds=5)  # so that many exams that end at once are all closed first
BEFORE = timedelta(days=30)  # whose numbers may have been passed on
MOST_AT_ONCE = 5
MOST_OTHERS = 40


def look_over(database: Database, tools: ExamTools, now: datetime) -> list[str]:
    """Look at closed exams that nobody looked at; gives the public ids of those that are flagged."""
    with database.reading() as db:
        waiting = queries.not_looked_at(db, MOST_AT_ONCE, now, AFTER)
    return [public_id for public_id in waiting if _look(database, public_id, tools, now)]


def _look(database: Database, public_id: str, tools: ExamTools, now: datetime) -> bool:
    found = marks_now(database, public_id, tools)
    with act(database, now) as this:
        sitting = exam_queries.sitting(this.db, public_id)
        assert sitting is not None
        if this.db.scalar(select(ExamLook.id).where(ExamLook.exam_id == sitting.id)) is not None:
            return False  # another sweeper was first
        counts = {"keys": len(found.keys), "bursts": len(found.bursts), "fast": len(found.fast)}
        detail = rfc8785.dumps(found.document()).decode("utf-8")
        this.db.add(
            ExamLook(exam_id=sitting.id, looked_at=now, flagged=found.flagged, detail=detail, **counts)
        )
        this.log(
            "exam.looked_at", by=SYSTEM, about=sitting.person_public_id, exam=public_id, **counts,
            flagged=found.flagged,
        )  # fmt: skip
    return found.flagged


def marks_now(database: Database, public_id: str, tools: ExamTools) -> Marks:
    """The marks of an exam, worked out from what is kept. Raises LookupError."""
    with database.reading() as db:
        sitting = exam_queries.sitting(db, public_id)
        if sitting is None:
            raise LookupError(f"there is no exam {public_id}")
        kept = queries.kept_answers(db, sitting.id)
        beside = queries.exams_beside(db, sitting, BEFORE, MOST_OTHERS)
    own = dict(_numbers(paper_of(sitting), tools))
    asked: defaultdict[str, list[Instance]] = defaultdict(list)
    wanted = {instance.question.id for instance in own.values()}
    for other in beside:
        for _, instance in _numbers(paper_of(other), tools, wanted):
            asked[instance.question.id].append(instance)
    others = {number: asked[instance.question.id] for number, instance in own.items()}
    return marks_of(sitting.started_at, [one for one in kept if one.slot in own], own, others)


def _numbers(
    paper: Paper, tools: ExamTools, wanted: set[str] | None = None
) -> Iterator[tuple[int, Instance]]:
    """What was asked under each number of a paper whose answer is a number; nothing that was changed since.

    Nothing on trial either: its key is not proven yet.
    """
    for slot in paper.form.scored:
        if _asks_a_number(slot, tools) and (wanted is None or slot.question in wanted):
            instance = instance_of(paper, slot, tools.bank.find, tools.secret)
            if instance is not None:
                yield slot.number, instance


def _asks_a_number(slot: Slot, tools: ExamTools) -> bool:
    question = None if slot.bench is not None else tools.bank.find(slot.question, slot.fingerprint)
    return question is not None and question.kind == "number"
