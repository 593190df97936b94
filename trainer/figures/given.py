"""What a figure is given: its numbers, and how its reader reads them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension, Language, System
from trainer.quantities.units import Unit, partner, unit, usual_unit
from trainer.quantities.writing import write_quantity

Point = tuple[float, float]
# A few words in English and in Spanish.
Words = tuple[str, str]


@dataclass(frozen=True)
class Description:
    """A figure in words, for those who cannot see it."""

    title: str
    text: str


@dataclass(frozen=True)
class Given:
    """The numbers of one drawing [SI].

    Where `hide_length` is given and not 0, `length` is drawn to scale but written as `?`: the question asks it.
    """

    numbers: Mapping[str, float]
    dimensions: Mapping[str, Dimension]
    language: Language
    system: System

    @classmethod
    def reader(cls, language: Language, system: System) -> Given:
        """Nothing but the reader: for a scene, which carries its own numbers."""
        return cls({}, {}, language, system)

    def __getitem__(self, name: str) -> float:
        return self.numbers[name]

    def __contains__(self, name: object) -> bool:
        return name in self.numbers

    @property
    def complete(self) -> bool:
        """Whether every number is there: a site sheet may lack one."""
        return all(map(math.isfinite, self.numbers.values()))

    def hides(self, name: str) -> bool:
        """Whether this number must not be told."""
        return bool(self.numbers.get(f"hide_{name}"))

    def say(self, english: str, spanish: str) -> str:
        """A word in the reader's language."""
        return spanish if self.language == "es" else english

    def said(self, name: str, us: str = "") -> str:
        """A given number as the reader reads it, or `?`; us: the unit wanted, as people in the US have it."""
        return "?" if self.hides(name) else self.write(self.numbers[name], self.dimensions[name], us)

    def write(self, value: float, dimension: Dimension, us: str = "", decimals: int | None = None) -> str:
        """Any number as the reader reads it."""
        return write_quantity(value, self._unit(value, dimension, us), self.language, decimals)

    def length(self, value: float, decimals: int | None = None) -> str:
        """A length that was worked out for the drawing."""
        return self.write(value, d.LENGTH, decimals=decimals)

    def tape(self, value: float, places: int = 1) -> str:
        """A length as a tape shows it: in inches or centimeters, to a tenth, without zeros at the end."""
        one = partner(unit("in"), self.system)
        return write_quantity(round(value / one.factor, places) * one.factor, one, self.language)

    def _unit(self, value: float, dimension: Dimension, us: str) -> Unit:
        return partner(unit(us), self.system) if us else usual_unit(dimension, value, self.system)
