"""Where a person stands, as pages show it: topics on their string, states and the next thing in words."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.language.lessons import Lessons
from trainer.language.loading import Bank
from trainer.language.skills import Topic
from trainer.learning.choosing import LessonPlan, NextThing
from trainer.learning.mastery import Standing, state_of
from trainer.quantities.dimensions import Language
from trainer.web.words import Later, gettext, ngettext

STATES = {
    "open": Later("still open"),
    "started": Later("started"),
    "proven": Later("proven"),
    "due": Later("due again"),
}


@dataclass(frozen=True)
class LessonLine:
    """One lesson under its topic."""

    id: str
    title: str
    words: str


@dataclass(frozen=True)
class SkillLine:
    """One skill with its state in words."""

    title: str
    state: str
    answered: int


@dataclass(frozen=True)
class TopicLine:
    """A topic's string: how many of its skills are proven, in numbers and in words."""

    id: str
    title: str
    proven: int
    total: int
    words: str
    lessons: tuple[LessonLine, ...]
    skills: tuple[SkillLine, ...]


def plans(lessons: Lessons, bank: Bank) -> tuple[LessonPlan, ...]:
    """The lessons in order, each with those of its skills that have questions."""
    return tuple(
        LessonPlan(one.id, one.topic, tuple(s for s in one.skills if bank.of_skill(s)), one.minutes)
        for one in lessons.by_id.values()
    )


def taught(some: Sequence[LessonPlan]) -> tuple[str, ...]:
    """Every skill that a lesson teaches and questions ask, in order."""
    return tuple(dict.fromkeys(skill for plan in some for skill in plan.skills))


@dataclass(frozen=True)
class Progress:
    """One person on the whole course at a moment."""

    bank: Bank
    lessons: Lessons
    read: Collection[str]
    standings: Mapping[str, Standing]
    now: datetime

    def topics(self, language: Language) -> list[TopicLine]:
        """The topics that can be practised, in order."""
        counted = set(taught(plans(self.lessons, self.bank)))
        lines = [self._topic(topic, counted, language) for topic in self.bank.topics]
        return [line for line in lines if line.total]

    def _topic(self, topic: Topic, counted: Collection[str], language: Language) -> TopicLine:
        skills = [skill for skill in topic.skills if skill.id in counted]
        states = [state_of(self.standings.get(skill.id), self.now) for skill in skills]
        proven = sum(state in ("proven", "due") for state in states)
        lines = tuple(
            SkillLine(skill.title[language], str(STATES[state]), _answered(self.standings, skill.id))
            for skill, state in zip(skills, states, strict=True)
        )
        words = proven_words(proven, len(skills), states.count("due"))
        under = self._lessons(topic.id, language)
        return TopicLine(topic.id, topic.title[language], proven, len(skills), words, under, lines)

    def _lessons(self, topic: str, language: Language) -> tuple[LessonLine, ...]:
        under = [one for one in self.lessons.by_id.values() if one.topic == topic]
        said = [gettext("read") if one.id in self.read else gettext("not read yet") for one in under]
        return tuple(
            LessonLine(one.id, one.title(language), words) for one, words in zip(under, said, strict=True)
        )


def _answered(standings: Mapping[str, Standing], skill: str) -> int:
    return standings[skill].answered if skill in standings else 0


def proven_words(proven: int, total: int, due: int = 0) -> str:
    """`3 of 5 proven, 1 due again`."""
    words = gettext("%(proven)s of %(total)s proven") % {"proven": proven, "total": total}
    return words + (
        ", " + ngettext("%(num)d due again", "%(num)d due again", due) % {"num": due} if due else ""
    )


NEXT = {
    "exam_open": (
        Later("Go on with your exam"),
        Later("The clock runs on the server. Everything you saved is kept."),
    ),
    "review": (
        Later("Keep it fresh"),
        Later("Some things you proved are due again. A few questions bring them back."),
    ),
    "lesson": (Later("Read the lesson"), Later("It uses your own site's numbers. A short drill follows.")),
    "drill": (
        Later("Practice"),
        Later("Prove each skill of the lesson. Wrong answers cost nothing and show you why."),
    ),
    "exam": (Later("Sit the exam"), Later("You have proved every skill in practice.")),
    "practical": (
        Later("Ask your trainer for the practical"),
        Later("You passed the exam. Show the work on the machine; your trainer watches and signs."),
    ),
    "decision": (
        Later("Wait for the decision"),
        Later("Exam and practical are done. Your manager looks at the evidence and decides."),
    ),
    "rest": (
        Later("Nothing due today"),
        Later("Everything is proven. It will ask you again when it is time."),
    ),
}


def next_words(thing: NextThing, lessons: Lessons, language: Language) -> tuple[str, str]:
    """The next thing's title and why."""
    title, why = (str(one) for one in NEXT[thing.kind])
    lesson = lessons.find(thing.lesson) if thing.lesson else None
    return (f"{title}: {lesson.title(language)}" if lesson else title), why
