"""What a published function, its inputs and its results are, and the words in which a table states them."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension
from trainer.quantities.units import Unit, unit

Kind = Literal["number", "word", "moment", "structure"]


@dataclass(frozen=True)
class Input:
    """One input: its name, dimension, what is allowed, the unit in which people give it.

    bare: its name states the handy unit, so `stringline calc` reads and writes bare numbers of it in that unit.
    """

    name: str
    dimension: Dimension
    allowed: str
    handy: Unit
    kind: Kind = "number"
    choices: tuple[str, ...] = ()
    optional: bool = False
    bare: bool = False

    @property
    def scalar(self) -> bool:
        """Whether it is a number, or an array of numbers that broadcasts."""
        return self.kind == "number"


@dataclass(frozen=True)
class Result:
    """One result: its name, dimension and the unit in which people read it."""

    name: str
    dimension: Dimension
    handy: Unit
    structure: bool = False


@dataclass(frozen=True)
class Published:
    """A function of the solver that questions, trainers and outside checks call by name, in SI."""

    name: str
    function: Callable[..., Any]
    inputs: tuple[Input, ...]
    results: tuple[Result, ...]
    source: str
    meaning: str

    @property
    def scalar(self) -> bool:
        """Whether every input and result is a number."""
        return all(one.scalar for one in self.inputs) and not any(one.structure for one in self.results)

    def call(self, inputs: Mapping[str, Any]) -> dict[str, Any]:
        """Each result by name, in SI. Raises BadInput of the solver."""
        found = self.function(**inputs)
        if isinstance(found, dict):
            return found
        if dataclasses.is_dataclass(found):
            return {result.name: getattr(found, result.name) for result in self.results}
        return {self.results[0].name: found}


def number(name: str, handy: str, allowed: str, bare: bool = False) -> Input:
    """An input that is a number, in its handy unit; bare: see Input."""
    return Input(name, unit(handy).dimension, allowed, unit(handy), bare=bare)


def result(name: str, handy: str) -> Result:
    """A result, in its handy unit."""
    return Result(name, unit(handy).dimension, unit(handy))


def structure(name: str, handy: str, allowed: str) -> Input:
    """An input with structure; only from JSON."""
    return Input(name, unit(handy).dimension, allowed, unit(handy), kind="structure")


def word(name: str, *choices: str, optional: bool = False) -> Input:
    """An input that is one of a few words."""
    return Input(
        name,
        d.PLAIN,
        f"one of {', '.join(choices)}",
        unit("1"),
        kind="word",
        choices=choices,
        optional=optional,
    )


def moment(name: str) -> Input:
    """An input that is a moment as ISO 8601 text, or an array of them; without an offset it is UTC."""
    allowed = "a moment of the years 1900 to 2100 in ISO 8601, such as 2026-06-21T18:30:00Z"
    return Input(name, d.PLAIN, allowed, unit("1"), kind="moment")


POSITIVE = "finite and above 0"
FROM_ZERO = "finite and 0 or more"
GAIN = "finite and above 1"
ACUTE = "above 0 and below 90 deg"
LOW = number("low", "in", "finite")
HIGH = number("high", "in", "finite")
SPAN = number("span", "ft", POSITIVE)
PULSES = number("pulses", "1", "a whole number from 1")
PER_LENGTH = number("pulses_per_length", "pulses/ft", POSITIVE)
CHAIN = number("speed", "ft/min", POSITIVE)
CELSIUS = number("celsius", "1", "a plain number of °C, -50 to 200")
WIRE = number("resistance_per_length", "ohm/kft", POSITIVE)
CAPACITANCE = number("capacitance", "uF", POSITIVE)
LENS = number("lens_diameter", "in", POSITIVE)
EXCESS_GAIN = number("excess_gain", "x", GAIN)
DISTANCE = number("distance", "ft", POSITIVE)
HALF_ANGLE = number("half_angle", "deg", ACUTE)

TRIANGLES = "similar triangles (Euclid, Elements VI.2)"
RIGHT = "right triangle (Euclid, Elements I.47)"
SEGMENT = "area of a circular segment"
OHM = "Ohm's law"
DECAY = "exponential discharge of a capacitor through a resistor"
DEFINITION = "by definition"
