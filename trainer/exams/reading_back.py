"""What may be shown while an exam is open: how an answer was read, and a figure that does not give the answer away."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.exams.sitting import GivenAnswer
from trainer.language.admission import HAIR, Reader, tolerance_of
from trainer.language.draws import Instance
from trainer.language.grading import read_answer
from trainer.language.questions import (
    ChoiceTask,
    MatchTask,
    NumberTask,
    OrderTask,
    SeveralTask,
    TableTask,
)
from trainer.language.rendering import FigureRequest
from trainer.quantities import UnreadableQuantity, read_quantity, said_back
from trainer.quantities.dimensions import Language


@dataclass(frozen=True)
class ReadBack:
    """An answer as it was read; without the key nobody could tell from it whether it is right.

    readable: whether it can be counted at all; said: the number as it was read, or why it cannot be read
    """

    readable: bool
    said: str = ""


def read_back(instance: Instance, given: GivenAnswer) -> ReadBack:
    """How an answer is read, in the language it was typed in. Looks at what is asked and never at what is right."""
    language: Language = "es" if given.language == "es" else "en"
    task = instance.question.task
    if isinstance(task, NumberTask):
        try:
            reading = read_quantity(given.text, task.units[instance.system], language)
        except UnreadableQuantity as bad:
            return ReadBack(False, bad.sentence(language))
        return ReadBack(True, said_back(reading, language))
    return ReadBack(_is_whole(task, read_answer(instance.question, given.text)))


def _is_whole(
    task: ChoiceTask | SeveralTask | OrderTask | MatchTask | TableTask,
    answer: str | list[str] | dict[str, str],
) -> bool:
    """Whether everything that is asked has an answer."""
    match task:
        case ChoiceTask(options=options):
            return answer in [option.id for option in options]
        case SeveralTask():
            return isinstance(answer, list) and bool(answer)
        case OrderTask(items=items):
            return isinstance(answer, list) and set(answer) == {item.id for item in items}
        case MatchTask(left=left):
            return isinstance(answer, dict) and set(answer) == {pair.id for pair in left}
        case TableTask(rows=rows):
            return isinstance(answer, dict) and set(answer) == {row.id for row in rows}


def gives_away(instance: Instance, figure: FigureRequest) -> bool:
    """Whether a figure shows the number that is asked: then it does not stand in an exam."""
    task = instance.question.task
    if not isinstance(task, NumberTask):
        return False
    reader = Reader(instance.values, instance.system)
    right, tolerance = reader.number(task.value), tolerance_of(task, reader)
    return any(abs(number - right) <= tolerance + HAIR * abs(right) for number in figure.numbers.values())
