"""Showing an instance: its question, its worked steps and its answer as clean HTML in one language."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from trainer.language.admission import Reader
from trainer.language.draws import Instance
from trainer.language.prose import plain_text
from trainer.language.questions import (
    ChoiceTask,
    FigureUse,
    Item,
    MatchTask,
    NumberTask,
    Option,
    OrderTask,
    Pair,
    Row,
    SeveralTask,
    SignalWord,
    TableTask,
    Words,
)
from trainer.language.sentences import say, typing_hint, unit_word
from trainer.quantities.dimensions import Language, System
from trainer.quantities.writing import write_quantity


@dataclass(frozen=True)
class Part:
    """An option, an item, a row or a state: its id in answers, its text as HTML."""

    id: str
    html: str


@dataclass(frozen=True)
class FigureRequest:
    """A figure of the catalogue with its numbers [SI]; whoever shows the page draws it."""

    name: str
    numbers: Mapping[str, float]
    caption: str = ""


@dataclass(frozen=True)
class ShownPhoto:
    """A photo of the site: the SHA-256 of its bytes, and what it shows as plain text."""

    sha256: str
    shows: str


@dataclass(frozen=True)
class ShownCaution:
    """A caution: its signal word and its text as HTML."""

    word: SignalWord
    html: str


@dataclass(frozen=True)
class Shown:
    """A question as shown; all texts are clean HTML.

    parts: what is answered, in order: options of choice and several, items of order, left side of match, rows
    targets: right side of match, the two states of a truth table
    output: the heading of a truth table's answers
    unit, hint: the asked unit as a word, and how to type an answer; empty for other kinds than number
    """

    kind: str
    ask: str
    parts: tuple[Part, ...] = ()
    targets: tuple[Part, ...] = ()
    output: str = ""
    unit: str = ""
    hint: str = ""
    figure: FigureRequest | None = None
    photo: ShownPhoto | None = None
    caution: ShownCaution | None = None
    source: str = ""


@dataclass(frozen=True)
class Teller:
    """Fills words with the numbers of one instance."""

    instance: Instance
    language: Language

    def html(self, words: Words) -> str:
        """The words as HTML."""
        return words[self.language].html(self.instance.values, self.language, self.instance.system)

    def part(self, one: Item | Option | Pair | Row) -> Part:
        """Its id and text."""
        return Part(one.id, self.html(one.text))

    def parts(self, several: tuple[Item, ...] | tuple[Option, ...]) -> tuple[Part, ...]:
        """Options or items in the order that was drawn."""
        by_id: dict[str, Item | Option] = {one.id: one for one in several}
        return tuple(self.part(by_id[one]) for one in self.instance.order)

    def quantity(self, value: float) -> str:
        """A value of the answer's dimension in the asked unit."""
        task = self.instance.question.task
        assert isinstance(task, NumberTask)
        return escape(write_quantity(value, task.units[self.instance.system], self.language))


def show(instance: Instance, language: Language) -> Shown:
    """The question as it is shown; no answer, reason or step is in it."""
    tell = Teller(instance, language)
    question = instance.question
    parts, targets, output = _answerable(tell)
    caution, photo = question.caution, question.photo
    unit = question.task.units[instance.system] if isinstance(question.task, NumberTask) else None
    return Shown(
        kind=question.kind,
        ask=tell.html(question.ask),
        parts=parts,
        targets=targets,
        output=output,
        unit=unit_word(unit, language) if unit and unit.symbol(language) else "",
        hint=typing_hint(unit, language) if unit else "",
        figure=figure_request(question.figure, instance.values, language, instance.system),
        photo=ShownPhoto(photo.sha256, plain_text(tell.html(photo.shows))) if photo else None,
        caution=ShownCaution(caution.word, tell.html(caution.text)) if caution else None,
        source=tell.html(question.source) if question.source else "",
    )


def _answerable(tell: Teller) -> tuple[tuple[Part, ...], tuple[Part, ...], str]:
    match tell.instance.question.task:
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return tell.parts(options), (), ""
        case OrderTask(items=items):
            return tell.parts(items), (), ""
        case MatchTask(left=left, right=right):
            return tuple(map(tell.part, left)), tell.parts(right), ""
        case TableTask(states=states, output=output, rows=rows):
            return tuple(map(tell.part, rows)), tuple(map(tell.part, states)), tell.html(output)
    return (), (), ""


