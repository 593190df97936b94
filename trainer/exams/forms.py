"""One candidate's form: which question in which slot; made by HMAC, the same for ever and different for everyone."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from trainer.exams.scheme import Area, Scheme


class Asked(Protocol):
    """What a form needs to know about a question."""

    @property
    def id(self) -> str:
        """Its id."""

    @property
    def version(self) -> int:
        """Its version."""

    @property
    def fingerprint(self) -> str:
        """SHA-256 of its file's canonical text."""


class Skilled(Protocol):
    """What a form needs to know about a skill."""

    @property
    def hazard(self) -> bool:
        """Whether a mistake can hurt somebody."""


class Pool(Protocol):
    """Where questions come from."""

    @property
    def by_skill(self) -> Mapping[str, Sequence[Asked]]:
        """The questions that ask each skill."""

    @property
    def skills(self) -> Mapping[str, Skilled]:
        """Every skill by its id."""


@dataclass(frozen=True)
class Slot:
    """One place on a form; `label` is what the instance is drawn from, beside the secret."""

    number: int
    area: str
    skill: str
    question: str
    version: int
    fingerprint: str
    label: str


@dataclass(frozen=True)
class Form:
    """One candidate's slots, numbered from 1."""

    slots: tuple[Slot, ...]


@dataclass(frozen=True)
class Shortfall:
    """An area that lacks questions for its slots."""

    area: str
    items: int
    questions: int


def shortfalls(scheme: Scheme, pool: Pool, barred: Collection[str] = ()) -> tuple[Shortfall, ...]:
    """The areas for which the pool has too few questions; empty when a form can be assembled."""
    counts = [
        (
            area,
            sum(
                question.id not in barred
                for skill in area.skills
                for question in pool.by_skill.get(skill, ())
            ),
        )
        for area in scheme.areas
    ]
    return tuple(Shortfall(area.id, area.items, count) for area, count in counts if count < area.items)


def assemble_form(
    scheme: Scheme,
    pool: Pool,
    secret: bytes,
    label: str,
    *,
    seen: Collection[str] = (),
    barred: Collection[str] = (),
) -> Form:
    """The form of one attempt: every area meets its number of questions exactly, none stands twice.

    label: person and attempt, different for every attempt
    seen: questions of earlier attempts; they come only when a skill has no other
    barred: questions that cannot be drawn at this site
    Skills that can hurt come first, then each skill once before any comes twice. Raises ValueError when an area has
    too few questions; ask `shortfalls` first.
    """
    short = shortfalls(scheme, pool, barred)
    if short:
        raise ValueError(f"too few questions: {', '.join(one.area for one in short)}")
    drawing = _Drawing(secret, label, frozenset(seen), frozenset(barred))
    chosen = [
        (area, skill, question) for area in scheme.areas for skill, question in drawing.choose(area, pool)
    ]
    slots = (
        Slot(
            number,
            area.id,
            skill,
            question.id,
            question.version,
            question.fingerprint,
            f"{label}|{number}|{question.id}@{question.version}",
        )
        for number, (area, skill, question) in enumerate(chosen, start=1)
    )
    return Form(tuple(slots))


@dataclass(frozen=True)
class _Drawing:
    """What the choice of one attempt hangs on."""

    secret: bytes
    label: str
    seen: frozenset[str]
    barred: frozenset[str]

    def rank(self, area: str, kind: str, name: str) -> bytes:
        """Where a name comes in this attempt's order."""
        return hmac.digest(self.secret, f"{self.label}|{area}|{kind}|{name}".encode(), hashlib.sha256)

    def choose(self, area: Area, pool: Pool) -> list[tuple[str, Asked]]:
        """An area's questions: round after round over its skills, in drawn order."""
        skills = sorted(
            area.skills, key=lambda skill: (not pool.skills[skill].hazard, self.rank(area.id, "skill", skill))
        )
        waiting = {skill: self._waiting(area, pool.by_skill.get(skill, ())) for skill in skills}
        rounds = max((len(questions) for questions in waiting.values()), default=0)
        in_turn = [
            (skill, waiting[skill][turn])
            for turn in range(rounds)
            for skill in skills
            if turn < len(waiting[skill])
        ]
        return sorted(in_turn[: area.items], key=lambda pair: self.rank(area.id, "place", pair[1].id))

    def _waiting(self, area: Area, questions: Sequence[Asked]) -> list[Asked]:
        usable = [question for question in questions if question.id not in self.barred]
        return sorted(usable, key=lambda one: (one.id in self.seen, self.rank(area.id, "question", one.id)))
