"""What pages of exams say: times, reasons, areas of a result; all in the language of the request."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_time

from trainer.acts.sentences import SENTENCES
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import Result
from trainer.exams.sitting import MayStart, Sitting
from trainer.language.loading import Bank
from trainer.web.words import gettext, language, ngettext


@dataclass(frozen=True)
class TimeLeft:
    """The time of an exam as a page shows it; script counts down from `deadline` by the server's `now`."""

    deadline: str
    now: str
    words: str
    until: str


@dataclass(frozen=True)
class AreaLine:
    """One area of a result in words."""

    title: str
    right: int
    items: int
    critical: bool
    words: str


@dataclass(frozen=True)
class PastExam:
    """One line of a person's history."""

    public_id: str
    title: str
    day: str
    words: str


def locale() -> str:
    """How dates are written here: Spanish as in the US."""
    return "es_US" if language() == "es" else "en_US"


def at_time(moment: datetime, time_zone: str) -> str:
    """The time of day on the site's clock."""
    return format_time(moment, "short", tzinfo=ZoneInfo(time_zone), locale=locale())


def at_moment(moment: datetime, time_zone: str) -> str:
    """Day and time on the site's clock."""
    local = moment.astimezone(ZoneInfo(time_zone))
    return f"{format_date(local, 'medium', locale=locale())}, {format_time(local, 'short', locale=locale())}"


def on_day(moment: datetime, time_zone: str) -> str:
    """The day at the site."""
    return format_date(moment.astimezone(ZoneInfo(time_zone)), "long", locale=locale())


def time_left(sitting: Sitting, now: datetime) -> TimeLeft:
    """What is left of an exam."""
    minutes = max(0, ceil((sitting.deadline - now).total_seconds() / 60))
    if sitting.allowance == "none":
        return TimeLeft("", "", gettext("You have no time limit."), "")
    return TimeLeft(
        deadline=sitting.deadline.isoformat(),
        now=now.isoformat(),
        words=ngettext("%(num)d minute left", "%(num)d minutes left", minutes) % {"num": minutes},
        until=at_time(sitting.deadline, sitting.time_zone),
    )


def say_all(reasons: Iterable[str]) -> list[str]:
    """Reasons as sentences."""
    return [SENTENCES[key].say(language()) for key in reasons]


def say_may_start(may: MayStart, bank: Bank, time_zone: str) -> list[str]:
    """Why an exam may not start, with the skills and the moment where it is about those."""
    sentences = say_all(may.reasons)
    if may.open_skills:
        titles = "; ".join(skill_titles(may.open_skills, bank))
        sentences.append(gettext("Still open: %(skills)s.") % {"skills": titles})
    if may.again:
        sentences.append(say_again(may, bank))
    if may.not_before is not None and "exam.one_open" not in may.reasons:
        sentences.append(gettext("From %(when)s on.") % {"when": at_moment(may.not_before, time_zone)})
    return sentences


def say_again(may: MayStart, bank: Bank) -> str:
    """What a failed try still asks for in practice; empty where it asks for nothing."""
    if not may.again:
        return ""
    known = zip(skill_titles(may.again, bank), may.again.values(), strict=True)
    told = "; ".join(f"{title} ({count})" for title, count in known)
    return gettext("Right answers without help still missing: %(skills)s.") % {"skills": told}


def skill_titles(skills: Iterable[str], bank: Bank) -> list[str]:
    """The skills' titles; one that is gone since keeps its id."""
    known = bank.skills
    return [known[one].title["es" if language() == "es" else "en"] if one in known else one for one in skills]


def area_lines(result: Result, scheme: Scheme | None) -> list[AreaLine]:
    """The result by area, in the blueprint's order."""
    titles = {area.id: area.title.say(language()) for area in scheme.areas} if scheme else {}
    return [
        AreaLine(
            title=titles.get(area.id, area.id),
            right=area.right,
            items=area.items,
            critical=area.critical,
            words=_area_words(area.right, area.items),
        )
        for area in result.areas
    ]


def _area_words(right: int, items: int) -> str:
    if right == items:
        return gettext("all right")
    return gettext("none right") if right == 0 else gettext("some missed")


def outcome(passed: bool | None) -> str:
    """How an exam ended."""
    if passed is None:
        return gettext("Does not count")
    return gettext("Passed") if passed else gettext("Not yet")


def past_exams(history: Iterable[Sitting], schemes: dict[str, Scheme]) -> list[PastExam]:
    """A person's exams, each in a line."""
    return [
        PastExam(
            public_id=one.public_id,
            title=schemes[one.scheme].title.say(language()) if one.scheme in schemes else one.scheme,
            day=on_day(one.started_at, one.time_zone),
            words=gettext("Still open") if one.ended_at is None else outcome(one.passed),
        )
        for one in history
    ]
