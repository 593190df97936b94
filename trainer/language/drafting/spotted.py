"""The numbers in a text as people write it, and what each could become: a drawn number, or one of the site sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trainer.quantities.dimensions import PLAIN, Language
from trainer.quantities.faults import UnreadableQuantity
from trainer.quantities.reading import read_quantity
from trainer.quantities.spellings import find_unit
from trainer.quantities.units import Unit, unit
from trainer.sites.values import VALUES

MOST_WORDS = 3  # of a unit: `feet per minute`
CLOSE = 0.005  # a number within this share of a site value is taken for it
SHARE = 0.25  # a drawn number is first offered from a quarter below to a quarter above
STEPS = 20  # in about so many steps

_NUMBER = re.compile(r"(?<![\w.,])(?:\d[\d,]*(?:\.\d+)?|\.\d+)(?:\s+\d+/\d+|/\d+)?")
_INSERT = re.compile(r"\{\{.*?\}\}", re.DOTALL)
_WORD = re.compile(r"\s*(?:[A-Za-zÀ-ÿµΩ%°'\"/·-]+)")
_TAPE_REST = re.compile(r"\s*-?\s*\d+(?:\s+\d+/\d+|/\d+)?\s*(?:in\b\.?|inches\b|inch\b|\")")


@dataclass(frozen=True)
class Spotted:
    """A number in a text.

    start, end: where it stands in the text, unit included; value in SI
    matches: names of site values that are this number here; others: names that measure the same thing
    """

    start: int
    end: int
    written: str
    value: float
    unit: Unit
    matches: tuple[str, ...]
    others: tuple[str, ...]


@dataclass(frozen=True)
class Range:
    """From where to where a number is drawn and by what step, each as written in a file: `10 in`, `140`.

    shown: the unit in which it is shown, where it is not the one that it is written in
    """

    first: str
    last: str
    step: str
    shown: str = ""


def spotted(text: str, site_values: Mapping[str, float], language: Language = "en") -> tuple[Spotted, ...]:
    """Every number of a text that stands in no insert, in order.

    site_values: from `site_values(sheet)` [SI]
    """
    found: list[Spotted] = []
    end = 0
    for start, stop in _numbers(text):
        if start < end:  # the inches of a number in feet and inches
            continue
        one = _read(text, start, stop, language)
        if one is not None:
            end, value, measure = one
            found.append(
                Spotted(
                    start, end, text[start:end], value, measure, *_of_the_site(value, measure, site_values)
                )
            )
    return tuple(found)


def _numbers(text: str) -> Iterator[tuple[int, int]]:
    inside = [match.span() for match in _INSERT.finditer(text)]
    for match in _NUMBER.finditer(text):
        if not any(start <= match.start() < end for start, end in inside):
            yield match.span()


def _read(text: str, start: int, stop: int, language: Language) -> tuple[int, float, Unit] | None:
    """The longest piece from `start` that reads as a number with a unit, else the bare number."""
    for end in _ends(text, stop):
        piece = text[start:end]
        try:
            reading = read_quantity(piece, unit("1"), language)
        except UnreadableQuantity:
            continue
        if reading.unit is not None or end == stop:
            return end, reading.value, reading.unit or unit("1")
    return None


def _ends(text: str, stop: int) -> list[int]:
    """Where the number could end: after so many words that may be its unit, longest first."""
    ends, at = [stop], stop
    for _ in range(MOST_WORDS):
        word = _WORD.match(text, at)
        if word is None:
            break
        at = word.end()
        ends.append(at)
        rest = _TAPE_REST.match(text, at)
        if rest is not None:
            ends.append(rest.end())
    return [end for end in reversed(ends) if end == stop or _is_unit(text[stop:end])]


def _is_unit(words: str) -> bool:
    """Whether words end in what may be a unit; the inches after feet are left to the reader of quantities."""
    return find_unit(words.strip()) is not None or bool(re.search(r"\d", words))


def _of_the_site(
    value: float, measure: Unit, site_values: Mapping[str, float]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    same = [
        name for name, row in VALUES.items() if name in site_values and _measure_the_same(row.unit, measure)
    ]
    matches = tuple(name for name in same if math.isclose(site_values[name], value, rel_tol=CLOSE))
    return matches, tuple(name for name in same if name not in matches)


def _measure_the_same(one: Unit, other: Unit) -> bool:
    """Whether two units measure the same thing; counts and shares are the same only in the same unit."""
    return one.dimension == other.dimension and (one.dimension != PLAIN or one.key == other.key)


def range_around(one: Spotted) -> Range:
    """A first offer for a drawn number: a quarter to either side, in about twenty even steps of a round size."""
    tape = one.unit.key == "ft in"  # feet and inches are drawn in inches
    measure = unit("in") if tape else one.unit
    number = float(f"{one.value / measure.factor:.10g}")
    step = _round_step(abs(number) * 2 * SHARE / STEPS, whole=number == round(number))
    first = max(round(number * (1 - SHARE) / step), 1 if number > 0 else -(10**9)) * step
    last = max(round(number * (1 + SHARE) / step) * step, first + step)
    lines = [_written(value, measure) for value in (first, last, step)]
    return Range(lines[0], lines[1], lines[2], "ft in" if tape else "")


def _round_step(size: float, *, whole: bool) -> float:
    """The nearest of 1, 2 and 5 times a power of ten; at least 1 where the number was written whole."""
    if not size > 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(size))
    step = min((1, 2, 5, 10), key=lambda times: abs(times * power - size)) * power
    return max(step, 1.0) if whole else step


def _written(number: float, measure: Unit) -> str:
    written = f"{number:.10g}"
    return written if measure.key == "1" else f"{written} {measure.key}"


def usual_name(one: Spotted, text: str, taken: frozenset[str]) -> str:
    """A name for a number that becomes drawn: its unit's word, or the word after it; `taken` are in use already."""
    after = re.match(r"\s*([A-Za-z]{3,})", text[one.end :])
    word = "length" if one.unit.key == "ft in" else one.unit.en.many
    if one.unit.key == "1":
        word = after[1] if after else "number"
    stem = re.sub(r"[^a-z0-9]+", "_", word.lower()).strip("_")[:30] or "number"
    stem = stem if stem[0].isalpha() else f"n_{stem}"
    return next(name for name in (stem, *(f"{stem}_{n}" for n in range(2, 100))) if name not in taken)
