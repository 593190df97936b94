"""A calculation as people type it, turned into one as a file has it: `3 ft ÷ speed` into `(3 * foot) / speed`."""

from __future__ import annotations

import re

from trainer.language.functions import UNIT_KEYS
from trainer.quantities.spellings import find_unit

_SIGNS = str.maketrans({"×": "*", "·": "*", "÷": "/", "−": "-", "–": "-"})
_WORD = r"[A-Za-zÀ-ÿΩ°'\"]+"
_WITH_UNIT = re.compile(rf"(?<![\w.])(\d+(?:\.\d+)?)\s*({_WORD})(?:\s*/\s*({_WORD}))?(?![\w(])")
_CONSTANTS = {key: word for word, key in UNIT_KEYS.items()}


def typed_calculation(text: str) -> str:
    """The calculation with signs and units as a file has them; what is no unit stays as it is."""
    return _WITH_UNIT.sub(_times_unit, text.translate(_SIGNS).replace("^", "**"))


def _times_unit(found: re.Match[str]) -> str:
    number, above, below = found.groups()
    top, bottom = _constant(above), _constant(below or "")
    if top is None:
        return found[0]
    if below is None:
        return f"({number} * {top})"
    return f"({number} * {top} / {bottom})" if bottom else f"({number} * {top}) / {below}"


def _constant(word: str) -> str | None:
    """The constant of a unit word, `foot` for `ft`; None for any other word."""
    known = find_unit(word) if word else None
    return _CONSTANTS.get(known.key) if known else None
