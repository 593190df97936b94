"""What each question of a closed exam came to, for the statistics of questions; nobody's result is read from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.exams.paper import Find, Paper, instance_of
from trainer.exams.setting import instance_key
from trainer.exams.sitting import GivenAnswer
from trainer.language.draws import Instance
from trainer.language.grading import grade, read_answer
from trainer.language.questions import ChoiceTask, Question
from trainer.quantities.dimensions import Language
from trainer.statistics.flags import OTHER, RIGHT

SlotMark = Literal["right", "wrong", "unreadable", "omitted", "not_reached", "changed"]
KEY_LENGTH = 16  # hex digits that tell a question's instances apart


@dataclass(frozen=True)
class SlotAnswer:
    """What a slot came to.

    omitted: nothing was answered though something after it was; not_reached: nothing was from here on
    chosen: `RIGHT`, an option, a slip or `OTHER`; instance: a key of the drawn numbers, empty where they cannot be told
    """

    slot: int
    question: str
    version: int
    scored: bool
    mark: SlotMark
    chosen: str = ""
    instance: str = ""


def slot_answers(
    paper: Paper, answers: Mapping[int, GivenAnswer], find: Find, secret: bytes
) -> tuple[SlotAnswer, ...]:
    """What every question of a paper came to, in its order; a bench is no question."""
    given = {number: one for number, one in answers.items() if one.text}
    last = max(given, default=0)
    found: list[SlotAnswer] = []
    for slot in paper.form.slots:
        if slot.bench is not None:
            continue
        instance = instance_of(paper, slot, find, secret)
        known = (slot.number, slot.question, slot.version, not slot.pilot)
        if instance is None:
            found.append(SlotAnswer(*known, "changed"))
            continue
        key = instance_key(instance)[:KEY_LENGTH]
        if slot.number in given:
            found.append(SlotAnswer(*known, *_told(instance, given[slot.number]), key))
        else:
            found.append(SlotAnswer(*known, "omitted" if slot.number < last else "not_reached", OTHER, key))
    return tuple(found)


def _told(instance: Instance, given: GivenAnswer) -> tuple[SlotMark, str]:
    language: Language = "es" if given.language == "es" else "en"
    verdict = grade(instance, read_answer(instance.question, given.text), language)
    mark: SlotMark = "right" if verdict.right else "unreadable" if verdict.kind == "unreadable" else "wrong"
    return mark, chosen_name(instance.question, given.text, right=verdict.right, slip=verdict.slip)


def chosen_name(question: Question | None, text: str | None, *, right: bool, slip: str | None) -> str:
    """What was chosen, so that answers to other numbers can be counted together."""
    if right:
        return RIGHT
    if slip:
        return slip
    task = question.task if question else None
    if isinstance(task, ChoiceTask) and text in {one.id for one in task.options}:
        return text or OTHER
    return OTHER
