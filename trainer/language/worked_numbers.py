"""The numbers of a question or lesson: drawn, from the site, and worked out from these, for one unit system."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import nan
from typing import Any

import numpy as np
import numpy.typing as npt

from trainer.language.expressions import Expression, shown_key
from trainer.language.names import Units
from trainer.quantities.dimensions import Dimension, System
from trainer.quantities.units import Unit
from trainer.quantities.writing import round_shown


@dataclass(frozen=True)
class Grid:
    """The values that one drawn number can have in one unit system [SI], in order; each is exactly what is shown."""

    unit: Unit
    values: tuple[float, ...]

    @cached_property
    def array(self) -> npt.NDArray[np.float64]:
        """The same values as an array."""
        return np.array(self.values)


@dataclass(frozen=True)
class Drawn:
    """A number that is drawn: one grid a unit system."""

    name: str
    dimension: Dimension
    grids: Mapping[System, Grid]


@dataclass(frozen=True)
class Worked:
    """A number worked out from earlier ones; without units it is shown in the usual unit of its size."""

    name: str
    expression: Expression
    units: Units | None = None


@dataclass(frozen=True)
class Numbers:
    """The names of a question or lesson and where their values come from.

    units: how each name is shown, by unit system, where that is known beforehand
    shown: the names whose bare number, as shown, some expression needs; unused: the names that nothing needs
    """

    site: tuple[str, ...] = ()
    drawn: tuple[Drawn, ...] = ()
    worked: tuple[Worked, ...] = ()
    units: Mapping[str, Units] = field(default_factory=dict)
    shown: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()


def site_numbers(numbers: Numbers, site_values: Mapping[str, float], system: System) -> dict[str, float]:
    """The site's values that are named [SI], rounded to what is shown; NaN for what the site lacks."""
    values: dict[str, float] = {}
    for name in numbers.site:
        value = site_values.get(name, nan)
        values[name] = round_shown(value, numbers.units[name][system])
    return values


def work_out(numbers: Numbers, values: dict[str, Any], system: System, count: int | None = None) -> None:
    """Add `shown(name)` and every worked-out name to the values of one draw, or of `count` draws."""
    for name in (*numbers.site, *(drawn.name for drawn in numbers.drawn)):
        _add_shown(numbers, values, name, system)
    for worked in numbers.worked:
        expression = worked.expression
        values[worked.name] = (
            expression.number(values) if count is None else expression.numbers(values, count)
        )
        _add_shown(numbers, values, worked.name, system)


def _add_shown(numbers: Numbers, values: dict[str, Any], name: str, system: System) -> None:
    if name in numbers.shown:
        values[shown_key(name)] = values[name] / numbers.units[name][system].factor
