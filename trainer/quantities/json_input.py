"""Inputs as JSON gives them: numbers, nested lists of numbers, structures; all else is refused by name."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime

import numpy as np

from trainer.solver.almanac import FIRST_YEAR, LAST_YEAR
from trainer.solver.beam import Piece
from trainer.solver.delays import DEMANDS, Demand
from trainer.solver.numbers import BadInput, Numbers
from trainer.solver.procedures import Step

DEEPEST = 8
LARGEST_ARRAY = 2_000_000
LONGEST_LIST = 10_000


def numbers(name: str, value: object) -> Numbers:
    """A number or a rectangular array of numbers, all finite. Raises BadInput."""
    if not isinstance(value, list):
        return number(name, value)
    shape = _allowed_shape(name, value)
    flat = [number(name, one, "finite numbers") for one in _leaves(value)]
    return np.array(flat, dtype=np.float64).reshape(shape)


def moments(name: str, value: object) -> Numbers:
    """A moment as ISO 8601 text, or a rectangular array of them [s since 1970]. Raises BadInput."""
    given = value.tolist() if isinstance(value, np.ndarray) else value
    if not isinstance(given, list):
        return _moment(name, given)
    shape = _allowed_shape(name, given)
    return np.array([_moment(name, one) for one in _leaves(given)], dtype=np.float64).reshape(shape)


def number(name: str, value: object, allowed: str = "a finite number") -> float:
    """One finite number; true and false are none. Raises BadInput."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise BadInput(name, _Shown(value), allowed)
    try:
        found = float(value)
    except OverflowError:
        found = math.inf
    if not math.isfinite(found):
        raise BadInput(name, found, allowed)
    return found


def point(name: str, value: object) -> list[float]:
    """Three finite numbers [x, y, z]. Raises BadInput."""
    return _row(name, value, 3, "three numbers [x, y, z] in m")


def spans(name: str, value: object) -> list[list[float]]:
    """A list of [on, off] pairs. Raises BadInput."""
    allowed = "a list of [on, off] pairs in s"
    return [_row(name, row, 2, allowed) for row in _list(name, value, allowed)]


def pieces(name: str, value: object) -> list[Piece]:
    """A list of {profile, from_y, to_y}. Raises BadInput."""
    allowed = "a list of {profile: [[x, z], …], from_y, to_y}"
    return [_piece(name, one, allowed) for one in _list(name, value, allowed)]


def steps(name: str, value: object) -> list[Step]:
    """A list of {act, source?, person?}. Raises BadInput."""
    allowed = "a list of {act, source?, person?} with texts"
    return [_step(name, one, allowed) for one in _list(name, value, allowed)]


def demands(name: str, value: object) -> list[Demand]:
    """A list of {kind, amount, name?}. Raises BadInput."""
    allowed = "a list of {kind, amount, name?}"
    return [_demand(name, one, allowed) for one in _list(name, value, allowed)]


def texts(name: str, value: object) -> list[str]:
    """A list of texts. Raises BadInput."""
    allowed = "a list of texts"
    return [_text(name, one, allowed) for one in _list(name, value, allowed)]


class _Shown:
    """A value that shows itself as JSON would, in one short line, and is no number to anybody."""

    def __init__(self, value: object) -> None:
        self.value = value

    def __repr__(self) -> str:
        if self.value is None or isinstance(self.value, bool):
            return {None: "null", True: "true", False: "false"}[self.value]
        if isinstance(self.value, list):
            return f"a list of {len(self.value)}"
        if isinstance(self.value, dict):
            return "an object"
        return repr(self.value)[:60]


def _shape(name: str, value: list[object], deepest: int) -> tuple[int, ...]:
    if deepest == 0:
        raise BadInput(name, _Shown(value), f"an array of at most {DEEPEST} axes")
    inner = {_shape(name, one, deepest - 1) if isinstance(one, list) else () for one in value}
    if len(inner) > 1:
        raise BadInput(name, _Shown(value), "an array with rows of one length")
    return (len(value), *(inner.pop() if inner else ()))


