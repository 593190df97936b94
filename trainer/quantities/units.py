"""Units: the factor to SI, the symbols and words in both languages, and the partner in the other system."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from trainer.quantities import dimensions as d
from trainer.quantities.dimensions import Dimension, Language, System


@dataclass(frozen=True)
class Names:
    """How one language calls a unit: symbol for one and for several, word for one and for several."""

    symbol: str
    one: str
    many: str
    symbol_one: str = ""

    def symbol_for(self, amount: float) -> str:
        """The symbol beside this amount: only Spanish `pie` and the counted things change."""
        return self.symbol_one if self.symbol_one and amount == 1 else self.symbol

    def word_for(self, amount: float) -> str:
        """The word beside this amount."""
        return self.one if amount == 1 else self.many


@dataclass(frozen=True)
class Unit:
    """A unit people measure in. `factor` is SI per unit; `tight`: the symbol touches the number.

    `also` has further spellings that are read; `system` is None where both systems use the unit.
    """

    key: str
    dimension: Dimension
    factor: float
    en: Names
    es: Names
    system: System | None = None
    tight: bool = False
    also: tuple[str, ...] = ()

    def names(self, language: Language) -> Names:
        """How this language calls the unit."""
        return self.es if language == "es" else self.en

    def symbol(self, language: Language, amount: float = 2) -> str:
        """The symbol written after this amount."""
        return self.names(language).symbol_for(amount)

    def word(self, language: Language, amount: float = 2) -> str:
        """The word written after this amount."""
        return self.names(language).word_for(amount)


FOOT = 0.3048  # exact: NIST SP 811, appendix B.8
INCH = 0.0254  # exact: the same
GALLON = 231 * INCH**3  # the US liquid gallon is 231 cubic inches: NIST Handbook 44, appendix C
POUND = 0.45359237  # exact: NIST SP 811, appendix B.8
STANDARD_GRAVITY = 9.80665  # exact: the same
YEAR = 365.25 * 86400  # the Julian year


def _same(symbol: str, one: str, many: str, uno: str, varios: str) -> tuple[Names, Names]:
    """Names of a unit whose symbol is the same in both languages."""
    return Names(symbol, one, many), Names(symbol, uno, varios)


def _counted(one: str, many: str, uno: str, varios: str) -> tuple[Names, Names]:
    """Names of a thing that is counted: its symbol is the word itself."""
    return Names(many, one, many, one), Names(varios, uno, varios, uno)


_FT = (Names("ft", "foot", "feet"), Names("pies", "pie", "pies", "pie"))
_IN = (Names("in", "inch", "inches"), Names("pulg", "pulgada", "pulgadas"))
_FT2 = (Names("ft²", "square foot", "square feet"), Names("pies²", "pie cuadrado", "pies cuadrados", "pie²"))
_IN2 = (
    Names("in²", "square inch", "square inches"),
    Names("pulg²", "pulgada cuadrada", "pulgadas cuadradas"),
)
_PLAIN = _same("", "", "", "", "")
_TIMES = _same("×", "time", "times", "vez", "veces")
_YEARLY = (Names("per year", "per year", "per year"), Names("por año", "por año", "por año"))
_FEET_AND_INCHES = (
    Names("ft in", "foot and inches", "feet and inches"),
    Names("pies pulg", "pie y pulgadas", "pies y pulgadas"),
)
_DOLLARS = _same("$", "dollar", "dollars", "dólar", "dólares")
_US: System = "us"
_METRIC: System = "metric"

_SIMPLE = (
    Unit("1", d.PLAIN, 1.0, *_PLAIN),
    Unit("%", d.PLAIN, 0.01, *_same("%", "percent", "percent", "por ciento", "por ciento"), also=("pct",)),
    Unit("x", d.PLAIN, 1.0, *_TIMES, tight=True, also=("x",)),
    Unit("pulses", d.PLAIN, 1.0, *_counted("pulse", "pulses", "pulso", "pulsos")),
    Unit("cars", d.PLAIN, 1.0, *_counted("car", "cars", "carro", "carros"), also=("auto", "autos")),
    Unit("in", d.LENGTH, INCH, *_IN, _US, also=('"', "''", "pulgs", "plg", "pg")),
    Unit("ft", d.LENGTH, FOOT, *_FT, _US, also=("'",)),
    Unit("ft in", d.LENGTH, FOOT, *_FEET_AND_INCHES, _US),
    Unit("ft in 1/16", d.LENGTH, FOOT, *_FEET_AND_INCHES, _US),
    Unit("yd", d.LENGTH, 3 * FOOT, *_same("yd", "yard", "yards", "yarda", "yardas"), _US),
    Unit("kft", d.LENGTH, 1000 * FOOT, *_same("kft", "thousand feet", "thousand feet", "mil pies", "mil pies"), _US),
    Unit("mi", d.LENGTH, 5280 * FOOT, *_same("mi", "mile", "miles", "milla", "millas"), _US),
    Unit("mm", d.LENGTH, 0.001, *_same("mm", "millimeter", "millimeters", "milímetro", "milímetros"), _METRIC),
    Unit("cm", d.LENGTH, 0.01, *_same("cm", "centimeter", "centimeters", "centímetro", "centímetros"), _METRIC),
    Unit("m", d.LENGTH, 1.0, *_same("m", "meter", "meters", "metro", "metros"), _METRIC, also=("mt", "mts", "mtr")),
    Unit("km", d.LENGTH, 1000.0, *_same("km", "kilometer", "kilometers", "kilómetro", "kilómetros"), _METRIC),
    Unit("in2", d.AREA, INCH**2, *_IN2, _US, also=("sq in", "in^2", "pulg^2")),
    Unit("ft2", d.AREA, FOOT**2, *_FT2, _US, also=("sq ft", "sqft", "ft^2", "pie2", "pies^2", "square foot")),
    Unit("m2", d.AREA, 1.0, *_same("m²", "square meter", "square meters", "metro cuadrado", "metros cuadrados"),
         _METRIC, also=("sq m", "m^2")),
    Unit("cm2", d.AREA, 1e-4, *_same("cm²", "square centimeter", "square centimeters", "centímetro cuadrado",
                                     "centímetros cuadrados"), _METRIC, also=("sq cm", "cm^2")),
    Unit("gal", d.VOLUME, GALLON, *_same("gal", "gallon", "gallons", "galón", "galones"), _US, also=("gals",)),
    Unit("L", d.VOLUME, 0.001, *_same("L", "liter", "liters", "litro", "litros"), _METRIC, also=("l", "lt", "lts")),
    Unit("mL", d.VOLUME, 1e-6, *_same("mL", "milliliter", "milliliters", "mililitro", "mililitros"), _METRIC),
    Unit("m3", d.VOLUME, 1.0, *_same("m³", "cubic meter", "cubic meters", "metro cúbico", "metros cúbicos"),
         _METRIC, also=("m^3",)),
    Unit("s", d.TIME, 1.0, *_same("s", "second", "seconds", "segundo", "segundos"),
         also=("sec", "secs", "seg", "segs")),
    Unit("ms", d.TIME, 0.001, *_same("ms", "millisecond", "milliseconds", "milisegundo", "milisegundos"),
         also=("msec", "mseg")),
    Unit("min", d.TIME, 60.0, *_same("min", "minute", "minutes", "minuto", "minutos"), also=("mins",)),
    Unit("h", d.TIME, 3600.0, *_same("h", "hour", "hours", "hora", "horas"), also=("hr", "hrs")),
    Unit("d", d.TIME, 86400.0, *_same("d", "day", "days", "día", "días")),
    Unit("week", d.TIME, 604800.0, *_counted("week", "weeks", "semana", "semanas"), also=("wk", "sem")),
    Unit("year", d.TIME, YEAR, *_counted("year", "years", "año", "años"), also=("yr", "yrs")),
    Unit("rad", d.ANGLE, 1.0, *_same("rad", "radian", "radians", "radián", "radianes")),
    Unit("deg", d.ANGLE, math.pi / 180, *_same("°", "degree", "degrees", "grado", "grados"), tight=True,
         also=("deg", "degs")),
    Unit("mrad", d.ANGLE, 0.001, *_same("mrad", "milliradian", "milliradians", "milirradián", "milirradianes")),
    Unit("V", d.VOLTAGE, 1.0, *_same("V", "volt", "volts", "voltio", "voltios"), also=("vdc", "vac", "volt")),
    Unit("mV", d.VOLTAGE, 0.001, *_same("mV", "millivolt", "millivolts", "milivoltio", "milivoltios")),
    Unit("kV", d.VOLTAGE, 1000.0, *_same("kV", "kilovolt", "kilovolts", "kilovoltio", "kilovoltios")),
    Unit("A", d.CURRENT, 1.0, *_same("A", "ampere", "amperes", "amperio", "amperios"),
         also=("amp", "amps", "ampere", "amperes")),
    Unit("mA", d.CURRENT, 0.001, *_same("mA", "milliampere", "milliamperes", "miliamperio", "miliamperios"),
         also=("milliamp", "milliamps")),
    Unit("ohm", d.RESISTANCE, 1.0, *_same("Ω", "ohm", "ohms", "ohmio", "ohmios")),
    Unit("kohm", d.RESISTANCE, 1000.0, *_same("kΩ", "kilohm", "kilohms", "kiloohmio", "kiloohmios"), also=("kohms",)),
    Unit("Mohm", d.RESISTANCE, 1e6, *_same("MΩ", "megohm", "megohms", "megaohmio", "megaohmios")),
    Unit("F", d.CAPACITANCE, 1.0, *_same("F", "farad", "farads", "faradio", "faradios")),
    Unit("uF", d.CAPACITANCE, 1e-6, *_same("µF", "microfarad", "microfarads", "microfaradio", "microfaradios")),
    Unit("uC", d.CHARGE, 1e-6,
         *_same("µC", "microcoulomb", "microcoulombs", "microculombio", "microculombios")),
    Unit("Hz", d.FREQUENCY, 1.0, *_same("Hz", "hertz", "hertz", "hercio", "hercios")),
    Unit("kHz", d.FREQUENCY, 1000.0, *_same("kHz", "kilohertz", "kilohertz", "kilohercio", "kilohercios")),
    Unit("per_year", d.FREQUENCY, 1 / YEAR, *_YEARLY,
         also=("/year", "1/year", "/yr", "a year", "al año", "per yr")),
    Unit("J", d.ENERGY, 1.0, *_same("J", "joule", "joules", "julio", "julios")),
    Unit("W", d.POWER, 1.0, *_same("W", "watt", "watts", "vatio", "vatios")),
    Unit("kg", d.MASS, 1.0, *_same("kg", "kilogram", "kilograms", "kilogramo", "kilogramos"), _METRIC),
    Unit("lb", d.MASS, POUND, *_same("lb", "pound", "pounds", "libra", "libras"), _US, also=("lbs",)),
    Unit("psi", d.PRESSURE, POUND * STANDARD_GRAVITY / INCH**2, *_same("psi", "psi", "psi", "psi", "psi"), _US),
    Unit("kPa", d.PRESSURE, 1000.0, *_same("kPa", "kilopascal", "kilopascals", "kilopascal", "kilopascales"), _METRIC),
    Unit("usd", d.MONEY, 1.0, *_DOLLARS, also=("usd",)),
)  # fmt: skip

# Rates: numerator and denominator are units above; names and spellings follow from theirs.
_RATES = (
    ("ft", "min"), ("ft", "s"), ("in", "s"), ("in", "min"), ("ft", "h"), ("m", "min"), ("m", "s"), ("cm", "s"),
    ("mm", "s"), ("km", "h"), ("gal", "min"), ("L", "min"), ("pulses", "ft"), ("pulses", "in"), ("pulses", "m"),
    ("pulses", "cm"), ("pulses", "s"), ("pulses", "min"), ("ohm", "kft"), ("ohm", "ft"), ("ohm", "km"),
    ("ohm", "m"), ("cars", "h"), ("cars", "d"), ("usd", "year"), ("usd", "h"), ("usd", "gal"), ("usd", "L"),
)  # fmt: skip
_RATE_SPELLINGS = {
    "ft/min": ("fpm",),
    "gal/min": ("gpm",),
    "L/min": ("lpm",),
    "km/h": ("kph", "kmh"),
    "pulses/ft": ("ppf", "1/ft", "/ft"),
    "pulses/in": ("1/in", "/in"),
    "pulses/m": ("1/m", "/m"),
    "pulses/cm": ("1/cm", "/cm"),
    "pulses/s": ("1/s", "/s"),
}

_MPH = Unit("mph", d.SPEED, 5280 * FOOT / 3600, Names("mph", "mile per hour", "miles per hour"),
            Names("mph", "milla por hora", "millas por hora"), _US, also=("mi/h",))  # fmt: skip


def _rate(above: Unit, below: Unit) -> Unit:
    key = f"{above.key}/{below.key}"
    counted = above.dimension == d.PLAIN
    return Unit(
        key,
        above.dimension / below.dimension,
        above.factor / below.factor,
        _rate_names(above.en, below.en, "per", counted),
        _rate_names(above.es, below.es, "por", counted),
        above.system or below.system,
        also=_RATE_SPELLINGS.get(key, ()),
    )


def _rate_names(above: Names, below: Names, per: str, counted: bool) -> Names:
    one, many = f"{above.one} {per} {below.one}", f"{above.many} {per} {below.one}"
    if counted:  # written in words: 12 pulses per foot
        return Names(many, one, many, one)
    small = below.symbol_one or below.symbol
    return Names(f"{above.symbol}/{small}", one, many, above.symbol_one and f"{above.symbol_one}/{small}")


def _all_units() -> dict[str, Unit]:
    units = {one.key: one for one in _SIMPLE}
    for above, below in _RATES:
        rate = _rate(units[above], units[below])
        units[rate.key] = rate
    units[_MPH.key] = _MPH
    return units


UNITS = _all_units()


def to_si(amount: float, one: Unit) -> float:
    """The SI value of an amount, to 15 figures, so that 144 in and 12 ft are the same number.

    An angle's factor is irrational: there is nothing to restore.
    """
    value = amount * one.factor
    return value if one.dimension == d.ANGLE else float(f"{value:.15g}")


def unit(key: str) -> Unit:
    """The unit of this key. Raises KeyError."""
    return UNITS[key]


_TO_METRIC = {
    "in": "cm", "ft": "m", "ft in": "m", "ft in 1/16": "m", "yd": "m", "kft": "km", "mi": "km", "in2": "cm2",
    "ft2": "m2", "gal": "L", "lb": "kg", "psi": "kPa", "ft/min": "m/min", "ft/s": "m/s", "in/s": "cm/s",
    "in/min": "cm/s", "ft/h": "m/min", "mph": "km/h", "gal/min": "L/min", "pulses/ft": "pulses/m",
    "pulses/in": "pulses/cm", "ohm/kft": "ohm/km", "ohm/ft": "ohm/m", "usd/gal": "usd/L",
}  # fmt: skip
_TO_US = {
    "mm": "in", "cm": "in", "m": "ft", "km": "kft", "cm2": "in2", "m2": "ft2", "L": "gal", "mL": "gal",
    "m3": "gal", "kg": "lb", "kPa": "psi", "m/min": "ft/min", "m/s": "ft/s", "cm/s": "in/s", "mm/s": "in/s",
    "km/h": "mph", "L/min": "gal/min", "pulses/m": "pulses/ft", "pulses/cm": "pulses/in", "ohm/km": "ohm/kft",
    "ohm/m": "ohm/ft", "usd/L": "usd/gal",
}  # fmt: skip


def partner(one: Unit, system: System) -> Unit:
    """The unit that people of this system use in its place; units of both systems stay."""
    if one.system in (None, system):
        return one
    return UNITS[(_TO_METRIC if system == "metric" else _TO_US)[one.key]]


# For each dimension the units that a value is shown in, each from this many of them upwards.
_USUAL: dict[Dimension, tuple[tuple[str, float], ...]] = {
    d.PLAIN: (("1", 0),),
    d.LENGTH: (("ft", 3), ("in", 0)),
    d.AREA: (("ft2", 1), ("in2", 0)),
    d.VOLUME: (("gal", 0),),
    d.TIME: (("h", 2), ("min", 10), ("s", 0.1), ("ms", 0)),
    d.SPEED: (("ft/min", 0),),
    d.FREQUENCY: (("kHz", 1), ("Hz", 0)),
    d.FLOW: (("gal/min", 0),),
    d.ANGLE: (("deg", 0),),
    d.VOLTAGE: (("V", 0.1), ("mV", 0)),
    d.CURRENT: (("A", 1), ("mA", 0)),
    d.RESISTANCE: (("Mohm", 1), ("kohm", 1), ("ohm", 0)),
    d.CAPACITANCE: (("F", 1), ("uF", 0)),
    d.CHARGE: (("uC", 0),),
    d.PER_LENGTH: (("pulses/ft", 0),),
    d.RESISTANCE_PER_LENGTH: (("ohm/kft", 0),),
    d.MASS: (("lb", 0),),
    d.PRESSURE: (("psi", 0),),
    d.MONEY: (("usd", 0),),
    d.MONEY_PER_TIME: (("usd/year", 0),),
    d.MONEY_PER_VOLUME: (("usd/gal", 0),),
    d.ENERGY: (("J", 0),),
    d.POWER: (("W", 0),),
}
_USUAL_METRIC: dict[Dimension, tuple[tuple[str, float], ...]] = {
    d.LENGTH: (("m", 1), ("cm", 1), ("mm", 0)),
    d.AREA: (("m2", 0.1), ("cm2", 0)),
}


def usual_unit(dimension: Dimension, value: float, system: System) -> Unit:
    """The unit a value of this dimension is shown in; a dimension without one is shown in SI."""
    rows = _USUAL.get(dimension)
    if system == "metric":
        rows = _USUAL_METRIC.get(dimension, rows)
    if rows is None:
        return si_unit(dimension)
    # A hair below the step counts as on it: 3 ft in metres and back is not quite 3 ft.
    key = next(
        (key for key, step in rows if abs(value) >= step * UNITS[key].factor * (1 - 1e-9)), rows[-1][0]
    )
    return partner(UNITS[key], system)


@cache
def si_unit(dimension: Dimension) -> Unit:
    """The coherent SI unit of any dimension, for what has no unit in daily use."""
    names = Names(dimension.symbol, dimension.symbol, dimension.symbol)
    return Unit(dimension.symbol, dimension, 1.0, names, names)
