"""The functions and unit words that an expression may name, each with the dimensions it takes and gives."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from trainer.language import arithmetic
from trainer.language.arithmetic import Arithmetic, one_by_one
from trainer.quantities.dimensions import ANGLE, PLAIN, Dimension
from trainer.quantities.published import PUBLISHED, Published, Result
from trainer.quantities.units import unit


class Special(Enum):
    """What an expression can be beside a quantity."""

    TRUTH = "true or false"
    ZERO = "zero"  # the number 0 fits every dimension


Kind = Dimension | Special


class Misfit(ValueError):  # noqa: N818 - named as all our errors are
    """Arguments that do not fit: which one (from 0), what is wrong, how to mend it."""

    def __init__(self, argument: int, wrong: str, mend: str) -> None:
        super().__init__(f"{wrong} {mend}")
        self.argument, self.wrong, self.mend = argument, wrong, mend


@dataclass(frozen=True)
class Function:
    """A function of the question language."""

    name: str
    parameters: tuple[str, ...]
    least: int
    most: int
    kind: Callable[[Sequence[Kind]], Kind]
    arithmetic: Arithmetic


def say(kind: Kind) -> str:
    """The kind in words: `a length`, `true or false`."""
    return kind.value if isinstance(kind, Special) else kind.words("en")


def fits(kind: Kind, dimension: Dimension) -> bool:
    """Whether a part of this kind can stand where the dimension is asked."""
    return kind is Special.ZERO or kind == dimension


def common(kinds: Sequence[Kind]) -> Kind:
    """The one dimension that all have; Misfit names the first that differs."""
    known: Kind = Special.ZERO
    for at, kind in enumerate(kinds):
        if kind is Special.TRUTH:
            raise Misfit(at, "This is true or false; a number is needed.", "Compare outside, not inside.")
        if known is Special.ZERO:
            known = kind
        elif kind not in (known, Special.ZERO):
            wrong = f"This is {say(kind)}; it does not go with {say(known)}."
            raise Misfit(
                at, wrong, "Bring both to one dimension first, or divide by a unit: `length / inch`."
            )
    return known


def _same(kinds: Sequence[Kind]) -> Kind:
    return common(kinds)


def _plain(kinds: Sequence[Kind]) -> Kind:
    return _given(kinds, PLAIN, "Divide by a unit first: `length / inch`.", PLAIN)


def _of_angle(kinds: Sequence[Kind]) -> Kind:
    return _given(kinds, ANGLE, "Use an angle: `30 * degree`, or `radians(number)`.", PLAIN)


def _to_angle(kinds: Sequence[Kind]) -> Kind:
    return _given(kinds, PLAIN, "Use a share, such as one length over another.", ANGLE)


def _given(kinds: Sequence[Kind], asked: Dimension, mend: str, result: Dimension) -> Kind:
    for at, kind in enumerate(kinds):
        if not fits(kind, asked):
            raise Misfit(at, f"This is {say(kind)}; {say(asked)} is needed.", mend)
    return result


def _root(kinds: Sequence[Kind]) -> Kind:
    return power_of(kinds[0], 0.5)


def power_of(kind: Kind, exponent: float) -> Kind:
    """The dimension of a power."""
    if kind is Special.TRUTH:
        raise Misfit(0, "This is true or false; a number is needed.", "Compare outside, not inside.")
    if isinstance(kind, Special) or kind == PLAIN:
        return PLAIN
    return kind ** Fraction(exponent).limit_denominator(8)


def _built_in(
    name: str, parameters: str, kind: Callable[[Sequence[Kind]], Kind], form: Arithmetic, most: int = 0
) -> Function:
    names = tuple(parameters.split())
    return Function(name, names, len(names), most or len(names), kind, form)


MOST_COMPARED = 12

BUILT_IN = (
    _built_in("abs", "number", _same, arithmetic.ABS),
    _built_in("min", "a b", _same, arithmetic.LEAST, MOST_COMPARED),
    _built_in("max", "a b", _same, arithmetic.MOST, MOST_COMPARED),
    _built_in("round", "number", _plain, arithmetic.ROUND, 2),
    _built_in("floor", "number", _plain, arithmetic.FLOOR),
    _built_in("ceil", "number", _plain, arithmetic.CEIL),
    _built_in("sqrt", "number", _root, arithmetic.SQRT),
    _built_in("exp", "number", _plain, arithmetic.EXP),
    _built_in("log", "number", _plain, arithmetic.LOG),
    _built_in("sin", "angle", _of_angle, arithmetic.SIN),
    _built_in("cos", "angle", _of_angle, arithmetic.COS),
    _built_in("tan", "angle", _of_angle, arithmetic.TAN),
    _built_in("asin", "share", _to_angle, arithmetic.ASIN),
    _built_in("acos", "share", _to_angle, arithmetic.ACOS),
    _built_in("atan", "share", _to_angle, arithmetic.ATAN),
    _built_in("hypot", "a b", _same, arithmetic.HYPOT),
    _built_in("radians", "number", _to_angle, arithmetic.RADIANS),
)

UNIT_KEYS = {
    "inch": "in",
    "foot": "ft",
    "metre": "m",
    "centimetre": "cm",
    "millimetre": "mm",
    "second": "s",
    "minute": "min",
    "hour": "h",
    "millisecond": "ms",
    "degree": "deg",
    "volt": "V",
    "ampere": "A",
    "milliampere": "mA",
    "ohm": "ohm",
    "hertz": "Hz",
    "litre": "L",
    "gallon": "gal",
}

UNIT_WORDS: Mapping[str, tuple[float, Dimension]] = MappingProxyType(
    {word: (unit(key).factor, unit(key).dimension) for word, key in UNIT_KEYS.items()}
)


def _published() -> Iterator[Function]:
    """Every published function of numbers alone, by result; the plain name gives the first result."""
    for entry in PUBLISHED.values():
        for at, result in enumerate(entry.results if entry.scalar else ()):
            names = [f"{entry.name}_{result.name}", *([entry.name] if at == 0 else [])]
            yield from (_from_table(name, entry, result) for name in names)


def _from_table(name: str, entry: Published, result: Result) -> Function:
    parameters = tuple(one.name for one in entry.inputs)

    def kind(kinds: Sequence[Kind]) -> Kind:
        for at, (given, asked) in enumerate(zip(kinds, entry.inputs, strict=True)):
            if not fits(given, asked.dimension):
                wrong = f"This is {say(given)}; `{asked.name}` of {entry.name} is {say(asked.dimension)}."
                raise Misfit(at, wrong, f"It takes {', '.join(parameters)}.")
        return result.dimension

    def call(*numbers: Any) -> Any:
        return entry.call(dict(zip(parameters, numbers, strict=True)))[result.name]

    return Function(name, parameters, len(parameters), len(parameters), kind, one_by_one(call))


FUNCTIONS: Mapping[str, Function] = MappingProxyType(
    {one.name: one for one in _published()} | {one.name: one for one in BUILT_IN}
)
