"""What a site's people learned: gain, forgetting beside the forecast, time to mastery, and lessons before slips.

Everything is worked out from answers that were kept; nobody is named, and nothing here changes what anybody is asked.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import groupby
from typing import Literal, NamedTuple

import numpy as np

from trainer.language.lessons import Lessons
from trainer.language.loading import Bank
from trainer.language.questions import NumberTask, Question, Words
from trainer.learning.forecasts import forecasts
from trainer.statistics.forgetting import Calibration, calibration
from trainer.statistics.gain import Gain, gain
from trainer.statistics.mastering import Mastering, mastering
from trainer.statistics.preceding import Preceding, preceding

DAY = 86_400.0  # s
DAYS = (7, 30, 90)  # after which it is told how many have mastered a skill
Kind = Literal["practice", "exam", "bench"]


class Answer(NamedTuple):
    """One answer in practice."""

    person: int
    skill: str
    question: str
    slip: str | None
    right: bool
    helped: bool
    at: datetime


class Attempt(NamedTuple):
    """One scored attempt at an exam's scheme or at a bench: the share of what could be had, 0 to 1."""

    person: int
    kind: Kind
    of: str
    share: float


@dataclass(frozen=True)
class History:
    """What is kept of a site's people, those who left among them.

    answers: by person and skill, oldest first; attempts: oldest first
    mastered: when a person first mastered a skill; read: when they first read a lesson; left: when who has left did
    """

    answers: Sequence[Answer]
    mastered: Mapping[tuple[int, str], datetime]
    read: Mapping[tuple[int, str], datetime]
    left: Mapping[int, datetime]
    attempts: Sequence[Attempt]


@dataclass(frozen=True)
class Gained:
    """Gain of the people with two attempts or more at one thing; gain is None where they are too few."""

    kind: Kind
    of: str
    people: int
    gain: Gain | None


@dataclass(frozen=True)
class Forgetting:
    """Reviews whose forecast was put to the test, and how good the forecasts were; None where they are too few."""

    reviews: int
    people: int
    calibration: Calibration | None


@dataclass(frozen=True)
class SkillTime:
    """How long people took to master a skill, from their first answer on it: in days, and in answers."""

    skill: str
    people: int
    days: Mastering | None
    answers: Mastering | None


@dataclass(frozen=True)
class Slip:
    """A slip of a skill, known to one question or more, with the reason that the first of them gives."""

    skill: str
    id: str
    because: Words


@dataclass(frozen=True)
class LessonsBefore:
    """Lessons before slips: what the columns of `preceding` stand for."""

    slips: tuple[Slip, ...]
    lessons: tuple[str, ...]
    found: Preceding


@dataclass(frozen=True)
class Learned:
    """All of it; mastered in the order of the skills, gained: practice, exams, benches."""

    people: int
    gained: tuple[Gained, ...]
    forgetting: Forgetting
    mastered: tuple[SkillTime, ...]
    preceding: LessonsBefore


def learned(history: History, bank: Bank, lessons: Lessons, now: datetime) -> Learned:
    """What was learned until `now`; skills, questions and lessons that are no longer there are passed over."""
    seen = _Seen({one.id: _slips_of(one) for one in bank.by_id.values()})
    for (person, skill), answers in groupby(history.answers, key=lambda one: one[:2]):
        if skill in bank.skills:
            seen.take(person, skill, list(answers), history, now)
    return Learned(
        people=len(seen.practice),
        gained=(_practised(seen), *_attempted(history.attempts)),
        forgetting=Forgetting(
            len(seen.came), len(seen.reviewed), calibration(seen.forecast, seen.came)
        ),
        mastered=tuple(_time(skill, seen.times[skill]) for skill in bank.skills if skill in seen.times),
        preceding=_preceding(seen, history, bank, lessons),
    )  # fmt: skip


class _Times(NamedTuple):
    """Of one skill, a person each: days and answers until mastery or until last seen, whether mastered."""

    days: list[float]
    answers: list[int]
    mastered: list[bool]


