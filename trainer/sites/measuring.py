"""Judging a measurement: what was read, whether it can stand in the sheet, whether it is worth a second look."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from math import isfinite, pi
from typing import Literal

from trainer.quantities import (
    Language,
    Reading,
    System,
    UnreadableQuantity,
    parse_measured,
    partner,
    read_quantity,
    said_back,
    write_quantity,
)
from trainer.quantities import dimensions as d
from trainer.quantities.units import Unit, unit
from trainer.sites.entries import file_quantity
from trainer.sites.plausible import (
    how_far,
    implausible,
    in_range,
    looks_like,
    same_number,
    wrong_dimension,
)
from trainer.sites.values import SiteValue
from trainer.sites.walk import NONE, PARTS, THERE

State = Literal["measured", "kept", "skipped"]
_TURN = 2 * pi
_TURNED = pi / 9  # a compass in a phone errs by less than 20 degrees


@dataclass(frozen=True)
class Taken:
    """What somebody gave for one field: `written` as the sheet has it; `sure` when they measured twice."""

    state: State
    written: str = ""
    sure: bool = False


@dataclass(frozen=True)
class Measured:
    """One field of an open walk: what was given, by whom and when; `revision` counts its changes from 1."""

    field: str
    state: State
    written: str
    sure: bool
    revision: int
    by: str
    at: datetime


@dataclass(frozen=True)
class Judged:
    """A text that was typed for a number.

    written: as the sheet will have it; empty when it cannot stand there
    wrong: why it cannot, and the mend, as sentences; empty when it can
    """

    written: str
    wrong: tuple[str, ...] = ()


def counts(one: Measured) -> bool:
    """Whether this field goes into the new sheet."""
    return one.state != "skipped"


def to_write(walk: Mapping[str, Measured]) -> dict[str, str]:
    """What an open walk puts into the sheet, by field: neither what was skipped, nor parts of what is not there."""
    given = {field: one.written for field, one in walk.items() if counts(one)}
    gone = tuple(
        f"{field}." for field, said in given.items() if said == NONE and field.rpartition(".")[2] in PARTS
    )
    return {
        field: said
        for field, said in given.items()
        if said != THERE and not (gone and field.startswith(gone))
    }


def judge(typed: str, expected: SiteValue, language: Language, system: System) -> Judged:
    """Read a number as people write it; a bare one is in the unit that `asked_unit` gives."""
    try:
        reading = read_quantity(typed, asked_unit(expected, system), language)
    except UnreadableQuantity as error:
        return Judged("", (error.sentence(language),))
    one = reading.unit or reading.asked
    said = _say(language, f"I read {said_back(reading, language)}.", f"Leí {said_back(reading, language)}.")
    if one.dimension != expected.dimension:
        return Judged("", (said, wrong_dimension(one, expected, language)))
    if not isfinite(reading.value) or not in_range(reading.value, expected):
        mend = _mend(reading.value / one.factor, one, expected, language, system)
        return Judged("", (said, implausible(expected, language, system), mend))
    return Judged(sheet_text(reading))


def _mend(amount: float, one: Unit, expected: SiteValue, language: Language, system: System) -> str:
    wanted = asked_unit(expected, system)
    other = same_number(amount, one, expected) or (wanted if _fits(amount, one, wanted, expected) else None)
    if other is None:
        return _say(language, "Measure it again, or check its unit.", "Mídelo otra vez o revisa la unidad.")
    said = write_quantity(amount * other.factor, other, language)
    return _say(language, f"Did you mean {said}?", f"¿Quisiste decir {said}?")


def _fits(amount: float, one: Unit, other: Unit, expected: SiteValue) -> bool:
    return other != one and in_range(amount * other.factor, expected)


def second_look(
    written: str, expected: SiteValue, in_force: float | None, language: Language
) -> tuple[str, ...]:
    """Why a number that can stand is worth measuring twice; nothing when it is near the value in force [SI]."""
    value, one = parse_measured(written)
    if in_force is None or not _strays(value, expected, in_force):
        return ()
    likely = looks_like(value / one.factor, one, expected, in_force)
    reasons = [_how_far_words(value, expected, in_force, language)]
    if likely is not None:
        said = write_quantity(value / one.factor * likely.factor, likely, language)
        reasons.append(
            _say(
                language,
                f"{said} would be close to it: check the unit.",
                f"{said} quedaría cerca: revisa la unidad.",
            )
        )
    return tuple(reasons)


def _strays(value: float, expected: SiteValue, in_force: float) -> bool:
    if _is_bearing(expected):
        turned = abs(value - in_force) % _TURN
        return min(turned, _TURN - turned) > _TURNED
    return (value < 0) != (in_force < 0) or how_far(value, in_force) is not None


def _how_far_words(value: float, expected: SiteValue, in_force: float, language: Language) -> str:
    if _is_bearing(expected):
        return _say(
            language,
            "This faces another way than the value in force: measure twice.",
            "Esto mira hacia otro lado que el valor vigente: mide dos veces.",
        )
    times = how_far(value, in_force)
    if times is None:
        return _say(
            language,
            "Its sign is not that of the value in force: check it.",
            "Su signo no es el del valor vigente: revísalo.",
        )
    said = write_quantity(float(f"{times:.2g}"), unit("1"), language)
    return _say(
        language,
        f"This is {said} times the value in force: measure twice.",
        f"Esto es {said} veces el valor vigente: mide dos veces.",
    )


def _is_bearing(expected: SiteValue) -> bool:
    return (
        expected.dimension == d.ANGLE and expected.high - expected.low >= _TURN * 0.99 and expected.low >= 0
    )


def asked_unit(expected: SiteValue, system: System) -> Unit:
    """The unit in which a bare number is taken: the usual one of the reader's system."""
    return partner(expected.unit, system)


def sheet_text(reading: Reading) -> str:
    """A reading as the sheet has it: as it was typed where a sheet reads that as the same, else the same number."""
    typed = " ".join(reading.text.split())
    if _reads_as(typed, reading):
        return typed
    one = reading.unit or reading.asked
    one = unit("in") if one.key in {"ft in", "ft in 1/16"} else one
    forms = (file_quantity(reading.value / one.factor, one, figures) for figures in (6, 9, 12, 15, 17))
    return next(
        (text for text in forms if _reads_as(text, reading)),
        file_quantity(reading.value / one.factor, one, 17),
    )


def _reads_as(text: str, reading: Reading) -> bool:
    try:
        value, one = parse_measured(text)
    except UnreadableQuantity:
        return False
    return value == reading.value and one.dimension == reading.dimension


def said_written(written: str, expected: SiteValue, language: Language, system: System) -> str:
    """A value as the sheet has it, in the reader's language, and in their unit where it is another."""
    value, one = parse_measured(written)
    return said_back(Reading(value, one, one.dimension, written, asked_unit(expected, system)), language)


def typed_again(written: str, language: Language) -> str:
    """A value of the sheet as the reader would type it, for the field of a form."""
    if language == "en":
        return written
    value, one = parse_measured(written)
    return said_back(Reading(value, one, one.dimension, written, one), language).replace("\u00a0", " ")


def _say(language: Language, english: str, spanish: str) -> str:
    return spanish if language == "es" else english
