"""The names of a question or lesson: what each measures, and in which unit each is shown to whom."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.language.expressions import Expression, compile_expression
from trainer.quantities.dimensions import PLAIN, Dimension, Language, System
from trainer.quantities.units import Unit, partner, unit

SYSTEMS: tuple[System, ...] = ("us", "metric")
LANGUAGES: tuple[Language, ...] = ("en", "es")

Units = Mapping[System, Unit]


@dataclass(frozen=True)
class Name:
    """A name; without units of its own it is shown in the usual unit of its size."""

    name: str
    dimension: Dimension
    units: Units | None


@dataclass(frozen=True)
class Scope:
    """The names that an expression may use at one place in a file."""

    names: Mapping[str, Name]

    def compile(self, text: str) -> Expression:
        """Prove and compile an expression over these names. Raises BadExpression."""
        kinds = {name: one.dimension for name, one in self.names.items()}
        shown = frozenset(name for name, one in self.names.items() if one.units is not None)
        return compile_expression(text, kinds, shown)

    def units_of(self, expression: Expression) -> Units | None:
        """The units in which a lone name is shown; None for other expressions and for names without units."""
        name = self.names.get(expression.text)
        return name.units if name else None


def pair_of_units(us: Unit) -> Units:
    """A unit and its metric partner."""
    return {"us": us, "metric": partner(us, "metric")}


def own_units(dimension: Dimension, written: Unit | None) -> Units | None:
    """The units of a worked-out name: the written one and its partner; plain numbers are always bare."""
    if written is not None:
        return pair_of_units(written)
    return pair_of_units(unit("1")) if dimension == PLAIN else None
