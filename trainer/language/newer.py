"""An instance under a newer text of its question: the same numbers, and the very same thing read, but another key."""

from __future__ import annotations

from dataclasses import replace
from math import isclose
from typing import Any

from trainer.language.admission import Reader, finite, rightly_many, wanted
from trainer.language.draws import Instance
from trainer.language.prose import plain_text
from trainer.language.questions import ChoiceTask, MatchTask, OrderTask, Question, SeveralTask
from trainer.language.rendering import Part, show
from trainer.language.worked_numbers import work_out
from trainer.quantities.dimensions import Language

LANGUAGES: tuple[Language, Language] = ("en", "es")


def under_newer(asked: Instance, newer: Question) -> Instance | None:
    """What was asked, with the key of a newer text; None where that cannot say whether an answer was right.

    It cannot where its names are others, where it never asks these numbers, or where whoever reads it in either
    language reads another situation, other choices or another unit: then the answer was to another question.
    """
    if newer.kind != asked.question.kind or _ids(newer) != _ids(asked.question):
        return None
    values = _values(asked, newer)
    if values is None or not _has_an_answer(newer, Reader(values, asked.system)):
        return None
    made = replace(asked, question=newer, values=values)
    return made if all(_read(asked, one) == _read(made, one) for one in LANGUAGES) else None


def _has_an_answer(newer: Question, reader: Reader) -> bool:
    """Whether the newer text's key is whole for these numbers; how near its slips lie decides no mark."""
    return bool(wanted(newer, reader) & finite(newer, reader) & rightly_many(newer, reader))


def _ids(question: Question) -> frozenset[str]:
    """The ids that an instance puts into an order of its own."""
    match question.task:
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return frozenset(one.id for one in options)
        case OrderTask(items=items) | MatchTask(right=items):
            return frozenset(one.id for one in items)
    return frozenset()


def _values(asked: Instance, newer: Question) -> dict[str, Any] | None:
    """Every value that the newer text needs [SI], from those that were drawn or of the site then."""
    drawn = {one.name: one.dimension for one in asked.question.numbers.drawn}
    values: dict[str, Any] = {}
    for name in newer.numbers.site:
        if name not in asked.question.numbers.site:
            return None
        values[name] = asked.values[name]
    for one in newer.numbers.drawn:
        if drawn.get(one.name) != one.dimension:
            return None
        value, grid = asked.values[one.name], one.grids[asked.system].values
        if not any(isclose(value, known, rel_tol=1e-12) for known in grid):
            return None
        values[one.name] = value
    work_out(newer.numbers, values, asked.system)
    return values


def _read(instance: Instance, language: Language) -> tuple[object, ...]:
    """What a person reads, sees on a photo and answers, without the drawing, the caution and the source."""
    shown = show(instance, language)
    return (
        plain_text(shown.ask), shown.photo, _plain(shown.parts), _plain(shown.targets), plain_text(shown.output),
        shown.unit, shown.hint,
    )  # fmt: skip


def _plain(parts: tuple[Part, ...]) -> list[tuple[str, str]]:
    return [(one.id, plain_text(one.html)) for one in parts]
