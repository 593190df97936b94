"""One sentence in both languages; `{names}` in it are filled from the facts."""

from typing import NamedTuple


class Sentence(NamedTuple):
    """English and Spanish, side by side."""

    en: str
    es: str

    def say(self, language: str, /, **facts: object) -> str:
        """The sentence in the language, with its facts filled in."""
        return (self.es if language == "es" else self.en).format(**facts)
