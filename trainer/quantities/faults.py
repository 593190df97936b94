"""What cannot be read as a quantity: what was read, what is wrong, how to mend it, in both languages."""

from __future__ import annotations

from typing import NamedTuple

from trainer.quantities.dimensions import Language


class Said(NamedTuple):
    """One sentence in both languages."""

    en: str
    es: str

    def in_(self, language: Language) -> str:
        """The sentence in this language."""
        return self.es if language == "es" else self.en


class UnreadableQuantity(ValueError):  # noqa: N818 - the sentence `raise UnreadableQuantity` says it
    """A text that is no quantity; `wrong` and `mend` are in the reader's language, `sentence` in either."""

    def __init__(self, read: Said, wrong: Said, mend: Said, language: Language = "en") -> None:
        self.parts = (read, wrong, mend)
        self.read, self.wrong, self.mend = (part.in_(language) for part in self.parts)
        super().__init__(self.sentence(language))

    def sentence(self, language: Language) -> str:
        """The whole refusal, ready to show."""
        read, wrong, mend = (part.in_(language) for part in self.parts)
        opening = f"Leí eso como {read}." if language == "es" else f"I read that as {read}."
        return " ".join(part for part in (opening if read else "", wrong, mend) if part)
