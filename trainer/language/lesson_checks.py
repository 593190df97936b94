"""Rules for lessons: length, how hard they read, a worked example, the last section, and no name without use."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.language.lesson_files import Page
from trainer.language.lessons import Lesson
from trainer.language.reading_level import HARDEST_GRADE, LEAST_EASE, level
from trainer.quantities.dimensions import Language

FEWEST_WORDS, MOST_WORDS = 400, 900
WORKED = {"en": "Worked example", "es": "Ejemplo resuelto"}
OWN_BAY = {"en": "On your own bay", "es": "En tu propia bahía"}


def check_lesson(lesson: Lesson) -> list[str]:
    """What is wrong with a lesson, as sentences."""
    return [
        f"{finding} ({language})"
        for language, page in lesson.pages.items()
        for finding in _page(page, language)
    ]


def _page(page: Page, language: Language) -> Iterator[str]:
    yield from _hard_to_read(page, language)
    if not FEWEST_WORDS <= page.words <= MOST_WORDS:
        yield f"It has {page.words} words; a lesson has {FEWEST_WORDS} to {MOST_WORDS}."
    if not page.headings or page.headings[-1] != OWN_BAY[language]:
        yield f"The last section must be `## {OWN_BAY[language]}`."
    if WORKED[language] not in page.headings:
        yield f"There is no section `## {WORKED[language]}`."
    for name in page.numbers.unused:
        yield f"`{name}` is named and never used."


def _hard_to_read(page: Page, language: Language) -> Iterator[str]:
    read = level(page, language)
    mend = "Divide long sentences and take shorter words."
    if language == "en" and read > HARDEST_GRADE:
        yield f"It reads at grade {read:.1f}; {HARDEST_GRADE:.0f} is the most. {mend}"
    if language == "es" and read < LEAST_EASE:
        yield f"It reads with an ease of {read:.0f} (Szigriszt-Pazos); {LEAST_EASE:.0f} is the least. {mend}"
