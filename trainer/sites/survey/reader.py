"""A survey's numbers as its reader reads them: language, units, as many figures as people set."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.quantities.dimensions import Language, System
from trainer.quantities.units import partner, unit
from trainer.quantities.writing import write_number, write_quantity
from trainer.sites.said import Said
from trainer.sites.survey.results import Amount


@dataclass(frozen=True)
class Reader:
    """Who reads the survey."""

    language: Language
    system: System

    def say(self, english: str, spanish: str) -> str:
        """A text in the reader's language."""
        return spanish if self.language == "es" else english

    def said(self, text: Said) -> str:
        """A text that stands in both languages."""
        return text.in_(self.language)

    def amount(self, amount: Amount) -> str:
        """An amount with its unit."""
        return self.write(amount.value, amount.unit.key)

    def write(self, value: float, us: str, decimals: int | None = None) -> str:
        """An SI value; us: the unit that people in the US read it in."""
        return write_quantity(value, partner(unit(us), self.system), self.language, decimals)

    def tape(self, length: float) -> str:
        """A length as a tape shows it: inches or centimeters, to a tenth."""
        one = partner(unit("in"), self.system)
        return write_quantity(round(length / one.factor, 1) * one.factor, one, self.language)

    def late(self, length: float) -> str:
        """An error along the travel with its sign: positive is late."""
        if math.isnan(length):
            return "–"
        said = self.tape(abs(length))
        return said if said.startswith("0\u00a0") else ("+" if length > 0 else "−") + said

    def number(self, value: float, figures: int = 3) -> str:
        """A bare number, to so many figures."""
        return write_number(float(f"{value:.{figures}g}"), self.language)

    def whole(self, value: float) -> str:
        """A whole number."""
        return write_number(round(value), self.language)

    def times(self, gain: float) -> str:
        """An excess gain."""
        return self.write(float(f"{gain:.3g}"), "x")

    def degrees(self, angle: float) -> str:
        """An angle [rad] in degrees, to a tenth."""
        return self.write(angle, "deg", 1)

    def clock(self, minutes: float) -> str:
        """Minutes after midnight as a time of day."""
        return f"{int(minutes) // 60}:{int(minutes) % 60:02d}"
