"""A text in both languages."""

from __future__ import annotations

from typing import NamedTuple


class Text(NamedTuple):
    """One text in both languages."""

    en: str
    es: str

    def say(self, language: str) -> str:
        """The text in a language."""
        return self.es if language == "es" else self.en
