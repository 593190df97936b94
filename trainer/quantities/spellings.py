"""Spellings: every way a unit is written in English and Spanish, and finding the unit of what was typed."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import cache

from trainer.quantities.units import UNITS, Unit

# mΩ typed for MΩ, or MV for mV, is wrong by a factor of a thousand million: these are read only as written.
_CASE_MATTERS = {"Mohm", "mV"}
_NOT_WRITTEN = {"1", "ft in", "ft in 1/16"}


def find_unit(written: str) -> Unit | None:
    """The unit of a key, symbol, word or other spelling in either language; None when there is none."""
    exact, loose = _spellings()
    tidy = fold(written)
    return exact.get(tidy) or loose.get(tidy.lower())


def fold(written: str) -> str:
    """A spelling without accents, raised digits and doubled spaces, so that typed words meet ours."""
    apart = unicodedata.normalize("NFKD", written)
    return " ".join("".join(c for c in apart if not unicodedata.combining(c)).split())


@cache
def _spellings() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Spelling to unit: as written, and in lower case where no other unit shares the lower case."""
    exact: dict[str, Unit] = {}
    for one in UNITS.values():
        for spelling in spellings(one):
            exact.setdefault(fold(spelling), one)
    loose: dict[str, Unit | None] = {}
    for spelling, one in exact.items():
        low = spelling.lower()
        loose[low] = one if loose.get(low, one) == one else None
    return exact, {low: one for low, one in loose.items() if one is not None and one.key not in _CASE_MATTERS}


def spellings(one: Unit) -> Iterable[str]:
    """Every way this unit is read, in both languages."""
    if one.key in _NOT_WRITTEN:
        return ()
    own = [one.key, *one.also]
    for names in (one.en, one.es):
        own += [names.symbol, names.symbol_one, names.one, names.many]
    above, slash, below = one.key.partition("/")
    if slash and below in UNITS:
        tops, bottoms = list(spellings(UNITS[above])), list(spellings(UNITS[below]))
        own += [
            f"{top}{per}{bottom}"
            for top in tops
            for per in ("/", " / ", " per ", " por ")
            for bottom in bottoms
        ]
    return [spelling for spelling in own if spelling]
