"""Which draws may be shown: every number finite, every demand met, no slip near the answer or a number that is read.

The same code runs on one draw and on arrays of draws; `Reader` says how an expression is worked out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from trainer.language.expressions import Expression
from trainer.language.prose import Insert
from trainer.language.questions import ChoiceTask, NumberTask, Question, SeveralTask
from trainer.quantities.dimensions import System
from trainer.quantities.units import usual_unit

APART = 2.0  # tolerances that must lie between any two numbers that could be mistaken
HAIR = 1e-9  # what floating point may lose, as a share of the answer


@dataclass(frozen=True)
class Reader:
    """Works out expressions for one draw, or for `count` draws at once."""

    values: Mapping[str, Any]
    system: System
    count: int | None = None

    def number(self, expression: Expression) -> Any:
        """The number, or an array of numbers."""
        if self.count is None:
            return expression.number(self.values)
        return expression.numbers(self.values, self.count)

    def truth(self, expression: Expression) -> Any:
        """Whether it holds, or an array of that."""
        if self.count is None:
            return expression.truth(self.values)
        return expression.truths(self.values, self.count)

    def read_number(self, insert: Insert) -> Any:
        """The bare number that a learner reads where an insert stands, unrounded."""
        value = self.number(insert.expression)
        if insert.units is not None:
            return value / insert.units[self.system].factor
        if self.count is None:
            return value / insert.unit(value, self.system).factor
        factors = (usual_unit(insert.expression.dimension, one, self.system).factor for one in value)
        return value / np.fromiter(factors, float, self.count)


def admitted(question: Question, values: Mapping[str, Any], system: System, count: int | None = None) -> Any:
    """Whether one draw, or which of `count` draws, may be shown."""
    reader = Reader(values, system, count)
    good = wanted(question, reader) & finite(question, reader)
    if not isinstance(question.task, NumberTask):
        return good & rightly_many(question, reader)
    tolerance = tolerance_of(question.task, reader)
    for _, distance in distances(question, reader):
        good = good & (distance > APART * tolerance)
    return good


def why_not(question: Question, values: Mapping[str, Any], system: System) -> str:
    """Why one draw may not be shown, in words."""
    reader = Reader(values, system)
    if not wanted(question, reader):
        return "a demand under `require` is not met"
    if not finite(question, reader):
        return "a number has no value"
    if not isinstance(question.task, NumberTask):
        return "the number of right options is not as it must be"
    return f"{min(distances(question, reader), key=lambda pair: pair[1])[0]} are too near"


def wanted(question: Question, reader: Reader) -> Any:
    """Whether every `require` holds."""
    good: Any = True
    for demand in question.require:
        good = good & reader.truth(demand)
    return good


def finite(question: Question, reader: Reader) -> Any:
    """Whether every worked-out name and the answer has a value."""
    needed = [reader.values[worked.name] for worked in question.numbers.worked]
    if isinstance(question.task, NumberTask):
        needed.append(reader.number(question.task.value))
    good: Any = True
    for value in needed:
        good = good & np.isfinite(value)
    return good


def rightly_many(question: Question, reader: Reader) -> Any:
    """Whether exactly one option of a choice is right, or at least one of several."""
    if not isinstance(question.task, ChoiceTask | SeveralTask):
        return True
    right: Any = 0
    for option in question.task.options:
        right = right + (
            int(option.right) if isinstance(option.right, bool) else 1 * reader.truth(option.right)
        )
    return (right == 1) if isinstance(question.task, ChoiceTask) else (right >= 1)


def tolerance_of(task: NumberTask, reader: Reader) -> Any:
    """How far an answer may lie from the right one [SI]."""
    right = abs(reader.number(task.value))
    return task.within.amount + task.within.share * right + HAIR * right


def slip_values(task: NumberTask, reader: Reader) -> dict[str, Any]:
    """What each slip gives, as a quantity in the answer's dimension [SI]."""
    asked = task.units[reader.system].factor
    return {slip.id: reader.number(slip.value) * (asked if slip.bare else 1.0) for slip in task.slips}


def distances(question: Question, reader: Reader) -> Iterator[tuple[str, Any]]:
    """How far apart [SI] each two numbers lie that must not be mistaken, with words that say which two."""
    task = question.task
    assert isinstance(task, NumberTask)
    right = reader.number(task.value)
    slips = slip_values(task, reader)
    read = list(numbers_read(question, task, reader))
    for name, value in slips.items():
        yield f"slip {name} and the answer", abs(value - right)
    for (one, first), (other, second) in combinations(slips.items(), 2):
        yield f"slips {one} and {other}", abs(first - second)
    for words, number in read:
        yield f"{words} and the answer", abs(number - right)
        for name, value in slips.items():
            yield f"{words} and slip {name}", abs(number - value)


def numbers_read(question: Question, task: NumberTask, reader: Reader) -> Iterator[tuple[str, Any]]:
    """Every number in the question as somebody would type it, taken in the asked unit [SI]."""
    asked = task.units[reader.system]
    for insert in question.given:
        words = f"the given {insert.expression.text}"
        yield words, reader.read_number(insert) * asked.factor
        if insert.expression.dimension == asked.dimension:
            yield words, reader.number(insert.expression)
    for numeral in question.numerals:
        yield f"the written {numeral:g}", numeral * asked.factor
