"""What to do next: which lesson, which skill, which question; by need, the same for the same facts."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from trainer.learning.mastery import Standing, is_due
from trainer.learning.parameters import MINUTES_AN_ANSWER

Kind = Literal["exam_open", "review", "lesson", "drill", "exam", "practical", "decision", "rest"]


@dataclass(frozen=True)
class LessonPlan:
    """A lesson, in the order people meet them, with the skills it teaches that can be practised."""

    id: str
    topic: str
    skills: tuple[str, ...]
    minutes: int


@dataclass(frozen=True)
class Stage:
    """What lies beyond practice: whether an exam is open, may be started, is passed; what else is waited for."""

    exam_open: bool = False
    exam_may_start: bool = False
    exam_passed: bool = False
    practical_passed: bool = False
    certified: bool = False


@dataclass(frozen=True)
class NextThing:
    """The one next thing, and how long it takes."""

    kind: Kind
    lesson: str | None = None
    skills: tuple[str, ...] = ()
    minutes: int = 0
    due_at: datetime | None = None


def next_thing(
    lessons: Sequence[LessonPlan],
    read: Collection[str],
    standings: Mapping[str, Standing],
    stage: Stage,
    now: datetime,
) -> NextThing:
    """The one next thing for a person: an open exam, what is due, the first unfinished lesson, then what proves it."""
    if stage.exam_open:
        return NextThing("exam_open")
    due = due_skills(standings, now)
    if due:
        return NextThing("review", skills=due, minutes=_minutes(len(due)))
    for lesson in lessons:
        if lesson.id not in read:
            return NextThing("lesson", lesson.id, lesson.skills, lesson.minutes)
        open_skills = unproven(lesson.skills, standings)
        if open_skills:
            return NextThing("drill", lesson.id, open_skills, _minutes(2 * len(open_skills)))
    return _beyond(stage, standings)


def _beyond(stage: Stage, standings: Mapping[str, Standing]) -> NextThing:
    if not stage.exam_passed and stage.exam_may_start:
        return NextThing("exam")
    if stage.exam_passed and not stage.certified:
        return NextThing("decision" if stage.practical_passed else "practical")
    dues = [one.due_at for one in standings.values() if one.due_at is not None]
    return NextThing("rest", due_at=min(dues, default=None))


def due_skills(standings: Mapping[str, Standing], now: datetime) -> tuple[str, ...]:
    """Proven skills whose review is due, the longest waiting first."""
    due = [one for one in standings.values() if is_due(one, now)]
    return tuple(one.skill for one in sorted(due, key=lambda one: (one.due_at, one.skill)))


def unproven(skills: Sequence[str], standings: Mapping[str, Standing]) -> tuple[str, ...]:
    """The skills not yet mastered, in the lesson's order."""
    return tuple(s for s in skills if s not in standings or standings[s].mastered_at is None)


def pick_skill(skills: Sequence[str], standings: Mapping[str, Standing], last: str | None = None) -> str:
    """The skill most in need: unproven before proven, least known first.

    Once every skill was tried, the one just asked steps back, so that answers are mixed (interleaving helps
    people tell methods apart). Raises ValueError on no skills.
    """
    if not skills:
        raise ValueError("there is no skill to choose from")
    fresh = Standing("")
    tried = all(standings.get(s, fresh).answered > 0 for s in skills)

    def need(skill: str) -> tuple[bool, bool, float, int]:
        one = standings.get(skill, fresh)
        return (one.mastered_at is not None, tried and skill == last, one.known, skills.index(skill))

    return min(skills, key=need)


def pick_question(
    questions: Sequence[tuple[str, int]], shown: Mapping[str, int], last: str | None = None
) -> str:
    """The question to ask: seen least, not the one just asked, easiest first.

    questions: (id, level); shown: how often each was asked of this person. Raises ValueError on no questions.
    """
    if not questions:
        raise ValueError("there is no question to choose from")
    return min(questions, key=lambda q: (q[0] == last, shown.get(q[0], 0), q[1], q[0]))[0]


def _minutes(answers: int) -> int:
    return max(1, round(answers * MINUTES_AN_ANSWER))
