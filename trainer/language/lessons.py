"""Lessons: front matter and Markdown with numbers of the site in it, cut into blocks of text and figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trainer.documents import DocumentError, Fault, Faults, Place
from trainer.language.lesson_files import BenchUse, Page, read_page
from trainer.language.loading import Bank, content_folder
from trainer.language.names import LANGUAGES
from trainer.language.questions import FigureUse, SignalWord
from trainer.language.rendering import FigureRequest, ShownCaution, figure_request
from trainer.language.worked_numbers import site_numbers, work_out
from trainer.quantities.dimensions import Language, System


@dataclass(frozen=True)
class Lesson:
    """One lesson: the same page in each language."""

    id: str
    topic: str
    skills: tuple[str, ...]
    minutes: int
    pages: Mapping[Language, Page]

    def title(self, language: Language) -> str:
        """Its title in this language."""
        return self.pages[language].title


@dataclass(frozen=True)
class Lessons:
    """Lessons by id, in the order of their topic and of the skills that they teach where a bank gave it."""

    by_id: Mapping[str, Lesson]

    def of_skill(self, skill: str) -> tuple[Lesson, ...]:
        """The lessons that teach a skill."""
        return tuple(lesson for lesson in self.by_id.values() if skill in lesson.skills)

    def find(self, id_: str) -> Lesson | None:
        """The lesson of this id, or None."""
        return self.by_id.get(id_)


@dataclass(frozen=True)
class TextBlock:
    """A stretch of a lesson's text as clean HTML."""

    html: str


Block = TextBlock | FigureRequest | BenchUse


@dataclass(frozen=True)
class ShownLesson:
    """A lesson as shown with one site's numbers; texts are clean HTML, title and purpose plain text.

    task: what to look at or measure on one's own bay; it stands in no block
    """

    id: str
    title: str
    purpose: str
    minutes: int
    caution: ShownCaution | None
    blocks: tuple[Block, ...]
    task: str


def load_lessons(folder: Path | None = None, bank: Bank | None = None) -> Lessons:
    """Every lesson of a folder with one sub-folder a language (the built-in one when none is given).

    bank: when given, skills and glossary terms are checked against it and lessons stand in its order
    Raises DocumentError with the faults of all files.
    """
    faults = Faults()
    lessons = load_readable_lessons(folder or content_folder() / "lessons", bank, faults)
    faults.raise_if_any()
    return lessons


def load_readable_lessons(folder: Path, bank: Bank | None, faults: Faults) -> Lessons:
    """The lessons that can be read in a folder; every fault of all files is noted."""
    names = sorted({path.name for language in LANGUAGES for path in (folder / language).glob("*.md")})
    found = [_lesson(name, folder, faults) for name in names]
    lessons = [lesson for lesson in found if lesson is not None]
    if bank is not None:
        for lesson in lessons:
            faults.extend(_strangers(lesson, bank))
        lessons.sort(key=lambda lesson: _rank(lesson, bank))
    return Lessons({lesson.id: lesson for lesson in lessons})


def show_lesson(
    lesson: Lesson, site_values: Mapping[str, float], language: Language, system: System
) -> ShownLesson:
    """The lesson with one site's numbers, in one language and unit system.

    site_values: from `site_values(sheet)` [SI]; a number that the sheet lacks is shown as a dash.
    """
    page = lesson.pages[language]
    values = site_numbers(page.numbers, site_values, system)
    work_out(page.numbers, values, system)
    blocks: list[Block] = []
    for block in page.blocks:
        if isinstance(block, FigureUse):
            blocks.append(_figure(block, values, language, system))
        elif isinstance(block, BenchUse):
            blocks.append(block)
        else:
            blocks.append(TextBlock(block.html(values, language, system)))
    caution = None
    if page.caution is not None:
        word, text = page.caution
        caution = ShownCaution(word, text.html(values, language, system))
    task = page.task.html(values, language, system)
    return ShownLesson(lesson.id, page.title, page.purpose, lesson.minutes, caution, tuple(blocks), task)


def _figure(use: FigureUse, values: Mapping[str, float], language: Language, system: System) -> FigureRequest:
    request = figure_request(use, values, language, system)
    assert request is not None
    return request


def _lesson(name: str, folder: Path, faults: Faults) -> Lesson | None:
    """The pages of one lesson; both languages must stand and agree."""
    pages: dict[Language, Page] = {}
    for language in LANGUAGES:
        path = folder / language / name
        shown = path.relative_to(folder.parent).as_posix()
        try:
            pages[language] = read_page(path.read_text(encoding="utf-8"), shown)
        except DocumentError as error:
            faults.extend(error.faults)
        except FileNotFoundError:
            faults.add(Place(shown, 1, 1), "This lesson is missing in this language.", "Write it.")
        except (OSError, UnicodeDecodeError):
            faults.add(Place(shown, 1, 1), "The file cannot be read as UTF-8 text.", "Save it as UTF-8.")
    if len(pages) < len(LANGUAGES):
        return None
    one = pages["en"]
    faults.extend(_disagreements(pages, name))
    return Lesson(one.id, one.topic, one.skills, one.minutes, pages)


def _disagreements(pages: Mapping[Language, Page], name: str) -> list[Fault]:
    """What the two languages of a lesson do not share, and a name that does not fit the id."""
    one, other = pages["en"], pages["es"]
    start = Place(other.file, 1, 1)
    pairs = {
        "id": (one.id, other.id),
        "topic": (one.topic, other.topic),
        "skills": (one.skills, other.skills),
        "minutes": (one.minutes, other.minutes),
        "signal word": (one.caution and one.caution[0], other.caution and other.caution[0]),
        "figures": (one.figures, other.figures),
        "numbers": (one.marks, other.marks),
    }
    wrong = [what for what, (left, right) in pairs.items() if left != right]
    faults = [
        Fault(start, "", f"The {what} of the two languages differ.", "Make them the same.") for what in wrong
    ]
    if f"{one.id}.md" != name:
        faults.append(
            Fault(
                Place(one.file, 1, 1),
                f"`{one.id}`",
                "The file's name is not its id.",
                f"Name it {one.id}.md.",
            )
        )
    return faults


def _strangers(lesson: Lesson, bank: Bank) -> list[Fault]:
    """Topics, skills and terms that nobody has written."""
    found = []
    topics = {topic.id for topic in bank.topics}
    for page in lesson.pages.values():
        start = Place(page.file, 1, 1)
        if lesson.topic not in topics:
            found.append(
                Fault(start, f"`{lesson.topic}`", "There is no such topic.", "Use one of skills.yaml.")
            )
        for skill in lesson.skills:
            if skill not in bank.skills:
                found.append(Fault(start, f"`{skill}`", "There is no such skill.", "Use one of skills.yaml."))
        for term in sorted(page.terms - set(bank.glossary)):
            wrong = "The glossary has no such term."
            found.append(
                Fault(start, f"`term:{term}`", wrong, "Add it to glossary.yaml, or take the link out.")
            )
    return found


def _rank(lesson: Lesson, bank: Bank) -> tuple[int, str]:
    order = {skill: at for at, skill in enumerate(bank.skills)}
    return min((order.get(skill, len(order)) for skill in lesson.skills), default=len(order)), lesson.id


__all__ = ["Lesson", "Lessons", "ShownLesson", "SignalWord", "TextBlock", "load_lessons", "show_lesson"]
