"""A bench as an item of an exam: its task made again, the acts that are kept of it, its mark."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from trainer.benches import catalogue
from trainer.benches.acts import Act, read_kept
from trainer.benches.catalogue import Run, digest, task_of
from trainer.benches.frame import Bench, NoTask, done
from trainer.exams.forms import Slot
from trainer.exams.scoring import Mark
from trainer.quantities.dimensions import System
from trainer.sites.said import Said
from trainer.sites.sheet import SiteSheet

Tasks = Callable[[Slot], Any | None]


@dataclass(frozen=True)
class NoBench:
    """A bench for which the site's sheet gives no task: what it lacks, and the mend."""

    bench: str
    why: Said


def bench_of(slot: Slot) -> Bench | None:
    """The bench of a slot while it is the one of then; None where it was changed since."""
    bench = catalogue.benches().get(slot.bench or "")
    return bench if bench is not None and bench.CARD.version == slot.version else None


def with_task(slot: Slot, sheet: SiteSheet, secret: bytes, system: System) -> Slot:
    """The slot of a bench with its task's digest as fingerprint. Raises NoTask."""
    return replace(slot, fingerprint=digest(_task(slot, sheet, secret, system)))


def task_key(slot: Slot) -> str:
    """The task of a bench's slot as one short text, as `instance_key` is of a question: the same for the same task."""
    return f"{slot.question} {slot.fingerprint}"


def task_of_slot(slot: Slot, sheet: SiteSheet, secret: bytes, system: System) -> Any | None:
    """The task of a slot, made again; None where the bench, or what it draws, is no longer that of then."""
    if bench_of(slot) is None:
        return None
    try:
        task = _task(slot, sheet, secret, system)
    except NoTask:
        return None
    return task if digest(task) == slot.fingerprint else None


def _task(slot: Slot, sheet: SiteSheet, secret: bytes, system: System) -> Any:
    return task_of(Run(slot.bench or "", slot.version, slot.fixed or {}, slot.label, system), sheet, secret)


def read_acts(bench: Bench, task: Any, kept: str) -> tuple[Act, ...] | None:
    """The acts of what is kept as the answer: a JSON list of their documents; None where they are not of this task."""
    try:
        documents = json.loads(kept)
    except (ValueError, RecursionError):
        return None
    if not isinstance(documents, list):
        return None
    kinds = bench.kinds(task)
    acts = [read_kept(kinds, one) for one in documents]
    return None if None in acts else tuple(act for act in acts if act is not None)


def is_finished(bench: Bench, task: Any, kept: str) -> bool:
    """Whether the acts that are kept have come to the end of the bench."""
    acts = read_acts(bench, task, kept) or ()
    return bench.is_over(task, done(bench, task, acts))


def mark_of_bench(slot: Slot, task: Any | None, kept: str) -> Mark | None:
    """How a bench is marked: right where it was brought to its end and passed. None where nothing was done.

    A bench that was left before its end is not right: what it would have come to, nobody saw.
    """
    bench = bench_of(slot)
    if bench is None or task is None:
        return "changed"
    if not kept:
        return None
    acts = read_acts(bench, task, kept)
    if acts is None:
        return "unreadable"
    finished = bench.is_over(task, done(bench, task, acts))
    return None if not acts else "right" if finished and bench.score(task, acts).passed else "wrong"
