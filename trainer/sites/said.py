"""A text in both languages, side by side."""

from __future__ import annotations

from typing import NamedTuple

from trainer.quantities.dimensions import Language


class Said(NamedTuple):
    """One text in both languages."""

    en: str
    es: str

    def in_(self, language: Language) -> str:
        """The text in this language."""
        return self.es if language == "es" else self.en
