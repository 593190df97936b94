"""Writing quantities as people read them; what is shown is what is meant, and reads back as itself."""

from __future__ import annotations

import math

from trainer.quantities.dimensions import MONEY, Language
from trainer.quantities.reading import Reading
from trainer.quantities.units import INCH, UNITS, Unit, to_si

NO_BREAK = "\u00a0"
FIGURES = 4
FIGURES_SAID_BACK = 9
MOST_DECIMALS = 12
# Outside these a number is written with a power of ten.
SMALLEST, LARGEST = 1e-9, 1e15
INCHES = UNITS["in"]
_INCH_PARTS = {"ft in": 1, "ft in 1/16": 16}


def write_quantity(value: float, unit: Unit, language: Language, decimals: int | None = None) -> str:
    """An SI value in this unit, as `12 ft`, `3,66 m`, `16 ft 4 in`, `50%`, `$12.50`, with hard spaces.

    Without decimals: at least four figures where not whole, no zeros at the end.
    """
    if _in_feet_and_inches(value, unit):
        return _feet_and_inches(value, _INCH_PARTS[unit.key], unit, language)
    return _with_symbol(_in_unit(value, unit, decimals), unit, language, decimals)


def write_number(value: float, language: Language, decimals: int | None = None) -> str:
    """A bare number: `1,234.5` in English, `1234,5` and `12 345` in Spanish (groups from five digits)."""
    if not math.isfinite(value):
        return "?" if math.isnan(value) else ("-" if value < 0 else "") + "∞"
    if value and not SMALLEST <= abs(value) < LARGEST:
        text = f"{value:.{FIGURES - 1}e}"
    else:
        text = f"{value:,.{decimals_shown(value) if decimals is None else decimals}f}"
        text = _without_zeros(text) if decimals is None else text
        text = text if text.strip("-0.,") else text.removeprefix("-")
    return text if language == "en" else _spanish(text)


def round_shown(value: float, unit: Unit, decimals: int | None = None) -> float:
    """The SI value of what `write_quantity` shows: rounding it again changes nothing."""
    if _in_feet_and_inches(value, unit):
        parts = _INCH_PARTS[unit.key]
        return to_si(round(value / INCH * parts) / parts, INCHES)
    return to_si(_in_unit(value, unit, decimals), unit)


def said_back(reading: Reading, language: Language) -> str:
    """What was understood, for the person to check: `16 ft 4 in (16.33 ft)`, `4.98 m`."""
    unit, asked = reading.unit or reading.asked, reading.asked
    said = _typed(reading.value, unit, language)
    if reading.dimension == asked.dimension and unit != asked and unit.en.symbol and asked.en.symbol:
        said += f" ({write_quantity(reading.value, asked, language)})"
    return said


def decimals_shown(amount: float, figures: int = FIGURES) -> int:
    """How many decimals show this many figures; none for zero."""
    if amount == 0 or not math.isfinite(amount):
        return 0
    return min(MOST_DECIMALS, max(0, figures - 1 - math.floor(math.log10(abs(amount)))))


def _typed(value: float, unit: Unit, language: Language) -> str:
    """A typed value with every figure that was typed, as far as anybody types them."""
    if unit.key in _INCH_PARTS:
        whole = round(value / INCH, 6) % 1 == 0
        return _feet_and_inches(value, 1 if whole else 16, unit, language)
    amount = value / unit.factor
    places = decimals_shown(amount, FIGURES_SAID_BACK)
    text = _without_zeros(f"{amount:.{places}f}")
    typed = len(text.partition(".")[2])
    return _with_symbol(
        float(text), unit, language, max(typed, 2) if unit.dimension == MONEY and typed else typed
    )


def _with_symbol(amount: float, unit: Unit, language: Language, decimals: int | None) -> str:
    if unit.dimension == MONEY and decimals is None and amount % 1:
        decimals = 2
    number = write_number(amount, language, decimals)
    if unit.key == "usd":
        return f"-${number[1:]}" if number.startswith("-") else f"${number}"
    symbol = unit.symbol(language, amount)
    tight = unit.tight or not symbol or (unit.key == "%" and language == "en")
    return f"{number}{'' if tight else NO_BREAK}{symbol.replace(' ', NO_BREAK)}"


def _in_unit(value: float, unit: Unit, decimals: int | None) -> float:
    """The number that is shown in this unit."""
    amount = value / unit.factor
    if not math.isfinite(amount):
        return amount
    if amount and not SMALLEST <= abs(amount) < LARGEST:
        return float(f"{amount:.{FIGURES - 1}e}")
    if decimals is None:
        decimals = 2 if unit.dimension == MONEY else decimals_shown(amount)
    # Snapped first: 16 ft 4 1/2 in is 16.375 ft, though converting makes it 16.374999999999996.
    return round(float(f"{amount:.14g}"), decimals) + 0.0  # the sum turns -0.0 into 0.0


def _without_zeros(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def _spanish(text: str) -> str:
    """Decimal comma; groups are set apart by a hard space and begin at five digits."""
    whole, point, rest = text.partition(".")
    groups = whole.lstrip("-").split(",")
    four = len(groups) == 2 and len(groups[0]) == 1
    return whole.replace(",", "" if four else NO_BREAK) + ("," if point else "") + rest


def _in_feet_and_inches(value: float, unit: Unit) -> bool:
    return unit.key in _INCH_PARTS and abs(value) < LARGEST


def _feet_and_inches(value: float, parts: int, unit: Unit, language: Language) -> str:
    total = round(value / INCH * parts)
    feet, rest = divmod(abs(total), 12 * parts)
    inches, part = divmod(rest, parts)
    foot, inch = unit.symbol(language).split()
    if language == "es" and feet == 1:
        foot = "pie"
    number = _fraction(inches, part, parts) if part else f"{inches}"
    sign = "-" if total < 0 else ""
    return NO_BREAK.join((f"{sign}{write_number(feet, language)}", foot, number, inch))


def _fraction(inches: int, part: int, parts: int) -> str:
    shared = math.gcd(part, parts)
    fraction = f"{part // shared}/{parts // shared}"
    return f"{inches}{NO_BREAK}{fraction}" if inches else fraction
