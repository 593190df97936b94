"""A bench as a page shows it: the same region for practice, exams and tasks that were given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from trainer.benches.acts import Act, Amount, Option, Pick, Unreadable, read_form
from trainer.benches.frame import Bench, Debrief, Offer, Score, Shown, done
from trainer.figures.live import Live
from trainer.quantities.dimensions import System
from trainer.quantities.units import partner, unit
from trainer.quantities.writing import write_number
from trainer.sites.survey.reader import Reader
from trainer.web import words
from trainer.web.words import gettext

_PLACES = 6
MOST_OPEN = 2  # groups of cards; more than these fold


@dataclass(frozen=True)
class AmountInput:
    """A number as it is typed; value, low, high and step in the shown unit, value written as people read it."""

    id: str
    name: str
    label: str
    unit: str
    value: str
    low: float
    high: float
    step: float
    hint: str
    cards: bool = False


@dataclass(frozen=True)
class Choice:
    """One option: whether it is picked, whether it cannot be taken now."""

    id: str
    value: str
    label: str
    more: str
    picked: bool
    barred: bool


@dataclass(frozen=True)
class PickInput:
    """A choice of one; `cards`: each option is a button that does the act."""

    id: str
    name: str
    label: str
    choices: tuple[Choice, ...]
    cards: bool
    amount: bool = False


@dataclass(frozen=True)
class OfferForm:
    """One act that can be done now, as a form."""

    kind: str
    label: str
    primary: bool
    inputs: tuple[AmountInput | PickInput, ...]
    folded: bool = False

    @property
    def by_cards(self) -> bool:
        """Whether its options are its buttons."""
        return any(one.cards for one in self.inputs)


@dataclass(frozen=True)
class PartLine:
    """One thing that was scored."""

    label: str
    got: str
    of: str
    found: str
    full: bool


@dataclass(frozen=True)
class Result:
    """What comes after the end."""

    points: int
    passed: bool
    failed: str
    parts: tuple[PartLine, ...]
    debrief: Debrief


@dataclass(frozen=True)
class Region:
    """Everything the region shows.

    key: by which the browser keeps an act that has not reached the server; number: of the next act
    closed: over, and its result is not shown
    """

    key: str
    number: int
    shown: Shown | None
    offers: tuple[OfferForm, ...]
    result: Result | None
    seconds: float
    refused: str = ""
    closed: bool = False

    @property
    def drawings(self) -> tuple[Live, ...]:
        """The drawings of now."""
        if self.result is not None:
            return self.result.debrief.drawings
        return self.shown.drawings if self.shown else ()


def region(
    bench: Bench,
    task: Any,
    acts: Sequence[Act],
    *,
    system: System,
    key: str,
    refused: str = "",
    closed: bool = False,
) -> Region:
    """The region after these acts, in the language of this request.

    closed: over, and the result is not shown: then the bench stands as it did before the last act
    """
    reader = Reader(words.language(), system)
    kept = done(bench, task, acts)
    if bench.is_over(task, kept) and not closed:
        debrief = bench.debrief(task, kept, reader)
        result = _result(bench.score(task, kept), debrief, reader)
        return Region(key, len(acts) + 1, None, (), result, _seconds(debrief.drawings))
    # What a bench shows before the end never holds what is hidden; of what it shows after it nobody has said so.
    shown = (
        replace(bench.show(task, kept[:-1], reader), said="") if closed else bench.show(task, kept, reader)
    )
    offers = () if closed else _folded([_form(one, reader) for one in shown.offers])
    return Region(key, len(acts) + 1, shown, offers, None, _seconds(shown.drawings), refused, closed)


def _folded(forms: Sequence[OfferForm]) -> tuple[OfferForm, ...]:
    """Fold the groups of cards where there are many; the first of them too, for it may be done with."""
    groups = sum(one.by_cards for one in forms)
    return tuple(replace(one, folded=one.by_cards and groups > MOST_OPEN) for one in forms)


def typed_act(bench: Bench, task: Any, form: Mapping[str, str], system: System) -> Act | Unreadable:
    """The act that a form asks for."""
    return read_form(bench.kinds(task), form, words.language(), system)


def _seconds(drawings: Sequence[Live]) -> float:
    return max((one.seconds for one in drawings), default=0.0)


def _form(offer: Offer, reader: Reader) -> OfferForm:
    inputs = tuple(
        _amount(field, offer, reader) if isinstance(field, Amount) else _pick(field, offer, reader)
        for field in offer.kind.fields
    )
    return OfferForm(offer.kind.kind, reader.said(offer.kind.label), offer.primary, inputs)


def _amount(field: Amount, offer: Offer, reader: Reader) -> AmountInput:
    shown = partner(unit(field.us), reader.system)
    value = offer.values.get(field.name)

    def in_unit(number: float) -> float:
        return round(number / shown.factor, _PLACES)

    return AmountInput(
        id=f"{offer.kind.kind}-{field.name}",
        name=field.name,
        label=reader.said(field.label),
        unit=shown.symbol(reader.language),
        value="" if value is None else write_number(in_unit(float(value)), reader.language),
        low=in_unit(field.low),
        high=in_unit(field.high),
        step=in_unit(field.step),
        hint=reader.said(field.hint) if field.hint else "",
    )


def _pick(field: Pick, offer: Offer, reader: Reader) -> PickInput:
    picked = offer.values.get(field.name)

    def choice(option: Option) -> Choice:
        return Choice(
            id=f"{offer.kind.kind}-{field.name}-{option.id}",
            value=option.id,
            label=reader.said(option.label),
            more=reader.said(option.more) if option.more else "",
            picked=option.id == picked,
            barred=option.id in offer.barred,
        )

    name = f"{offer.kind.kind}-{field.name}"
    cards = offer.kind.cards == field.name
    return PickInput(name, field.name, reader.said(field.label), tuple(map(choice, field.options)), cards)


def _result(score: Score, debrief: Debrief, reader: Reader) -> Result:
    def line(label: str, got: float, of: float, found: str) -> PartLine:
        # A point that was nearly won is never shown as won.
        full = got >= of - 1e-9
        shown = round(of, 1) if full else int(got * 10 + 1e-6) / 10
        return PartLine(
            label,
            write_number(shown, reader.language),
            write_number(round(of, 1), reader.language),
            found,
            full,
        )

    parts = tuple(
        line(reader.said(one.label), one.got, one.of, reader.said(one.found)) for one in score.parts
    )
    failed = reader.said(score.failed) if score.failed else ""
    return Result(score.points, score.passed, failed, parts, debrief)


def points_words(points: int) -> str:
    """How many points of all."""
    return gettext("%(points)s of 100 points") % {"points": points}
