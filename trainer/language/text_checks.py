"""Rules for a question's texts that need no numbers: lengths of options, empty phrases, names without use."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from trainer.language.names import LANGUAGES
from trainer.language.prose import Prose, plain_text
from trainer.language.questions import (
    ChoiceTask,
    NumberTask,
    PhotoUse,
    Question,
    SeveralTask,
    Words,
    words_of,
)

LONGER = 2.0  # the longest option may be twice the shortest and
ALLOWANCE = 12  # this many characters more

_ALL_OF_THEM = re.compile(
    r"\b(all|none|both|any) of (the above|these|them)\b"
    r"|\b(tod[ao]s|ningun[ao] de|amb[ao]s) (l[ao]s )?(anteriores|de arriba)\b|\btodo lo anterior\b",
    re.IGNORECASE,
)
_EMPTY_REASON = re.compile(
    r"\b(try again|(is|that's|it's|that is|it is) (wrong|incorrect)\.?$"
    r"|(intent[ea]|inténtalo) (de nuevo|otra vez)|vuelv[ae] a intentar)",
    re.IGNORECASE,
)


def text_checks(question: Question) -> Iterator[str]:
    """What is wrong with a question's texts, as sentences."""
    for name in question.numbers.unused:
        yield f"`{name}` is named and never used."
    if isinstance(question.task, NumberTask) and not question.steps:
        yield "A number needs worked `steps`, for whoever gets it wrong."
    if isinstance(question.task, NumberTask) and not question.task.slips:
        yield "A number needs at least one slip: a wrong method that people use."
    if isinstance(question.task, NumberTask):
        yield from _early_answers(question.task, question.steps)
    if isinstance(question.task, ChoiceTask | SeveralTask):
        yield from _options(question.task)
    if question.photo is not None:
        yield from _unsaid(question.photo)
    for words in words_of(question):
        for language in LANGUAGES:
            if _EMPTY_REASON.search(written(words[language])):
                yield f"A reason says only that it is wrong ({language}): “{written(words[language])[:60]}”."


def _unsaid(photo: PhotoUse) -> Iterator[str]:
    for language in LANGUAGES:
        if not written(photo.shows[language]):
            yield f"The photo has no words ({language}). Say what it shows, for whoever cannot see it."


def _early_answers(task: NumberTask, steps: Sequence[Words]) -> Iterator[str]:
    """Steps before the last that state the answer: practice leaves the last step to the learner."""
    for at, step in enumerate(steps[:-1], 1):
        if any(insert.expression.text == task.value.text for insert in step["en"].inserts):
            yield f"Step {at} states the answer; only the last step may."


def _options(task: ChoiceTask | SeveralTask) -> Iterator[str]:
    for language in LANGUAGES:
        lengths = {option.id: option.text[language].length for option in task.options}
        shortest, longest = min(lengths.values()), max(lengths.values())
        if longest > LONGER * shortest + ALLOWANCE:
            names = max(lengths, key=lambda one: lengths[one]), min(lengths, key=lambda one: lengths[one])
            yield (
                f"The options are not of like length ({language}): {names[0]} has {longest} characters, "
                f"{names[1]} has {shortest}. Lengthen the short one or shorten the long one."
            )
        for option in task.options:
            if _ALL_OF_THEM.search(written(option.text[language])):
                yield f"The option {option.id} speaks of all the others ({language}). Say what it means."


def written(prose: Prose) -> str:
    """The words of a text, with … where numbers stand."""
    return plain_text("".join(part if isinstance(part, str) else "…" for part in prose.parts)).strip()
