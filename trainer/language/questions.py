"""What a question is: its numbers, its words, and one task of six kinds. All frozen; nothing here reads or draws."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from trainer.documents import Place
from trainer.language.expressions import Expression
from trainer.language.names import Units
from trainer.language.prose import Insert, Prose
from trainer.language.worked_numbers import Numbers
from trainer.quantities.dimensions import Language

Words = Mapping[Language, Prose]


@dataclass(frozen=True)
class Slip:
    """A known wrong method: what it gives, and why it is wrong.

    bare: the number is what the person types, in the asked unit, rather than a quantity.
    """

    id: str
    value: Expression
    bare: bool
    because: Words


@dataclass(frozen=True)
class Within:
    """How far an answer may lie from the right one: an amount [SI] or a share of the right answer."""

    amount: float = 0.0
    share: float = 0.0


@dataclass(frozen=True)
class NumberTask:
    """Find a number."""

    value: Expression
    units: Units
    within: Within
    slips: tuple[Slip, ...] = ()
    spread: float = 10.0


@dataclass(frozen=True)
class Option:
    """One thing to choose; `right` is known, or worked out from the numbers."""

    id: str
    right: bool | Expression
    text: Words
    because: Words


@dataclass(frozen=True)
class ChoiceTask:
    """Choose the one right option."""

    options: tuple[Option, ...]


@dataclass(frozen=True)
class SeveralTask:
    """Choose every right option."""

    options: tuple[Option, ...]


@dataclass(frozen=True)
class Item:
    """Something with a text, to be ordered or matched to."""

    id: str
    text: Words


@dataclass(frozen=True)
class Before:
    """One item must stand before another."""

    first: str
    then: str
    because: Words


@dataclass(frozen=True)
class OrderTask:
    """Put the items in an order that respects every pair."""

    items: tuple[Item, ...]
    before: tuple[Before, ...]


@dataclass(frozen=True)
class Pair:
    """Something on the left and the one thing on the right that it goes to."""

    id: str
    text: Words
    goes: str
    because: Words


@dataclass(frozen=True)
class MatchTask:
    """Match each on the left to one on the right."""

    left: tuple[Pair, ...]
    right: tuple[Item, ...]


@dataclass(frozen=True)
class Row:
    """One row of a truth table; `state` is a state's id, or true for the first of the two states."""

    id: str
    text: Words
    state: str | Expression
    because: Words


@dataclass(frozen=True)
class TableTask:
    """Say the output's state for each row."""

    states: tuple[Item, Item]
    output: Words
    rows: tuple[Row, ...]


Task = NumberTask | ChoiceTask | SeveralTask | OrderTask | MatchTask | TableTask

KINDS: Mapping[type[Task], str] = MappingProxyType(
    {
        NumberTask: "number",
        ChoiceTask: "choice",
        SeveralTask: "several",
        OrderTask: "order",
        MatchTask: "match",
        TableTask: "truth_table",
    }
)


@dataclass(frozen=True)
class FigureUse:
    """A figure of the catalogue and the expression for each of its inputs."""

    name: str
    inputs: Mapping[str, Expression]
    caption: Words | None = None


@dataclass(frozen=True)
class PhotoUse:
    """A photo of the site by the SHA-256 of its bytes, in hex, with what it shows in words.

    place: where the file names it
    """

    sha256: str
    shows: Words
    place: Place


SignalWord = Literal["danger", "warning", "caution", "notice"]
SIGNAL_WORDS: tuple[SignalWord, ...] = ("danger", "warning", "caution", "notice")


@dataclass(frozen=True)
class Caution:
    """A caution with its signal word (ANSI Z535)."""

    word: SignalWord
    text: Words


@dataclass(frozen=True)
class Question:
    """One question as it stands in its file; with drawn numbers it is a family, without them a fixed question.

    fingerprint: SHA-256 of the file's canonical text, in hex
    given, numerals: the numbers that a learner reads in the question, worked out and written as digits
    """

    id: str
    version: int
    skill: str
    level: int
    file: str
    fingerprint: str
    ask: Words
    task: Task
    numbers: Numbers = field(default_factory=Numbers)
    require: tuple[Expression, ...] = ()
    steps: tuple[Words, ...] = ()
    figure: FigureUse | None = None
    photo: PhotoUse | None = None
    caution: Caution | None = None
    source: Words | None = None
    given: tuple[Insert, ...] = ()
    numerals: tuple[float, ...] = ()

    @property
    def kind(self) -> str:
        """number, choice, several, order, match or truth_table."""
        return KINDS[type(self.task)]

    @property
    def is_family(self) -> bool:
        """Whether numbers are drawn."""
        return bool(self.numbers.drawn)

    @property
    def topic(self) -> str:
        """The topic that the skill belongs to."""
        return self.skill.partition(".")[0]


def words_of(question: Question) -> Iterator[Words]:
    """Every text of a question."""
    yield question.ask
    yield from question.steps
    yield from (one.text for one in (question.caution,) if one is not None)
    yield from (one for one in (question.source,) if one is not None)
    if question.figure is not None and question.figure.caption is not None:
        yield question.figure.caption
    if question.photo is not None:
        yield question.photo.shows
    yield from _task_words(question.task)


def _task_words(task: Task) -> Iterator[Words]:
    match task:
        case NumberTask(slips=slips):
            yield from (slip.because for slip in slips)
        case ChoiceTask(options=options) | SeveralTask(options=options):
            yield from (words for option in options for words in (option.text, option.because))
        case OrderTask(items=items, before=before):
            yield from (item.text for item in items)
            yield from (pair.because for pair in before)
        case MatchTask(left=left, right=right):
            yield from (words for pair in left for words in (pair.text, pair.because))
            yield from (item.text for item in right)
        case TableTask(states=states, output=output, rows=rows):
            yield from (output, *(state.text for state in states))
            yield from (words for row in rows for words in (row.text, row.because))
