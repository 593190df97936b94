"""Reading the job analysis of a scheme's file and holding its areas against it, with every fault at its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date

from trainer.documents import Faults, Node, fields, items, text, whole
from trainer.exams.analysis import HIGHEST, Analysis, JobTask
from trainer.exams.blueprint import shared_out, should_be_critical, tasks_of
from trainer.exams.scheme import Area
from trainer.exams.texts import Text

IDENTIFIER = re.compile(r"[a-z][a-z0-9_]{0,63}")
_TASK = ("id", "text", "importance", "frequency", "harm", "skills")


def read_text(node: Node, faults: Faults) -> Text:
    """A text in both languages."""
    parts = fields(node, ["en", "es"], [], faults)
    return Text(*(text(parts[key], faults) if key in parts else "" for key in ("en", "es")))


def read_analysis(node: Node, faults: Faults) -> Analysis | None:
    """The job analysis of its node; None, and faults, where a part is missing."""
    required = ["rated_by", "rated_on", "review_by", "basis", "tasks"]
    parts = fields(node, required, [], faults)
    if len(parts) < len(required):
        return None
    rated_on, review_by = _day(parts["rated_on"], faults), _day(parts["review_by"], faults)
    if review_by <= rated_on != date.min:
        faults.add(parts["review_by"], "The review stands before the rating.", "Write a later day.")
    return Analysis(
        rated_by=tuple(read_text(one, faults) for one in _some(parts["rated_by"], "a role", faults)),
        rated_on=rated_on,
        review_by=review_by,
        basis=read_text(parts["basis"], faults),
        tasks=_tasks(_some(parts["tasks"], "a task", faults), faults),
    )


def _some(node: Node, what: str, faults: Faults) -> list[Node]:
    nodes = items(node, faults)
    if isinstance(node.value, list) and not nodes:
        faults.add(node, f"At least {what} is needed here.", "Write one `- …` each.")
    return nodes


def _day(node: Node, faults: Faults) -> date:
    try:
        return date.fromisoformat(node.written)
    except ValueError:
        faults.add(node, "A day is expected here.", "Write year, month and day, as in 2026-03-02.")
        return date.min


def _tasks(nodes: Sequence[Node], faults: Faults) -> tuple[JobTask, ...]:
    read = [(_task(node, faults), node) for node in nodes]
    seen: set[str] = set()
    for task, node in read:
        if task is not None and task.id in seen:
            faults.add(node, f"The task {task.id} stands here twice.", "Keep one of them.", read=task.id)
        seen.add(task.id if task else "")
    return tuple(task for task, _ in read if task is not None)


def _task(node: Node, faults: Faults) -> JobTask | None:
    parts = fields(node, _TASK, [], faults)
    if len(parts) < len(_TASK):
        return None
    if not IDENTIFIER.fullmatch(parts["id"].written):
        faults.add(parts["id"], "This is not a name that can stand here.", "Write small letters and _.")
    return JobTask(
        id=parts["id"].written,
        text=read_text(parts["text"], faults),
        importance=_rated(parts["importance"], faults),
        frequency=_rated(parts["frequency"], faults),
        harm=_rated(parts["harm"], faults),
        skills=tuple(one.written for one in _some(parts["skills"], "a skill", faults)),
    )


def _rated(node: Node, faults: Faults) -> int:
    value = whole(node, faults)
    if isinstance(node.value, int) and not 1 <= value <= HIGHEST:
        faults.add(node, "This rating is out of range.", f"Write a number from 1 to {HIGHEST}.")
    return value


def hold_against(analysis: Analysis, areas: Sequence[tuple[Area, Node]], at: Node, faults: Faults) -> bool:
    """Whether tasks and areas cover each other and harm decides what is critical; each gap is a fault.

    at: where the analysis stands, for tasks that name what no area has
    """
    before = len(faults)
    covered = {skill for task in analysis.tasks for skill in task.skills}
    known = {skill for area, _ in areas for skill in area.skills}
    for skill in sorted(covered - known):
        faults.add(at, f"A task rests on {skill}, which no area has.", "Add it to an area.", read=skill)
    for area, node in areas:
        for skill in area.skills:
            if skill not in covered:
                faults.add(
                    node, f"No task rests on {skill}.", "Name it in a task, or leave it out.", read=skill
                )
        _harm_fits(area, node, analysis, faults)
    return len(faults) == before


def _harm_fits(area: Area, node: Node, analysis: Analysis, faults: Faults) -> None:
    should = should_be_critical(area, analysis.tasks)
    if should and not area.critical:
        worst = max(tasks_of(area, analysis.tasks), key=lambda task: task.harm)
        faults.add(
            node, f"The task {worst.id} can kill or maim.", "Write `critical: true` here.", read=area.id
        )
    if area.critical and not should:
        wrong = f"No task of this area has harm {HIGHEST}."
        faults.add(node, wrong, "Leave `critical` out, or rate the harm.", read=area.id)


def counted_from(
    analysis: Analysis, areas: Sequence[tuple[Area, Node]], total: int, at: Node, faults: Faults
) -> tuple[int | None, ...]:
    """What the tasks give each area; a fault where an area has another number of items without a reason."""
    try:
        shared = shared_out([area for area, _ in areas], analysis, total)
    except ValueError:
        faults.add(
            at, "Nothing is left to share out by the tasks.", "Let fewer areas have a reason of their own."
        )
        return tuple(None for _ in areas)
    for (area, node), given in zip(areas, shared, strict=True):
        if given == 0:
            faults.add(
                node, "From its tasks this area gets no item.", "Write `items` and `because`.", read=area.id
            )
        elif given is not None and area.items and area.items != given:
            wrong = f"From its tasks this area has {given} items, not {area.items}."
            faults.add(
                node, wrong, f"Write `items: {given}`, or say `because: {{en: …, es: …}}`.", read=area.id
            )
    return shared
