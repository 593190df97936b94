"""Compound unit texts of files and of the command line, such as `ohm/mile` or `1/ft`, over pint."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension
from trainer.quantities.units import Names, Unit

if TYPE_CHECKING:
    from pint import UnitRegistry

LONGEST_UNIT = 40
# Words, products, quotients and one-digit powers: nothing that pint could expand into something large.
_TERM = r"[A-Za-zµμΩ°_]+(?:[2-9]|(?:\*\*|\^)-?[1-9](?![0-9*^]))?"
_SAFE = re.compile(rf"(?:1\s*/\s*)?{_TERM}(?:(?:\s*[*/·]\s*|\s+){_TERM})*")
_BASES = {
    "[length]": d.LENGTH, "[time]": d.TIME, "[mass]": d.MASS, "[current]": d.CURRENT,
    "[temperature]": d.TEMPERATURE, "[money]": d.MONEY,
}  # fmt: skip


@cache
def registry() -> UnitRegistry[Any]:
    """The one pint registry, made at first use: it takes a third of a second that no page should wait for."""
    import pint  # noqa: PLC0415 - dear to import

    made: UnitRegistry[Any] = pint.UnitRegistry(cache_folder=None)
    made.define("usd = [money] = dollar")
    made.define("pulse = 1 = pulses")
    made.define("car = 1 = cars")
    return made


def compound_unit(written: str) -> Unit | None:
    """The unit of a compound text; None when it is none, or has an offset (°C, °F)."""
    if len(written) > LONGEST_UNIT or not _SAFE.fullmatch(written):
        return None
    return _compound(written)


@cache
def _compound(written: str) -> Unit | None:
    made = registry()
    try:
        quantity = made.Quantity(1.0, made.parse_units(re.sub(r"^1\s*/", "dimensionless/", written)))
        if not quantity._is_multiplicative:
            return None
        base = quantity.to_base_units()
    except Exception:  # pint raises many kinds for a text that is no unit
        return None
    if not set(base.dimensionality) <= set(_BASES):
        return None  # amounts of substance, candles, dots: nothing on a wash is measured so
    names = Names(written, written, written)
    return Unit(written, _dimension(base), float(base.magnitude), names, names)


def _dimension(base: Any) -> Dimension:
    """The dimension in our bases; pint's base units name radians, its dimensionality does not."""
    found = d.PLAIN
    for name, power in base.dimensionality.items():
        found = found * _BASES[name] ** _power(power)
    return found * d.ANGLE ** _power(dict(base.unit_items()).get("radian", 0))


def _power(power: float) -> Fraction:
    return Fraction(power).limit_denominator(100)
