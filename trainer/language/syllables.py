"""How many syllables a word has when it is said: English by rules of thumb, Spanish by its spelling.

Checked in the tests against the CMU Pronouncing Dictionary and against a library that divides Spanish words.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from trainer.quantities.dimensions import Language

_ENDING = re.compile(r"'(?:s|d|m|ll|re|ve)?$")
_SILENT_INSIDE = re.compile(
    r"(?<=[aeiouyr][bcdfgklmnprstvz])e(?=(?:ly|less|ful|ments?|where|things?|times?|body|one|ty|work|ways|most|ness)$)"
)
_VOWELS = re.compile(r"[aeiouy]+")
_SILENT_END = re.compile(
    r"(?:[^aeiouyl]|[aeiouyr]l)e$"  # gate, while; not table
    r"|(?:[^aeiouylsxzcg]|[aeiouyr]l)(?<!ch)(?<!sh)es$"  # gates; not washes
    r"|(?:[^aeiouytdl]|[aeiouyr]l+)ed$"  # cleaned; not mounted, not doubled
)
_SAID_APART = re.compile(
    r"(?<![tcs])i(?=a)|(?<![tscgx])i(?=on|ou)|i(?=o(?![nu]))|i(?=est$|er$|eth$)|[aeiouy](?=ing)"  # dial, union, period
    r"|(?<=[^q])u(?=a[tl]|ou)|e(?=o(?!u|ple|n$)|a$)|(?<=\w)[eo](?=y[eo])|(?<=[^aeiouy])(?=sm$)"  # actual, area
)
_SPANISH_SILENT = re.compile(r"(?<=q)u(?=[eiéí])|(?<=g)u(?=[eiéí])|h")
_SPANISH_VOWELS = re.compile(r"[aeiouáéíóúü]+(?:y(?![aeiouáéíóúü]))?|y(?![aeiouáéíóúü])")
_SPANISH_STRONG = re.compile(r"[aeoáéíóú]")


def _english(word: str) -> int:
    """Groups of vowels, less the silent ones, and more where two in a group are said apart."""
    word = _ENDING.sub("", word.replace("every", "evry"))
    if not _VOWELS.search(word):
        return len(word)  # spelled out: CFR
    word = _SILENT_INSIDE.sub("", word)
    groups = len(_VOWELS.findall(word))
    silent = groups > 1 and _SILENT_END.search(word) is not None
    return groups - silent + len(_SAID_APART.findall(word))


def _spanish(word: str) -> int:
    """One for each strong vowel; i and u beside one are said with it, and two of them together are one."""
    groups = _SPANISH_VOWELS.findall(_SPANISH_SILENT.sub("", word))
    if not groups:
        return len(word)
    return sum(max(1, len(_SPANISH_STRONG.findall(group))) for group in groups)


_COUNTS: Mapping[Language, Callable[[str], int]] = {"en": _english, "es": _spanish}


def syllables(word: str, language: Language) -> int:
    """The syllables of a word of letters; a hyphen parts it."""
    parts = word.lower().replace("’", "'").split("-")
    return sum(_COUNTS[language](part) for part in parts if part)
