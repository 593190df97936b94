"""What is plausible for a site value, and what slip an implausible one looks like, in words for people and files."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.quantities import UNITS, Language, System, partner, write_quantity
from trainer.quantities.units import Unit, to_si
from trainer.sites.values import SiteValue

# Beyond this many times the value in force, or this share of it, a measurement is worth a second look.
FAR = 1.5
# A slip of unit is told when the number in another unit comes this near to the value in force.
NEAR = 1.25
_ANY_UNIT = ("ft", "in", "m", "cm", "mm", "s", "ms", "min")


def in_range(value: float, expected: SiteValue) -> bool:
    """Whether a value [SI] is in the plausible range; its ends belong to it, however they were rounded."""
    return expected.low * (1 - 1e-9) <= value <= expected.high * (1 + 1e-9) or value in expected.ends


def wrong_dimension(unit: Unit, expected: SiteValue, language: Language) -> str:
    """That a quantity is of another kind than the one expected."""
    is_, wanted = unit.dimension.words(language), expected.dimension.words(language)
    if not unit.en.symbol:
        return _say(
            language,
            "A unit is missing: every quantity carries its own.",
            "Falta la unidad: cada cantidad lleva la suya.",
        )
    return _say(language, f"This is {is_}; {wanted} is expected.", f"Esto es {is_}; se espera {wanted}.")


def implausible(expected: SiteValue, language: Language, system: System = "us") -> str:
    """From where to where the value is plausible, in the reader's units."""
    low, high = said_range(expected, language, system)
    meaning = expected.meaning[language]
    return _say(
        language,
        f"The {meaning} is plausible from {low} to {high}.",
        f"Lo creíble aquí ({meaning}) va de {low} a {high}.",
    )


def said_range(expected: SiteValue, language: Language, system: System) -> tuple[str, str]:
    """The least and the greatest plausible value as the reader reads them, with plain spaces."""
    one = partner(expected.unit, system)
    low, high = (write_quantity(end, one, language) for end in expected.ends)
    return low.replace("\u00a0", " "), high.replace("\u00a0", " ")


def same_number(amount: float, unit: Unit, expected: SiteValue) -> Unit | None:
    """The usual unit, where the same number in it would be plausible and the unit is another one."""
    if unit != expected.unit and expected.low <= amount * expected.unit.factor <= expected.high:
        return expected.unit
    return None


def looks_like(amount: float, unit: Unit, expected: SiteValue, in_force: float) -> Unit | None:
    """The unit in which the same number comes near the value in force [SI]; None where no unit does."""
    near = [
        (_times(to_si(amount, other), in_force), other)
        for other in _others(unit, expected)
        if in_range(to_si(amount, other), expected)
    ]
    best = min(near, key=lambda pair: pair[0], default=None)
    return best[1] if best is not None and best[0] <= NEAR else None


def _others(unit: Unit, expected: SiteValue) -> Iterator[Unit]:
    keys = (*_ANY_UNIT, expected.unit.key, partner(expected.unit, "metric").key)
    for key in dict.fromkeys(keys):
        if UNITS[key].dimension == expected.dimension and key != unit.key:
            yield UNITS[key]


def how_far(value: float, in_force: float) -> float | None:
    """How many times the value in force a value is, where that is far enough to measure twice."""
    if in_force == 0 or value == 0 or (value < 0) != (in_force < 0):
        return None
    times = value / in_force
    return times if max(times, 1 / times) >= FAR else None


def _times(one: float, other: float) -> float:
    """How many times one value is the other, the larger over the smaller."""
    if one == other:
        return 1.0
    if not one or not other or (one < 0) != (other < 0):
        return float("inf")
    return max(one / other, other / one)


def _say(language: Language, english: str, spanish: str) -> str:
    return spanish if language == "es" else english
