"""The bank: every question of a folder with its skills and glossary; all faults of all files at once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from importlib.resources import files
from pathlib import Path
from typing import Protocol, TypeVar

from trainer.documents import DocumentError, Fault, Faults, Place
from trainer.language.prose import Prose
from trainer.language.question_files import load_question
from trainer.language.questions import Question, Words, words_of
from trainer.language.skills import Skill, Term, Topic, load_glossary, load_skills

SKILLS_FILE, GLOSSARY_FILE = "skills.yaml", "glossary.yaml"
SCHEMES_FOLDER = "schemes"  # beside the topics; trainer.exams reads it
Loaded = TypeVar("Loaded")

__all__ = ["Bank", "content_folder", "load_bank", "load_question"]


class Older(Protocol):
    """Questions as they once read, by fingerprint."""

    def get(self, fingerprint: str, /) -> Question | None:
        """The question, or None."""


@dataclass(frozen=True)
class Bank:
    """Questions by id, in the order of their files; topics with their skills in the order people meet them.

    older: by fingerprint, questions as they read when they were asked
    """

    by_id: Mapping[str, Question]
    topics: tuple[Topic, ...]
    glossary: Mapping[str, Term]
    older: Older = field(default_factory=dict[str, Question])

    def question(self, id_: str) -> Question:
        """The question of this id. Raises KeyError."""
        return self.by_id[id_]

    def find(self, id_: str, fingerprint: str = "") -> Question | None:
        """The question of this id, as it read with this fingerprint where that is kept; or None."""
        today = self.by_id.get(id_)
        if not fingerprint or (today is not None and today.fingerprint == fingerprint):
            return today
        return self.older.get(fingerprint) or today

    def skill(self, id_: str) -> Skill:
        """The skill of this id. Raises KeyError."""
        return self.skills[id_]

    def of_skill(self, id_: str) -> tuple[Question, ...]:
        """The questions of a skill, easiest first; none for a skill that has none."""
        return self.by_skill.get(id_, ())

    @cached_property
    def skills(self) -> Mapping[str, Skill]:
        """Skills by id, in order."""
        return {skill.id: skill for topic in self.topics for skill in topic.skills}

    @cached_property
    def by_skill(self) -> Mapping[str, tuple[Question, ...]]:
        """The questions of each skill, easiest first; a skill without questions has none."""
        found: dict[str, list[Question]] = {skill: [] for skill in self.skills}
        for question in sorted(self.by_id.values(), key=lambda one: (one.level, one.id)):
            found.setdefault(question.skill, []).append(question)
        return {skill: tuple(questions) for skill, questions in found.items()}


def content_folder() -> Path:
    """The folder that holds `questions` and `lessons`: the wheel's own copy, or the top of the source tree."""
    package = Path(str(files("trainer")))
    inside = package / "content"
    return inside if inside.is_dir() else package.parent


def load_bank(folder: Path | None = None) -> Bank:
    """The bank of a questions folder (the built-in one when none is given).

    Raises DocumentError with the faults of all files; a file's name in a fault is relative to the folder's parent.
    """
    faults = Faults()
    bank = load_readable(folder or content_folder() / "questions", faults)
    faults.raise_if_any()
    return bank


def load_readable(folder: Path, faults: Faults) -> Bank:
    """The bank of what can be read in a questions folder; every fault of all files is noted."""
    topics = _read(folder / SKILLS_FILE, load_skills, faults, folder) or ()
    glossary = _read(folder / GLOSSARY_FILE, load_glossary, faults, folder) or {}
    by_id: dict[str, Question] = {}
    for path in sorted(path for path in folder.glob("*/*.yaml") if path.parent.name != SCHEMES_FOLDER):
        question = _read(path, load_question, faults, folder)
        if question is not None:
            _check_home(question, path, by_id, faults)
            by_id.setdefault(question.id, question)
    bank = Bank(by_id, topics, glossary)
    if topics and glossary:
        faults.extend(strangers(bank))
    faults.extend(fault for one in by_id.values() for fault in missing_photos(one, ()))
    return bank


def _read(path: Path, load: Callable[[str, str], Loaded], faults: Faults, folder: Path) -> Loaded | None:
    """What a file holds; a file that cannot be read is a fault too."""
    name = path.relative_to(folder.parent).as_posix()
    try:
        return load(path.read_text(encoding="utf-8"), name)
    except DocumentError as error:
        faults.extend(error.faults)
    except FileNotFoundError:
        faults.add(Place(name, 1, 1), "There is no such file.", "Add it.")
    except (OSError, UnicodeDecodeError):
        faults.add(Place(name, 1, 1), "The file cannot be read as UTF-8 text.", "Save it as UTF-8.")
    return None


def _check_home(question: Question, path: Path, known: Mapping[str, Question], faults: Faults) -> None:
    start = Place(question.file, 1, 1)
    home = f"{path.parent.name}.{path.stem}"
    if question.id != home:
        faults.add(start, "The file's place does not fit its id.", f"Name it `{home}`.", f"`{question.id}`")
    if question.id in known:
        wrong = f"This id stands already in {known[question.id].file}."
        faults.add(start, wrong, "Choose another.", f"`{question.id}`")


def strangers(bank: Bank) -> Iterable[Fault]:
    """Skills and terms that questions name and nobody has written."""
    for question in bank.by_id.values():
        start = Place(question.file, 1, 1)
        if question.skill not in bank.skills:
            mend = f"Use one of {SKILLS_FILE}, or add it there."
            yield Fault(start, f"`{question.skill}`", "There is no such skill.", mend)
        for term in sorted(_terms(words_of(question)) - set(bank.glossary)):
            mend = f"Add it to {GLOSSARY_FILE}, or take the link out."
            yield Fault(start, f"`term:{term}`", "The glossary has no such term.", mend)


def missing_photos(question: Question, there: Collection[str]) -> Iterable[Fault]:
    """The photo that a question names and that is not among those which are there, by their SHA-256."""
    if question.photo is not None and question.photo.sha256 not in there:
        mend = "Put it in on the page of a site's own question, or lay it beside the file under this name and `.jpg`."
        yield Fault(question.photo.place, f"`{question.photo.sha256}`", "There is no such photo.", mend)


def _terms(words: Iterable[Words]) -> set[str]:
    proses: Iterable[Prose] = (prose for one in words for prose in one.values())
    return {term for prose in proses for term in prose.terms}
