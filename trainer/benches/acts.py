"""Acts: what a learner did, one after the other, as plain values that are kept and replayed; and how they are read."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from trainer.quantities.dimensions import Language, System
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import read_quantity
from trainer.quantities.units import partner, unit
from trainer.quantities.writing import write_quantity
from trainer.sites.said import Said

Value = float | str
MOST_ACTS = 400  # nobody needs more; a list that grows for ever would be a way to fill a disk
_HAIR = 1e-6


@dataclass(frozen=True)
class Act:
    """One thing that was done: its kind, and its fields as SI numbers or ids of options."""

    kind: str
    values: Mapping[str, Value]

    def number(self, name: str) -> float:
        """A number of the act [SI]."""
        value = self.values[name]
        assert isinstance(value, float)
        return value

    def pick(self, name: str) -> str:
        """The id of the option that was picked."""
        value = self.values[name]
        assert isinstance(value, str)
        return value


@dataclass(frozen=True)
class Amount:
    """A field that takes a number: from low to high, on a grid of steps from low [all SI].

    us: key of the unit that people in the US read it in; shown in its partner where the task is metric
    """

    name: str
    label: Said
    us: str
    low: float
    high: float
    step: float
    hint: Said | None = None

    def snapped(self, value: float) -> float:
        """The nearest number of the grid [SI]."""
        steps = round((value - self.low) / self.step)
        most = math.floor((self.high - self.low) / self.step + _HAIR)
        return self.low + min(max(steps, 0), most) * self.step


@dataclass(frozen=True)
class Option:
    """One choice of a pick; more: what it costs or what to mind, in a few words."""

    id: str
    label: Said
    more: Said | None = None


@dataclass(frozen=True)
class Pick:
    """A field that takes one of several options."""

    name: str
    label: Said
    options: tuple[Option, ...]


Field = Amount | Pick


@dataclass(frozen=True)
class ActKind:
    """A kind of act that a task allows: the label of its button, a verb first, and its fields.

    cards: the name of a pick whose options are each a button of their own, so that one tap does the act
    """

    kind: str
    label: Said
    fields: tuple[Field, ...] = ()
    cards: str | None = None


@dataclass(frozen=True)
class Unreadable:
    """Why a form gave no act: the field, and what is wrong with it and how to mend it."""

    field: str
    why: Said


def read_form(
    kinds: Sequence[ActKind], form: Mapping[str, str], language: Language, system: System
) -> Act | Unreadable:
    """The act of a form: `kind`, and each field as people type it. Numbers go to the nearest of their grid."""
    kind = _kind(kinds, form.get("kind", ""))
    if kind is None:
        return Unreadable("kind", Said("This cannot be done here.", "Eso no se puede hacer aquí."))
    values: dict[str, Value] = {}
    for field in kind.fields:
        typed = form.get(field.name, "").strip()
        read = _amount(field, typed, language, system) if isinstance(field, Amount) else _pick(field, typed)
        if isinstance(read, Unreadable):
            return read
        values[field.name] = read
    return Act(kind.kind, values)


def read_kept(kinds: Sequence[ActKind], document: object) -> Act | None:
    """The act of what `act_document` gave; None where it is not one that the task allows."""
    if not isinstance(document, dict) or set(document) != {"kind", "values"}:
        return None
    kind, values = _kind(kinds, document["kind"]), document["values"]
    if kind is None or not isinstance(values, dict) or set(values) != {field.name for field in kind.fields}:
        return None
    if not all(_fits(field, values[field.name]) for field in kind.fields):
        return None
    return Act(kind.kind, {name: _plain(value) for name, value in values.items()})


def act_document(act: Act) -> dict[str, Any]:
    """The act as plain values, for JSON."""
    return {"kind": act.kind, "values": dict(act.values)}


def _kind(kinds: Sequence[ActKind], name: object) -> ActKind | None:
    return next((one for one in kinds if one.kind == name), None)


def _fits(field: Field, value: object) -> bool:
    if isinstance(field, Pick):
        return any(option.id == value for option in field.options)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return False
    if not field.low - field.step < value < field.high + field.step:
        return False  # looked at first: steps to a number near the largest there is cannot be counted
    return abs(field.snapped(value) - value) <= _HAIR * field.step


def _plain(value: object) -> Value:
    return value if isinstance(value, str) else float(str(value))


def _pick(field: Pick, typed: str) -> str | Unreadable:
    if any(option.id == typed for option in field.options):
        return typed
    label = field.label
    return Unreadable(field.name, Said(f"{label.en}: choose one.", f"{label.es}: elige una opción."))


def _amount(field: Amount, typed: str, language: Language, system: System) -> float | Unreadable:
    asked = partner(unit(field.us), system)
    label = field.label
    try:
        reading = read_quantity(typed, asked, language)
    except UnreadableQuantity as error:
        en, es = error.sentence("en"), error.sentence("es")
        return Unreadable(field.name, Said(f"{label.en}: {en}", f"{label.es}: {es}"))
    if reading.dimension != asked.dimension:
        en, es = asked.dimension.words("en"), asked.dimension.words("es")
        return Unreadable(field.name, Said(f"{label.en}: type {en}.", f"{label.es}: escribe {es}."))
    if not field.low - _HAIR * field.step <= reading.value <= field.high + _HAIR * field.step:
        return Unreadable(field.name, _outside(field, system))
    return field.snapped(reading.value)


def _outside(field: Amount, system: System) -> Said:
    asked = partner(unit(field.us), system)

    def say(language: Literal["en", "es"], sentence: str) -> str:
        low, high = (write_quantity(end, asked, language) for end in (field.low, field.high))
        return sentence.format(label=field.label.in_(language), low=low, high=high)

    return Said(
        say("en", "{label}: it goes from {low} to {high}."), say("es", "{label}: va de {low} a {high}.")
    )
