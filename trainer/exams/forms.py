"""One candidate's form: which question in which slot; made by HMAC, the same for ever and different for everyone."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from trainer.benches import catalogue
from trainer.exams.scheme import Area, BenchItem, Scheme

BENCH = "bench."


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
    """One place on a form; `label` is what the instance or the task is drawn from, beside the secret.

    fixed: where the slot is a bench, the options of its task, `level` among them; then question is `bench.` and its
    id, version the bench's, fingerprint the task's digest
    pilot: asked on trial, and counted nowhere
    """

    number: int
    area: str
    skill: str
    question: str
    version: int
    fingerprint: str
    label: str
    fixed: Mapping[str, str] | None = None
    pilot: bool = False

    @property
    def bench(self) -> str | None:
        """The id of the slot's bench; None where it asks a question."""
        return None if self.fixed is None else self.question.removeprefix(BENCH)


@dataclass(frozen=True)
class Form:
    """One candidate's slots, numbered from 1."""

    slots: tuple[Slot, ...]

    @property
    def scored(self) -> tuple[Slot, ...]:
        """The slots that count: all but those on trial."""
        return tuple(slot for slot in self.slots if not slot.pilot)


@dataclass(frozen=True)
class Shortfall:
    """An area that lacks questions for its slots; items: those that no bench fills."""

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
    return tuple(
        Shortfall(area.id, area.questions, count) for area, count in counts if count < area.questions
    )


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
    Skills that can hurt come first, then each skill once before any comes twice; an area's benches are always there
    and count for their skill. Raises ValueError when an area has too few questions; ask `shortfalls` first.
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
            question.fixed if isinstance(question, BenchAsked) else None,
        )
        for number, (area, skill, question) in enumerate(chosen, start=1)
    )
    return Form(tuple(slots))


@dataclass(frozen=True)
class BenchAsked:
    """A bench where a form asks a question; its fingerprint comes with its task."""

    id: str
    version: int
    fixed: Mapping[str, str]
    fingerprint: str = ""


def bench_asked(item: BenchItem) -> BenchAsked:
    """The bench of an item, in today's version."""
    version = catalogue.benches()[item.bench].CARD.version
    return BenchAsked(f"{BENCH}{item.bench}", version, {"level": item.level})


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
        """An area's benches, and its questions: round after round over its skills, in drawn order."""
        skills = sorted(
            area.skills, key=lambda skill: (not pool.skills[skill].hazard, self.rank(area.id, "skill", skill))
        )
        benches: list[tuple[str, Asked]] = [(one.skill, bench_asked(one)) for one in area.benches]
        waiting = {skill: self._waiting(area, pool.by_skill.get(skill, ())) for skill in skills}
        # A bench has taken the first turns of its skill.
        taken = {skill: sum(one.skill == skill for one in area.benches) for skill in skills}
        rounds = max((taken[skill] + len(waiting[skill]) for skill in skills), default=0)
        in_turn = [
            (skill, waiting[skill][turn - taken[skill]])
            for turn in range(rounds)
            for skill in skills
            if 0 <= turn - taken[skill] < len(waiting[skill])
        ]
        chosen = [*benches, *in_turn[: area.questions]]
        return sorted(chosen, key=lambda pair: self.rank(area.id, "place", pair[1].id))

    def _waiting(self, area: Area, questions: Sequence[Asked]) -> list[Asked]:
        usable = [question for question in questions if question.id not in self.barred]
        return sorted(usable, key=lambda one: (one.id in self.seen, self.rank(area.id, "question", one.id)))