@dataclass
class _Seen:
    """What one walk over the answers gathers.

    able: the slips that a question can show; practice: of each person, right at the first and the latest answer of
    each skill that they answered twice; first: at a slip's first chance, the moment and whether it was made
    """

    able: Mapping[str, tuple[str, ...]]
    practice: dict[int, list[tuple[bool, bool]]] = field(default_factory=lambda: defaultdict(list))
    forecast: list[float] = field(default_factory=list)
    came: list[bool] = field(default_factory=list)
    reviewed: set[int] = field(default_factory=set)
    times: dict[str, _Times] = field(default_factory=lambda: defaultdict(lambda: _Times([], [], [])))
    first: dict[tuple[int, str, str], tuple[datetime, bool]] = field(default_factory=dict)

    def take(
        self, person: int, skill: str, answers: Sequence[Answer], history: History, now: datetime
    ) -> None:
        """Add one person's answers on one skill."""
        pairs = self.practice[person]
        if len(answers) > 1:
            pairs.append((answers[0].right, answers[-1].right))
        for one in forecasts((a.at, a.right, a.helped) for a in answers):
            # Within a day the schedule forecasts nothing; with the steps in sight nothing is recalled.
            if one.days > 0 and not one.helped:
                self.forecast.append(one.recalled)
                self.came.append(one.right)
                self.reviewed.add(person)
        self._time(skill, answers, history.mastered.get((person, skill)), history.left.get(person, now))
        for slip, first in self._slips(answers):
            self.first.setdefault((person, skill, slip), first)

    def _time(
        self, skill: str, answers: Sequence[Answer], mastered: datetime | None, until: datetime
    ) -> None:
        end = max(until, answers[-1].at) if mastered is None else mastered
        times = self.times[skill]
        times.days.append(max(0.0, (end - answers[0].at).total_seconds() / DAY))
        times.answers.append(len(answers) if mastered is None else sum(one.at <= end for one in answers))
        times.mastered.append(mastered is not None)

    def _slips(self, answers: Sequence[Answer]) -> Iterator[tuple[str, tuple[datetime, bool]]]:
        asked = set[str]()
        for one in answers:
            if one.question not in asked:
                asked.add(one.question)
                for slip in self.able.get(one.question, ()):
                    yield slip, (one.at, one.slip == slip)


def _slips_of(question: Question) -> tuple[str, ...]:
    return tuple(one.id for one in question.task.slips) if isinstance(question.task, NumberTask) else ()


def _practised(seen: _Seen) -> Gained:
    pairs = [np.mean(pairs, axis=0) for pairs in seen.practice.values() if pairs]
    first, last = zip(*pairs, strict=True) if pairs else ((), ())
    return Gained("practice", "", len(pairs), gain(first, last))


def _attempted(attempts: Sequence[Attempt]) -> Iterator[Gained]:
    by_thing: dict[tuple[Kind, str], dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for one in attempts:
        by_thing[one.kind, one.of][one.person].append(one.share)
    for (kind, of), people in sorted(by_thing.items(), key=lambda one: (one[0][0] != "exam", one[0][1])):
        again = [shares for shares in people.values() if len(shares) > 1]
        found = gain([shares[0] for shares in again], [shares[-1] for shares in again])
        yield Gained(kind, of, len(again), found)


def _time(skill: str, times: _Times) -> SkillTime:
    curves = (mastering(one, times.mastered) for one in (times.days, times.answers))
    return SkillTime(skill, len(times.mastered), *curves)


def _preceding(seen: _Seen, history: History, bank: Bank, lessons: Lessons) -> LessonsBefore:
    slips = tuple(_slips(bank))
    row = {person: number for number, person in enumerate(seen.practice)}
    lesson_at = {lesson: number for number, lesson in enumerate(lessons.by_id)}
    slip_at = {(one.skill, one.id): number for number, one in enumerate(slips)}
    read = np.full((len(row), len(lesson_at)), np.nan)
    for (person, lesson), at in history.read.items():
        if person in row and lesson in lesson_at:
            read[row[person], lesson_at[lesson]] = at.timestamp() / DAY
    answered = np.full((len(row), len(slips)), np.nan)
    made = np.zeros(answered.shape, dtype=bool)
    for (person, skill, slip), (at, was_made) in seen.first.items():
        if (skill, slip) in slip_at:
            where = row[person], slip_at[skill, slip]
            answered[where], made[where] = at.timestamp() / DAY, was_made
    teaches = np.array(
        [[one.skill in lesson.skills for lesson in lessons.by_id.values()] for one in slips], bool
    )
    found = preceding(read, answered, made, teaches.reshape(len(slips), len(lesson_at)))
    return LessonsBefore(slips, tuple(lesson_at), found)


def _slips(bank: Bank) -> Iterator[Slip]:
    """The slips of all skills; two questions of a skill that know one by the same id know the same slip."""
    told = set[tuple[str, str]]()
    for question in bank.by_id.values():
        if isinstance(question.task, NumberTask):
            for one in question.task.slips:
                if (question.skill, one.id) not in told:
                    told.add((question.skill, one.id))
                    yield Slip(question.skill, one.id, one.because)