def _allowed_shape(name: str, value: list[object]) -> tuple[int, ...]:
    shape = _shape(name, value, DEEPEST)
    if math.prod(shape) > LARGEST_ARRAY:
        raise BadInput(name, f"{math.prod(shape)} numbers", f"at most {LARGEST_ARRAY} numbers")
    return shape


def _leaves(value: list[object]) -> Iterator[object]:
    for one in value:
        if isinstance(one, list):
            yield from _leaves(one)
        else:
            yield one


def _moment(name: str, value: object) -> float:
    """One moment; a text without an offset is in UTC, one without a time is midnight."""
    allowed = "a moment in ISO 8601, such as 2026-06-21T18:30:00Z"
    if not isinstance(value, str):
        raise BadInput(name, _Shown(value), allowed)
    try:
        found = datetime.fromisoformat(value)
    except ValueError:
        raise BadInput(name, _Shown(value), allowed) from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise BadInput(name, _Shown(value), f"{allowed}, of the years {FIRST_YEAR} to {LAST_YEAR}")
    return (found if found.tzinfo else found.replace(tzinfo=UTC)).timestamp()


def _list(name: str, value: object, allowed: str) -> list[object]:
    if not isinstance(value, list):
        raise BadInput(name, _Shown(value), allowed)
    if len(value) > LONGEST_LIST:
        raise BadInput(name, _Shown(value), f"{allowed}, at most {LONGEST_LIST}")
    return value


def _text(name: str, value: object, allowed: str) -> str:
    if not isinstance(value, str):
        raise BadInput(name, _Shown(value), allowed)
    return value


def _row(name: str, value: object, length: int, allowed: str) -> list[float]:
    if not isinstance(value, list) or len(value) != length:
        raise BadInput(name, _Shown(value), allowed)
    return [number(name, one, allowed) for one in value]


def _piece(name: str, value: object, allowed: str) -> Piece:
    if not isinstance(value, dict) or set(value) != {"profile", "from_y", "to_y"}:
        raise BadInput(name, _Shown(value), allowed)
    corners = [
        _row("profile", row, 2, "corners [x, z] in m") for row in _list("profile", value["profile"], allowed)
    ]
    return Piece(
        profile=tuple((x, z) for x, z in corners),
        from_y=number("from_y", value["from_y"]),
        to_y=number("to_y", value["to_y"]),
    )


def _step(name: str, value: object, allowed: str) -> Step:
    if not isinstance(value, dict) or not {"act"} <= set(value) <= {"act", "source", "person"}:
        raise BadInput(name, _Shown(value), allowed)
    for key, one in value.items():
        if not isinstance(one, str) and (key == "act" or one is not None):
            raise BadInput(key, _Shown(one), "a text")
    return Step(act=value["act"], source=value.get("source"), person=value.get("person"))


def _demand(name: str, value: object, allowed: str) -> Demand:
    if not isinstance(value, dict) or not {"kind", "amount"} <= set(value) <= {"kind", "amount", "name"}:
        raise BadInput(name, _Shown(value), allowed)
    return Demand(
        kind=_text("kind", value["kind"], f"one of {', '.join(DEMANDS)}"),
        amount=number("amount", value["amount"]),
        name=_text("name", value.get("name", ""), "a text"),
    )


def shown(value: object) -> str:
    """A JSON value in one short line."""
    return repr(_Shown(value))


def rectangular(shapes: Sequence[tuple[int, ...]]) -> tuple[int, ...] | None:
    """The shape that these broadcast to; None when they do not, or to more than the largest array."""
    try:
        shape = np.broadcast_shapes(*shapes)
    except ValueError:
        return None
    return shape if math.prod(shape) <= LARGEST_ARRAY else None
