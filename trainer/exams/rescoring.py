"""Re-scoring after a key changed: whose mark a newer key changes, and the result that follows from the new marks.

A pass is never taken back here: whoever passed acted in good faith on what the program told them. A result that would
no longer be a pass is told beside the pass, and a manager decides about what rests on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.exams.forms import Form
from trainer.exams.key_marks import mark_by_key
from trainer.exams.key_sheet import Key, key_of
from trainer.exams.reading_back import gives_away
from trainer.exams.scoring import Mark, Result, Rules, score
from trainer.exams.sitting import GivenAnswer
from trainer.language.draws import Instance
from trainer.language.newer import LANGUAGES, under_newer
from trainer.language.questions import Question
from trainer.language.rendering import show

# By the newer key; or right for everybody, where the newer text asks something else.
How = Literal["newer", "right"]
HOWS: tuple[How, ...] = ("newer", "right")


@dataclass(frozen=True)
class Compared:
    """One answer under both keys; `key` is None where the newer text cannot say whether it was right.

    before: the mark that is in force; after: the mark by the newer key
    """

    before: Mark | None
    after: Mark | None
    key: Key | None

    @property
    def comparable(self) -> bool:
        """Whether the newer key says anything about it."""
        return self.key is not None

    @property
    def touched(self) -> bool:
        """Whether the newer key marks it otherwise."""
        return self.comparable and self.before != self.after

    @property
    def open(self) -> bool:
        """Whether counting it right for everybody is all that could be done about it."""
        return not self.comparable and self.before != "right"


@dataclass(frozen=True)
class Scored:
    """What is in force of an exam: its result, and whether it is passed, maybe beside a result that is none."""

    result: Result
    passed: bool

    @property
    def lowers(self) -> bool:
        """Whether the pass stands although the result is none."""
        return self.passed and not self.result.passed


def compare(
    asked: Instance | None, newer: Question, given: GivenAnswer | None, before: Mark | None
) -> Compared:
    """An answer as typed, by the key of a newer text, on the numbers that were drawn then.

    asked: the instance as it was; None where it cannot be made again
    """
    made = None if asked is None else under_newer(asked, newer)
    if asked is None or made is None or not same_drawing(asked, made):
        return Compared(before, before, None)
    key = key_of(made, given)
    return Compared(before, mark_by_key(key, given), key)


def same_drawing(asked: Instance, made: Instance) -> bool:
    """Whether both show the same drawing where an exam shows one: what gives the answer away is left out of it."""
    return all(_drawing(asked, one) == _drawing(made, one) for one in LANGUAGES)


def _drawing(instance: Instance, language: Literal["en", "es"]) -> object:
    figure = show(instance, language).figure
    return None if figure is None or gives_away(instance, figure) else (figure.name, dict(figure.numbers))


def rescored(
    rules: Rules, form: Form, marks: Mapping[int, Mark], changed: Mapping[int, Mark | None], *, passed: bool
) -> Scored:
    """The result with some marks changed.

    marks: those that are in force; passed: whether the exam is passed as it stands, which it stays
    """
    result = score(rules, form, with_changes(marks, changed))
    return Scored(result, passed or bool(result.passed))


def with_changes(marks: Mapping[int, Mark], changed: Mapping[int, Mark | None]) -> dict[int, Mark]:
    """The marks with some of them changed; None takes one away."""
    return {number: mark for number, mark in {**marks, **changed}.items() if mark is not None}
