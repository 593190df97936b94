"""What a number of the solver is, and how an input that cannot be used is refused.

Every `require_...` returns what it has checked, as an array of floats.
"""

from typing import SupportsFloat

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Numbers = float | Floats
Flags = bool | np.bool_ | npt.NDArray[np.bool_]


class Told(str):
    """What an input was, in words of our own: a refusal says them as they are and quotes what people wrote."""


class BadInput(ValueError):  # noqa: N818 - reads as the sentence it says
    """An input that the solver cannot use: its name, what it was, what is allowed."""

    def __init__(self, name: str, was: object, allowed: str) -> None:
        super().__init__(f"{name} is {_said(was)}; it must be {allowed}")
        self.name, self.was, self.allowed = name, was, allowed


def _said(was: object) -> str:
    if isinstance(was, Told):
        return str(was)
    return f"{float(was):g}" if isinstance(was, SupportsFloat) else repr(was)


def shape_of(value: Floats) -> Told:
    """What an array of the wrong shape is called in a refusal."""
    return Told(f"an array of shape {list(value.shape)}")


def as_floats(name: str, value: object) -> Floats:
    """The value as an array of floats; BadInput where it is no number at all."""
    try:
        return np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise BadInput(name, value, "a number") from None


def alike(*values: Numbers) -> list[Floats]:
    """The values, each with the shape to which all of them broadcast."""
    return [one[()] for one in np.broadcast_arrays(*values)]


def require(name: str, value: object, good: object, allowed: str) -> Floats:
    """The value as floats; refuse the first that is not good. NaN is never good, because it compares as false."""
    given = as_floats(name, value)
    values, fine = np.broadcast_arrays(given, np.asarray(good, dtype=np.bool_))
    if not fine.all():
        raise BadInput(name, float(values[~fine][0]), allowed)
    return given


def require_finite(name: str, value: object) -> Floats:
    """Refuse NaN and infinity."""
    values = as_floats(name, value)
    return require(name, values, np.isfinite(values), "finite")


def require_above_zero(name: str, value: object, unit: str = "") -> Floats:
    """Refuse what is not finite and above 0."""
    values = as_floats(name, value)
    return require(name, values, np.isfinite(values) & (values > 0), f"finite and above 0 {unit}".rstrip())


def require_from_zero(name: str, value: object, unit: str = "") -> Floats:
    """Refuse what is not finite and 0 or more."""
    values = as_floats(name, value)
    allowed = f"finite and 0 {unit} or more".replace("  ", " ")
    return require(name, values, np.isfinite(values) & (values >= 0), allowed)


def require_between(name: str, value: object, least: Numbers, most: Numbers, allowed: str) -> Floats:
    """Refuse what is not from least to most, both ends in."""
    values = as_floats(name, value)
    return require(name, values, (values >= least) & (values <= most), allowed)


def require_share(name: str, value: object) -> Floats:
    """Refuse what is not a share from 0 to 1."""
    return require_between(name, value, 0, 1, "from 0 to 1")


def require_part(name: str, value: object) -> Floats:
    """Refuse what is not a share from 0 to below 1."""
    values = as_floats(name, value)
    return require(name, values, (values >= 0) & (values < 1), "a share from 0 to below 1")


def require_above_one(name: str, value: object) -> Floats:
    """Refuse what is not finite and above 1."""
    values = as_floats(name, value)
    return require(name, values, np.isfinite(values) & (values > 1), "finite and above 1")


def require_whole(name: str, value: object, least: int = 1) -> Floats:
    """Refuse what is not a whole number from `least` up."""
    values = as_floats(name, value)
    good = np.isfinite(values) & (values >= least) & (values == np.round(values))
    return require(name, values, good, f"a whole number from {least}")


def require_acute(name: str, value: object) -> Floats:
    """Refuse what is not an angle above 0 and below a right angle [rad]."""
    values = as_floats(name, value)
    return require(name, values, (values > 0) & (values < np.pi / 2), "above 0 and below pi/2 rad")


def require_one_of(name: str, value: object, allowed: tuple[str, ...]) -> None:
    """Refuse a word that is not in the list."""
    if value not in allowed:
        raise BadInput(name, value, "one of " + ", ".join(allowed))