def figure_request(
    use: FigureUse | None, values: Mapping[str, float], language: Language, system: System
) -> FigureRequest | None:
    """The figure's name with its inputs worked out [SI]."""
    if use is None:
        return None
    numbers = {name: expression.number(values) for name, expression in use.inputs.items()}
    caption = use.caption[language].html(values, language, system) if use.caption else ""
    return FigureRequest(use.name, numbers, caption)


Answer = str | list[str] | dict[str, str]


def right_answer(instance: Instance, language: Language = "en") -> Answer:
    """A right answer in the form that `grade` takes; a number as it is written in the asked unit."""
    task = instance.question.task
    reader = Reader(instance.values, instance.system)
    match task:
        case NumberTask(value=value, units=units):
            return write_quantity(reader.number(value), units[instance.system], language)
        case ChoiceTask(options=options):
            return next(option.id for option in options if holds(option, reader))
        case SeveralTask(options=options):
            return sorted(option.id for option in options if holds(option, reader))
        case OrderTask():
            return _solved(task)
        case MatchTask(left=left):
            return {pair.id: pair.goes for pair in left}
        case TableTask(rows=rows):
            return {row.id: state_of(row, task, reader) for row in rows}


def holds(option: Option, reader: Reader) -> bool:
    """Whether an option is right for these numbers."""
    return option.right if isinstance(option.right, bool) else bool(reader.truth(option.right))


def state_of(row: Row, task: TableTask, reader: Reader) -> str:
    """The right state of a row."""
    if isinstance(row.state, str):
        return row.state
    return task.states[0 if reader.truth(row.state) else 1].id


def _solved(task: OrderTask) -> list[str]:
    """The right order that keeps nearest to the order of the file."""
    waiting, order = [item.id for item in task.items], list[str]()
    while waiting:
        held = {pair.then for pair in task.before if pair.first in waiting}
        free = next(one for one in waiting if one not in held)
        waiting.remove(free)
        order.append(free)
    return order


def worked(instance: Instance, language: Language) -> list[str]:
    """The steps of the solution as HTML; the last one states the answer."""
    tell = Teller(instance, language)
    steps = [tell.html(step) for step in instance.question.steps]
    if not steps:
        steps = _reasons(tell)
    return [*steps, f"<p>{say('answer', language, answer=answer_html(instance, language))}</p>"]


def _reasons(tell: Teller) -> list[str]:
    """Where a question has no steps: why what is right is right."""
    reader = Reader(tell.instance.values, tell.instance.system)
    match tell.instance.question.task:
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return [tell.html(option.because) for option in options if holds(option, reader)]
        case OrderTask(before=before):
            return [tell.html(pair.because) for pair in before]
        case MatchTask(left=left):
            return [tell.html(pair.because) for pair in left]
        case TableTask(rows=rows):
            return [tell.html(row.because) for row in rows]
    return []


def answer_html(instance: Instance, language: Language) -> str:
    """A right answer in words."""
    tell = Teller(instance, language)
    task = instance.question.task
    reader = Reader(instance.values, instance.system)
    match task:
        case NumberTask(value=value):
            return tell.quantity(reader.number(value))
        case ChoiceTask(options=options) | SeveralTask(options=options):
            return "; ".join(tell.html(option.text) for option in options if holds(option, reader))
        case OrderTask(items=items):
            texts = {item.id: tell.html(item.text) for item in items}
            return " → ".join(texts[one] for one in _solved(task))
        case MatchTask(left=left, right=right):
            texts = {item.id: tell.html(item.text) for item in right}
            return "; ".join(f"{tell.html(pair.text)} → {texts[pair.goes]}" for pair in left)
        case TableTask(rows=rows, states=states):
            texts = {state.id: tell.html(state.text) for state in states}
            return "; ".join(f"{tell.html(row.text)} → {texts[state_of(row, task, reader)]}" for row in rows)
