"""Rules for lessons: length, a worked example, the last section, and Markdown that says nothing twice."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.language.lesson_files import Page
from trainer.language.lessons import Lesson

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


def _page(page: Page, language: str) -> Iterator[str]:
    if not FEWEST_WORDS <= page.words <= MOST_WORDS:
        yield f"It has {page.words} words; a lesson has {FEWEST_WORDS} to {MOST_WORDS}."
    if not page.headings or page.headings[-1] != OWN_BAY[language]:
        yield f"The last section must be `## {OWN_BAY[language]}`."
    if WORKED[language] not in page.headings:
        yield f"There is no section `## {WORKED[language]}`."
    for name in page.numbers.unused:
        yield f"`{name}` is named and never used."
