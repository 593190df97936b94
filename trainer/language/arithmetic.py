"""The functions of the question language, each for one float and for whole arrays; what has no value is NaN.

Both forms give the same: dividing by zero, the root of a negative number or a published function out of its
range give NaN, which goes on through all further arithmetic. So a draw that has no answer is told the same way
alone and among 100,000.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

NAN = math.nan
LARGEST_DECIMALS = 6

Call = Callable[..., Any]


@dataclass(frozen=True)
class Arithmetic:
    """A function twice: for floats, and for numpy arrays of one shape (or floats among them)."""

    one: Call
    many: Call


def _finite(number: float) -> float:
    return number if math.isfinite(number) else NAN


def _guarded(function: Call) -> Call:
    """The function, with NaN for what it refuses."""

    def call(*numbers: float) -> float:
        try:
            return _finite(float(function(*numbers)))
        except (ValueError, OverflowError, ZeroDivisionError):
            return NAN

    return call


def _silent(function: Call) -> Call:
    """The array function without numpy's warnings; infinite results become NaN."""

    def call(*arrays: Any) -> Any:
        with np.errstate(all="ignore"):
            result = np.asarray(function(*arrays), dtype=float)
        return np.where(np.isfinite(result), result, NAN)

    return call


def _pair(one: Call, many: Call) -> Arithmetic:
    return Arithmetic(_guarded(one), _silent(many))


def divide(a: float, b: float) -> float:
    """a / b, NaN by zero and where the quotient is beyond all numbers."""
    return _finite(a / b) if b else NAN


def _power(base: float, exponent: float) -> float:
    result = base**exponent
    return result if isinstance(result, float) else NAN  # a complex root is no answer


def _least(*numbers: float) -> float:
    return NAN if any(map(math.isnan, numbers)) else min(numbers)


def _most(*numbers: float) -> float:
    return NAN if any(map(math.isnan, numbers)) else max(numbers)


def _half_up(number: float, decimals: float = 0.0) -> float:
    scale: float = 10.0**decimals
    return math.floor(number * scale + 0.5) / scale


def _half_up_many(numbers: Any, decimals: float = 0.0) -> Any:
    scale = 10.0**decimals
    return np.floor(np.multiply(numbers, scale) + 0.5) / scale


def _choose(test: Any, then: Any, otherwise: Any) -> Any:
    return np.where(test, then, otherwise)


DIVIDE = Arithmetic(divide, _silent(np.divide))
POWER = _pair(_power, np.float_power)
CHOOSE = _choose
BOTH, EITHER, NOT = np.logical_and, np.logical_or, np.logical_not

ABS = Arithmetic(abs, np.abs)
LEAST = Arithmetic(_least, lambda *arrays: reduce(np.minimum, arrays))
MOST = Arithmetic(_most, lambda *arrays: reduce(np.maximum, arrays))
ROUND = _pair(_half_up, _half_up_many)
FLOOR = _pair(math.floor, np.floor)
CEIL = _pair(math.ceil, np.ceil)
SQRT = _pair(math.sqrt, np.sqrt)
EXP = _pair(math.exp, np.exp)
LOG = _pair(math.log, np.log)
SIN = _pair(math.sin, np.sin)
COS = _pair(math.cos, np.cos)
TAN = _pair(math.tan, np.tan)
ASIN = _pair(math.asin, np.arcsin)
ACOS = _pair(math.acos, np.arccos)
ATAN = _pair(math.atan, np.arctan)
HYPOT = _pair(math.hypot, np.hypot)
RADIANS = Arithmetic(lambda number: number, lambda array: array)


def one_by_one(function: Call) -> Arithmetic:
    """A published function in both forms: whole arrays at once, and where some are out of range, one by one.

    The solver refuses a whole array for one bad number; here that number alone becomes NaN.
    """
    one = _guarded(function)

    def many(*arrays: Any) -> Any:
        try:
            return _silent(function)(*arrays)
        except ValueError:
            rows = np.broadcast(*arrays)
            return np.fromiter((one(*row) for row in rows), float, rows.size).reshape(rows.shape)

    return Arithmetic(one, many)
