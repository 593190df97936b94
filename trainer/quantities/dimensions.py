"""Dimensions: what kind of thing a number measures, so that inches are never added to seconds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

System = Literal["us", "metric"]
Language = Literal["en", "es"]

# An angle is a base dimension of its own: the SI counts it as a plain number, and then degrees and pulses
# could be added without anybody noticing.
BASES = ("length", "time", "mass", "current", "temperature", "angle", "money")
BASE_SYMBOLS = ("m", "s", "kg", "A", "K", "rad", "$")


@dataclass(frozen=True)
class Dimension:
    """The power of each base dimension, in the order of `BASES`."""

    powers: tuple[Fraction, ...]

    def __mul__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a + b for a, b in zip(self.powers, other.powers, strict=True)))

    def __truediv__(self, other: Dimension) -> Dimension:
        return Dimension(tuple(a - b for a, b in zip(self.powers, other.powers, strict=True)))

    def __pow__(self, power: int | Fraction) -> Dimension:
        return Dimension(tuple(a * power for a in self.powers))

    @property
    def symbol(self) -> str:
        """The coherent SI unit, `m/s` or `kg·m²/s³`; empty for a plain number."""
        above = "·".join(_power(s, p) for s, p in zip(BASE_SYMBOLS, self.powers, strict=True) if p > 0)
        below = [_power(s, -p) for s, p in zip(BASE_SYMBOLS, self.powers, strict=True) if p < 0]
        if not below:
            return above
        divisor = below[0] if len(below) == 1 else f"({'·'.join(below)})"
        return f"{above or '1'}/{divisor}"

    def words(self, language: Language) -> str:
        """The dimension as a person says it: 'a length', 'una longitud'."""
        if self in _WORDS:
            return _WORDS[self][language == "es"]
        return f"una magnitud en {self.symbol}" if language == "es" else f"a quantity in {self.symbol}"


def base(name: str) -> Dimension:
    """One of the base dimensions."""
    return Dimension(tuple(Fraction(name == one) for one in BASES))


def _power(symbol: str, power: Fraction) -> str:
    if power == 1:
        return symbol
    return symbol + (str(power).translate(_RAISED) if power.denominator == 1 else f"^({power})")


_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")

PLAIN = Dimension((Fraction(0),) * len(BASES))
LENGTH, TIME, MASS, CURRENT, TEMPERATURE, ANGLE, MONEY = (base(name) for name in BASES)
AREA = LENGTH**2
VOLUME = LENGTH**3
SPEED = LENGTH / TIME
FREQUENCY = PLAIN / TIME
FLOW = VOLUME / TIME
PER_LENGTH = PLAIN / LENGTH
ENERGY = MASS * LENGTH**2 / TIME**2
POWER = ENERGY / TIME
PRESSURE = ENERGY / VOLUME
CHARGE = CURRENT * TIME
VOLTAGE = POWER / CURRENT
RESISTANCE = VOLTAGE / CURRENT
CAPACITANCE = CHARGE / VOLTAGE
RESISTANCE_PER_LENGTH = RESISTANCE / LENGTH
MONEY_PER_TIME = MONEY / TIME
MONEY_PER_VOLUME = MONEY / VOLUME

_WORDS = {
    PLAIN: ("a plain number", "un número sin unidad"),
    LENGTH: ("a length", "una longitud"),
    TIME: ("a time", "un tiempo"),
    MASS: ("a mass", "una masa"),
    CURRENT: ("a current", "una corriente"),
    TEMPERATURE: ("a temperature", "una temperatura"),
    ANGLE: ("an angle", "un ángulo"),
    MONEY: ("an amount of money", "una cantidad de dinero"),
    AREA: ("an area", "un área"),
    VOLUME: ("a volume", "un volumen"),
    SPEED: ("a speed", "una velocidad"),
    FREQUENCY: ("a number per time", "una cantidad por tiempo"),
    FLOW: ("a flow", "un caudal"),
    PER_LENGTH: ("a number per length", "una cantidad por longitud"),
    ENERGY: ("an energy", "una energía"),
    POWER: ("a power", "una potencia"),
    PRESSURE: ("a pressure", "una presión"),
    CHARGE: ("a charge", "una carga"),
    VOLTAGE: ("a voltage", "un voltaje"),
    RESISTANCE: ("a resistance", "una resistencia"),
    CAPACITANCE: ("a capacitance", "una capacitancia"),
    RESISTANCE_PER_LENGTH: ("a resistance per length", "una resistencia por longitud"),
    MONEY_PER_TIME: ("money per time", "dinero por tiempo"),
    MONEY_PER_VOLUME: ("money per volume", "dinero por volumen"),
}
