"""The key sheet of one exam: what was asked, what is right and how what was typed was read, slot by slot.

It is for whoever checks a closed exam away from the program: every mark follows from it by comparing alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.benches.frame import done
from trainer.exams.bench_slots import Tasks, bench_of, read_acts
from trainer.exams.forms import Slot
from trainer.exams.paper import Find, Paper, instance_of
from trainer.exams.sitting import GivenAnswer
from trainer.language.admission import Reader, tolerance_of
from trainer.language.draws import Instance
from trainer.language.prose import plain_text
from trainer.language.questions import (
    ChoiceTask,
    MatchTask,
    NumberTask,
    OrderTask,
    SeveralTask,
    TableTask,
)
from trainer.language.rendering import Teller, holds, state_of
from trainer.quantities.dimensions import Language
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import read_quantity
from trainer.quantities.writing import write_quantity

Key = dict[str, Any]
LANGUAGES: tuple[Language, Language] = ("en", "es")


def key_sheet(
    paper: Paper, answers: Mapping[int, GivenAnswer], find: Find, secret: bytes, tasks: Tasks
) -> dict[str, Key]:
    """The key of every slot by its number, as plain values; numbers in SI.

    A slot whose question or bench is no longer the one of then has the kind `changed` and nothing else.
    """
    return {
        str(slot.number): _slot_key(
            paper, slot, answers.get(slot.number), find=find, secret=secret, tasks=tasks
        )
        for slot in paper.form.slots
    }


def _slot_key(
    paper: Paper, slot: Slot, given: GivenAnswer | None, *, find: Find, secret: bytes, tasks: Tasks
) -> Key:
    if slot.bench is not None:
        return _bench_key(slot, tasks(slot), given)
    instance = instance_of(paper, slot, find, secret)
    if instance is None:
        return {"kind": "changed"}
    return key_of(instance, given)


def key_of(instance: Instance, given: GivenAnswer | None) -> Key:
    """The key of one instance, and how what was typed was read."""
    asked = {one: plain_text(Teller(instance, one).html(instance.question.ask)) for one in LANGUAGES}
    return {"kind": instance.question.kind, "asked": asked, **_task_key(instance, given)}


def _task_key(instance: Instance, given: GivenAnswer | None) -> Key:
    reader = Reader(instance.values, instance.system)
    match instance.question.task:
        case NumberTask() as task:
            return _number_key(instance, task, given)
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return {
                "options": [one.id for one in options],
                "right": [one.id for one in options if holds(one, reader)],
            }
        case OrderTask(items=items, before=before):
            return {
                "items": [one.id for one in items],
                "before": [[pair.first, pair.then] for pair in before],
            }
        case MatchTask(left=left, right=right):
            return {"may": [one.id for one in right], "right": {pair.id: pair.goes for pair in left}}
        case TableTask(rows=rows, states=states) as task:
            return {
                "may": [one.id for one in states],
                "right": {row.id: state_of(row, task, reader) for row in rows},
            }


def _number_key(instance: Instance, task: NumberTask, given: GivenAnswer | None) -> Key:
    reader, asked = Reader(instance.values, instance.system), task.units[instance.system]
    right = float(reader.number(task.value))
    return {
        "right": right,
        "tolerance": float(tolerance_of(task, reader)),
        "unit": asked.key,
        "factor": asked.factor,
        "dimension": asked.dimension.symbol,
        "shown": {one: write_quantity(right, asked, one) for one in LANGUAGES},
        "read": _read(task, instance, given),
    }


def _read(task: NumberTask, instance: Instance, given: GivenAnswer | None) -> Key | None:
    """How the answer that stands was read; None where there is none, or it cannot be read."""
    if given is None or not given.text:
        return None
    language: Language = "es" if given.language == "es" else "en"
    try:
        reading = read_quantity(given.text, task.units[instance.system], language)
    except UnreadableQuantity:
        return None
    return {
        "value": reading.value,
        "unit": None if reading.unit is None else reading.unit.key,
        "dimension": reading.dimension.symbol,
    }


def _bench_key(slot: Slot, task: Any | None, given: GivenAnswer | None) -> Key:
    """A bench is scored by the program's own rules: what it came to is stated, and its acts stand beside it."""
    bench = bench_of(slot)
    if bench is None or task is None:
        return {"kind": "changed"}
    acts = read_acts(bench, task, given.text) if given is not None and given.text else ()
    if not acts:
        return {"kind": "bench", "readable": acts is not None, "acts": 0, "finished": False, "passed": False}
    finished = bench.is_over(task, done(bench, task, acts))
    score = bench.score(task, acts) if finished else None
    return {
        "kind": "bench",
        "readable": True,
        "acts": len(acts),
        "finished": finished,
        "passed": score is not None and score.passed,
    }
