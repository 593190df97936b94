"""What is learned against where it is taught and how it is asked: complete both ways, or the gap is named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from trainer.exams.scheme import Scheme
from trainer.language.lessons import Lessons
from trainer.language.loading import Bank

Gap = Literal["no_lesson", "no_question", "no_skill", "asked_nowhere"]


@dataclass(frozen=True)
class Row:
    """One skill, the lessons that teach it, the families and fixed questions that ask it, the schemes that cover it."""

    skill: str
    lessons: tuple[str, ...]
    families: tuple[str, ...]
    fixed: tuple[str, ...]
    schemes: tuple[str, ...]

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """What the skill lacks."""
        stands: Mapping[Gap, bool] = {
            "no_lesson": not self.lessons,
            "no_question": not self.families and not self.fixed,
            "asked_nowhere": not self.schemes,
        }
        return tuple(gap for gap, holds in stands.items() if holds)


@dataclass(frozen=True)
class Orphan:
    """A lesson, a question or a scheme that names a skill which stands in no list of skills."""

    what: Literal["lesson", "question", "scheme"]
    name: str
    skill: str


@dataclass(frozen=True)
class Matrix:
    """Every skill with what belongs to it, and what belongs to no skill."""

    rows: tuple[Row, ...]
    orphans: tuple[Orphan, ...]

    @property
    def complete(self) -> bool:
        """Whether nothing is missing either way."""
        return not self.orphans and not any(row.gaps for row in self.rows)


def matrix(bank: Bank, lessons: Lessons, schemes: Sequence[Scheme]) -> Matrix:
    """The matrix of all content, skills in the order people meet them."""
    return Matrix(
        tuple(_row(skill, bank, lessons, schemes) for skill in bank.skills),
        tuple(_orphans(bank, lessons, schemes)),
    )


def _row(skill: str, bank: Bank, lessons: Lessons, schemes: Sequence[Scheme]) -> Row:
    asked = bank.of_skill(skill)
    return Row(
        skill=skill,
        lessons=tuple(one.id for one in lessons.of_skill(skill)),
        families=tuple(one.id for one in asked if one.is_family),
        fixed=tuple(one.id for one in asked if not one.is_family),
        schemes=tuple(one.id for one in schemes if skill in one.skills),
    )


def _orphans(bank: Bank, lessons: Lessons, schemes: Sequence[Scheme]) -> Iterable[Orphan]:
    known = bank.skills
    for lesson in lessons.by_id.values():
        yield from (Orphan("lesson", lesson.id, skill) for skill in lesson.skills if skill not in known)
    for question in bank.by_id.values():
        if question.skill not in known:
            yield Orphan("question", question.id, question.skill)
    for scheme in schemes:
        yield from (Orphan("scheme", scheme.id, skill) for skill in scheme.skills if skill not in known)
