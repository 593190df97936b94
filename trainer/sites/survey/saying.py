"""A finding in words: what is wrong and how to mend it, in the reader's language and units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.quantities.dimensions import Language, System
from trainer.quantities.units import partner
from trainer.quantities.writing import write_quantity
from trainer.sites.said import Said
from trainer.sites.survey.results import Amount, Finding
from trainer.sites.survey.sentences import FINDINGS, MENDS

_FIGURES = 3
_WHOLE_FROM = 100  # from here up a number is told whole


@dataclass(frozen=True)
class FindingSaid:
    """What is wrong, and each way to mend it, as whole sentences."""

    what: str
    mends: tuple[str, ...]


def say(finding: Finding, language: Language, system: System) -> FindingSaid:
    """A finding in words."""
    facts = {"found": finding.found, "limit": finding.limit, **finding.numbers}
    names = {name: text.in_(language) for name, text in finding.names.items()}

    def filled(text: Said, numbers: Mapping[str, Amount]) -> str:
        return text.in_(language).format(**_written(numbers, language, system), **names)

    return FindingSaid(
        what=filled(FINDINGS[finding.key], facts),
        mends=tuple(filled(MENDS[one.key], {**facts, **one.numbers}) for one in finding.mends),
    )


def _written(numbers: Mapping[str, Amount], language: Language, system: System) -> dict[str, str]:
    return {name: write(one, language, system) for name, one in numbers.items()}


def write(one: Amount, language: Language, system: System) -> str:
    """An amount to as many figures as people set."""
    shown = partner(one.unit, system)
    number = one.value / shown.factor
    rounded = round(number) if abs(number) >= _WHOLE_FROM else float(f"{number:.{_FIGURES}g}")
    return write_quantity(rounded * shown.factor, shown, language)
