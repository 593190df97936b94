"""Reading quantities as people write them, in both languages, and strictly as files write them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from trainer.quantities import refusals
from trainer.quantities.compound import compound_unit
from trainer.quantities.dimensions import Dimension, Language
from trainer.quantities.faults import Said
from trainer.quantities.numerals import NUMBER, tidy, value_of
from trainer.quantities.refusals import LONGEST_TEXT
from trainer.quantities.spellings import find_unit
from trainer.quantities.units import Unit, to_si, unit

LARGEST = 1e18


@dataclass(frozen=True)
class Reading:
    """A quantity as typed: SI value, unit (None: a bare number, taken in the asked unit), dimension, text."""

    value: float
    unit: Unit | None
    dimension: Dimension
    text: str
    asked: Unit


@dataclass(frozen=True)
class _Pair:
    """Two units written one after the other, 16 ft 4 in: how many of the second make one of the first."""

    first: str
    second: str
    each: int
    rule: Said
    may_omit: bool  # 16' 4 is read; 4 m 5 is not, because it may be 4.5 m


_PAIRS = {
    "ft": _Pair("ft", "in", 12, Said("There are 12 inches in a foot;", "Un pie tiene 12 pulgadas;"), True),
    "m": _Pair(
        "m",
        "cm",
        100,
        Said("There are 100 centimeters in a meter;", "Un metro tiene 100 centímetros;"),
        False,
    ),
    "min": _Pair(
        "min", "s", 60, Said("There are 60 seconds in a minute;", "Un minuto tiene 60 segundos;"), True
    ),
    "h": _Pair("h", "min", 60, Said("There are 60 minutes in an hour;", "Una hora tiene 60 minutos;"), True),
}

# Between the two parts: 16 ft and 4 in, 16'-4", 12 pies con 3 pulgadas.
_JOIN = re.compile(r"(?P<first>[^0-9.,]+?)\s*(?:,|-|\band\b|\by\b|\bcon\b|&)?\s*(?=[0-9]|[.,][0-9])")
# What a tape says: 11 ft 10 1/2 in, 11'-10 1/2", 16 ft 4 in, 10 1/2 in, 3/8 in.
_TAPE = re.compile(
    r"[+-]?(?:[0-9]+ ?(?P<above>[^0-9 .,/+-]+)(?: ?- ?| )?)?"
    r"(?:[0-9]+[ -]+[0-9]+/[0-9]+|(?P<plain>[0-9]+(?:\.[0-9]+)?)|[0-9]+/[0-9]+) ?(?P<below>[^0-9 .,/+-]+)"
)
_FILE_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")


def parse_quantity(text: str) -> tuple[float, Unit]:
    """SI value and unit of a quantity in a file: `10 in`, `2 %`, `12 pulses/ft`, `3`, `24V`, `2 ohm/mile`.

    A point is the decimal mark and nothing groups digits. Raises UnreadableQuantity.
    """
    plain = unit("1")
    if len(text) > LONGEST_TEXT:
        raise refusals.too_long(plain, "en")
    number = _FILE_NUMBER.match(text.strip())
    if number is None:
        raise refusals.no_file_number(text)
    rest = tidy(text.strip()[number.end() :])
    found = (_named(rest) or compound_unit(rest)) if rest else plain
    if found is None:
        raise refusals.unknown_unit(number[0], rest, plain, "en")
    value = to_si(float(number[0]), found)
    if not math.isfinite(value):
        raise refusals.too_large(plain, "en")
    return value, found


def parse_measured(text: str) -> tuple[float, Unit]:
    """As `parse_quantity`, and also what a tape says in feet and inches: `11 ft 10 1/2 in`, `11' 4"`, `3/8 in`.

    For the site sheet, whose numbers people copy from a tape. Raises UnreadableQuantity.
    """
    if len(text) <= LONGEST_TEXT and _is_tape(tidy(text)):
        reading = read_quantity(text, unit("in"), "en")
        return reading.value, reading.unit or reading.asked
    return parse_quantity(text)


def _is_tape(line: str) -> bool:
    """Whether a line is feet and inches, or inches with a fraction."""
    found = _TAPE.fullmatch(line)
    if found is None or (below := find_unit(found["below"])) is None or below.key != "in":
        return False
    if found["above"] is None:
        return found["plain"] is None
    above = find_unit(found["above"])
    return above is not None and above.key == "ft"


def read_quantity(text: str, asked: Unit, language: Language) -> Reading:
    """What a person typed, where `asked` is the unit the question asks for.

    Any unit is read, of the asked dimension or another; a bare number is taken in the asked unit. A single comma
    or point that cannot group digits is a decimal mark in either language.
    Raises UnreadableQuantity, whose sentence exists in both languages; nothing else, whatever the text.
    """
    value, one = _value_and_unit(_line(text, asked, language), asked, language)
    if not abs(value) <= LARGEST:
        raise refusals.too_large(asked, language)
    return Reading(value, one, (one or asked).dimension, text, asked)


def _value_and_unit(line: str, asked: Unit, language: Language) -> tuple[float, Unit | None]:
    sign, line = _sign(line)
    if line.startswith("$"):
        line = f"{line[1:].strip()} $"
    number = NUMBER.match(line)
    if number is None:
        raise refusals.no_number(line, asked, language)
    amount = _amount(number, language)
    rest = line[number.end() :].strip()
    if not rest:
        return sign * to_si(amount, asked), None
    one = _named(rest)
    if one is not None:
        return sign * to_si(amount, one), one
    value, one = _read_pair((number[0], amount), rest, asked, language)
    return sign * value, one


def _read_pair(first: tuple[str, float], rest: str, asked: Unit, language: Language) -> tuple[float, Unit]:
    """16 ft 4 in: the second number and its unit, after a first number with its unit."""
    join = _JOIN.match(rest)
    second = NUMBER.match(rest, join.end()) if join else None
    above = _named(join["first"]) if join else None
    pair = _PAIRS.get(above.key) if above else None
    if second is None or above is None or pair is None:
        raise _no_pair(first[0], rest, asked, language)
    tail = rest[second.end() :].strip()
    below = _named(tail) if tail else (unit(pair.second) if pair.may_omit else None)
    if below is None or below.key != pair.second:
        raise refusals.unknown_unit(first[0], rest, asked, language)
    amount = _amount(second, language)
    typed, units = (first[0], second[0]), (above, below)
    if first[1] % 1:
        raise refusals.first_not_whole(refusals.pair_said(typed, units), above, below, language)
    if amount >= pair.each:
        raise refusals.second_too_many(refusals.pair_said(typed, units), typed, units, pair.rule, language)
    if pair.first == "ft":
        return to_si(first[1] * 12 + amount, below), unit("ft in")
    return to_si(first[1] * pair.each + amount, below), above


def _no_pair(first: str, rest: str, asked: Unit, language: Language) -> Exception:
    """Why what follows the first number is no unit: another number, or a word nobody knows."""
    number = NUMBER.match(rest.lstrip("- "))
    if number is not None and (rest[0].isdigit() or rest[0] == "-"):
        return refusals.two_numbers(first, number[0], language)
    return refusals.unknown_unit(first, rest, asked, language)


def _named(written: str) -> Unit | None:
    """The unit of what stands after a number, without a full stop or comma at its end."""
    return find_unit(written) or find_unit(written.strip(" .,;"))


def _amount(number: re.Match[str], language: Language) -> float:
    value = value_of(number, language)
    if value is None or not math.isfinite(value):
        raise refusals.not_a_number(number[0], language)
    return value


def _line(text: str, asked: Unit, language: Language) -> str:
    if len(text) > LONGEST_TEXT:
        raise refusals.too_long(asked, language)
    line = tidy(text)
    if not line:
        raise refusals.no_answer(asked, language)
    return line


def _sign(line: str) -> tuple[int, str]:
    if line[0] in "+-":
        return (-1 if line[0] == "-" else 1), line[1:].strip()
    return 1, line
