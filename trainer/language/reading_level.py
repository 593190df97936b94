"""How hard a lesson reads: Flesch-Kincaid's grade for English, Szigriszt-Pazos' ease for Spanish.

What is read is the sentences of the text, the task and the caution, without headings, tables, captions and lines of
arithmetic. A number with its unit is one word of its sentence and counts in no syllable, for it is read as digits.
Words of the trade count in full, though the glossary explains them: what is hard is hard the first time.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from trainer.language.lesson_files import Page
from trainer.language.prose import Prose, plain_text
from trainer.language.syllables import syllables
from trainer.quantities.dimensions import Language

HARDEST_GRADE = 8.0
LEAST_EASE = 65.0  # where "fairly easy" begins on the scale INFLESZ, Barrio-Cantalejo et al. 2008

_NO_SENTENCES = re.compile(r"<(h[2-4]|table|pre)\b.*?</\1>", re.DOTALL)
_END_OF_BLOCK = re.compile(r"</(?:p|li|blockquote)>|<[uo]l\b[^>]*>")
_END_OF_SENTENCE = re.compile(r"(?<=[.!?])[\"'”»)]*\s+|\n\n")
_TOKEN = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*|\d[\w.,/]*")


@dataclass(frozen=True)
class Reading:
    """Counts of a text; `numbers` are words too, and have no syllables here."""

    sentences: int
    words: int
    numbers: int
    syllables: int

    @property
    def length(self) -> float:
        """Words and numbers a sentence; 0 for no sentence."""
        return (self.words + self.numbers) / max(1, self.sentences)

    @property
    def weight(self) -> float:
        """Syllables a word; 0 for no word."""
        return self.syllables / max(1, self.words)


def grade(reading: Reading) -> float:
    """The school grade in the US at which an English text is read.

    Source: Kincaid, Fishburne, Rogers and Chissom, Navy RBR 8-75, 1975, its formula as printed in many places:
    0.39 words a sentence + 11.8 syllables a word − 15.59.
    """
    return 0.39 * reading.length + 11.8 * reading.weight - 15.59


def ease(reading: Reading) -> float:
    """How easily a Spanish text is read, most texts between 0 and 100.

    Source: Szigriszt-Pazos 1993, as given by legible.es: 206.835 − 62.3 syllables a word − words a sentence.
    On the scale INFLESZ (Barrio-Cantalejo et al., An Sist Sanit Navar 31(2), 2008) 65 to 80 is fairly easy.
    """
    return 206.835 - 62.3 * reading.weight - reading.length


def level(page: Page, language: Language) -> float:
    """A page's grade (English) or ease (Spanish)."""
    counted = count("\n\n".join(map(_words_of, page.proses)), language)
    return grade(counted) if language == "en" else ease(counted)


def count(text: str, language: Language) -> Reading:
    """The counts of a plain text whose paragraphs stand a line apart."""
    sentences = list(_sentences(text))
    words = [token for one in sentences for token in one if not token[0].isdigit()]
    return Reading(
        sentences=len(sentences),
        words=len(words),
        numbers=sum(map(len, sentences)) - len(words),
        syllables=sum(syllables(word, language) for word in words),
    )


def _sentences(text: str) -> Iterator[list[str]]:
    """Words and numbers of each sentence; where numbers are not outnumbered it is arithmetic."""
    for piece in _END_OF_SENTENCE.split(text):
        tokens = _TOKEN.findall(piece)
        if sum(token[0].isdigit() for token in tokens) * 2 < len(tokens):
            yield tokens


def _words_of(prose: Prose) -> str:
    """The plain words of a prose, its blocks a line apart, a digit for each number worked out."""
    html = "".join(part if isinstance(part, str) else "0" for part in prose.parts)
    return plain_text(_END_OF_BLOCK.sub("\n\n", _NO_SENTENCES.sub("\n\n", html)))
