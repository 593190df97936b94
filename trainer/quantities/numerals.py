"""Numbers as people write them: decimal comma or point, groups of three, fractions, signs of every font."""

from __future__ import annotations

import re
import unicodedata

from trainer.quantities.dimensions import Language

_APOSTROPHES = "‘’‛′´`ʹʼ＇"
_QUOTES = "“”„‟″ʺ〃＂"
_MINUSES = "−–—‒‐‑﹣－"
_SIGNS = str.maketrans(
    {
        **dict.fromkeys(_APOSTROPHES, "'"),
        **dict.fromkeys(_QUOTES, '"'),
        **dict.fromkeys(_MINUSES, "-"),
        "º": "°",
        "˚": "°",
        "⁄": "/",
        "∕": "/",
        "÷": "/",
        "×": "x",
    }
)

NUMBER = re.compile(
    r"""(?P<whole>[0-9]{1,9})[ -]+(?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4})(?![0-9])  # 16 1/2, 16-1/2
    | (?P<over>[0-9]{1,9})/(?P<under>[0-9]{1,9})(?![0-9])                             # 3/8
    | (?P<spaced>[0-9]{1,3}(?:\ [0-9]{3})+(?:[.,][0-9]+)?)(?![0-9/])                  # 1 200
    | (?P<decimal>(?:[0-9][0-9.,]*|[.,][0-9]+)(?:[eE][+-]?[0-9]{1,3}(?![0-9]))?)      # 1,200.5  .5  2e-3
    """,
    re.VERBOSE,
)
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
_STRICT = re.compile(r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def tidy(text: str) -> str:
    """The text with one kind of minus, prime, fraction and space, so that reading meets few signs."""
    spread = "".join(f" {c}" if unicodedata.decomposition(c).startswith("<fraction>") else c for c in text)
    plain = unicodedata.normalize("NFKC", spread.translate(_SIGNS)).translate(_SIGNS)
    return " ".join(plain.replace("\u2044", "/").split())


def value_of(found: re.Match[str], language: Language) -> float | None:
    """The number of a match of NUMBER; None when its commas and points make no number."""
    if found["bottom"] is not None:
        return _ratio(found["top"], found["bottom"], float(found["whole"]))
    if found["under"] is not None:
        return _ratio(found["over"], found["under"], 0.0)
    if found["spaced"] is not None:
        return float(found["spaced"].replace(" ", "").replace(",", "."))
    return _decimal(found["decimal"], language)


def _ratio(top: str, bottom: str, whole: float) -> float | None:
    return whole + int(top) / int(bottom) if int(bottom) else None


def _decimal(written: str, language: Language) -> float | None:
    mantissa, mark, power = written.lower().partition("e")
    point, comma = mantissa.count("."), mantissa.count(",")
    if point and comma:
        plain = _both(mantissa)
    elif point + comma == 0:
        plain = mantissa
    else:
        plain = _one(mantissa, "." if point else ",", language)
    return float(plain + mark + power) if plain is not None and _STRICT.fullmatch(plain) else None


def _both(mantissa: str) -> str | None:
    """Comma and point together: the last one is the decimal mark, whatever the language."""
    cut = max(mantissa.rfind("."), mantissa.rfind(","))
    whole, rest = mantissa[:cut], mantissa[cut + 1 :]
    if not _GROUPED.fullmatch(whole) or mantissa[cut] in whole:
        return None
    return f"{re.sub('[.,]', '', whole)}.{rest}"


def _one(mantissa: str, mark: str, language: Language) -> str | None:
    """One kind of mark: the language's own decimal mark, or groups of three, or else plainly a decimal."""
    own = "," if language == "es" else "."
    if mark != own and _GROUPED.fullmatch(mantissa):
        return mantissa.replace(mark, "")
    if mantissa.count(mark) == 1:
        return mantissa.replace(mark, ".")
    return mantissa.replace(mark, "") if _GROUPED.fullmatch(mantissa) else None
