"""Appeals: what may be appealed and until when, who may hear it, by when it is answered, what an outcome must say.

An outcome changes no certificate, exam or decision by itself: what follows from it is an act of its own.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import unmet

AgainstKind = Literal["exam", "decision", "change"]
Outcome = Literal["upheld", "partly", "not_upheld"]
AppealState = Literal["filed", "taken", "decided"]
OUTCOMES: tuple[Outcome, ...] = ("upheld", "partly", "not_upheld")

# Common practice, no source.
DAYS_TO_APPEAL = 30
WORKING_DAYS_TO_ACKNOWLEDGE = 5
DAYS_TO_DECIDE = 30
SATURDAY = 5


@dataclass(frozen=True)
class Adverse:
    """An act against a person: an exam failed or lowered, a refusal, a suspension, reduction or withdrawal."""

    kind: AgainstKind
    public_id: str
    person_id: int
    what: str
    at: datetime
    reason: str = ""


@dataclass(frozen=True)
class Deadlines:
    """The last day, at the site, to acknowledge an appeal and to decide it."""

    acknowledge: date
    decide: date


@dataclass(frozen=True)
class Filing:
    """An appeal as it is about to be filed; `appealed` says that there is one against the same act already."""

    by_id: int
    role: Role
    grounds: str
    appealed: bool


def judge_filing(against: Adverse | None, filing: Filing, now: datetime, time_zone: str) -> tuple[str, ...]:
    """Every reason why this appeal cannot be filed: by the person, or by a manager who writes down their letter."""
    if against is None:
        return ("appeal.nothing_adverse",)
    return unmet(
        {
            "appeal.not_yours": filing.by_id == against.person_id or may(filing.role, "decide"),
            "appeal.no_grounds": bool(filing.grounds.strip()),
            "appeal.twice": not filing.appealed,
            "appeal.too_late": local_day(now, time_zone) <= last_day_to_appeal(against.at, time_zone),
        }
    )


def judge_taking(
    person_id: int, hands: Collection[int], state: AppealState, *, by_id: int, role: Role
) -> tuple[str, ...]:
    """Every reason why this person cannot hear the appeal.

    hands: whoever trained, observed, invigilated, decided, approved or changed anything about the person
    """
    return unmet(
        {
            "appeal.decided": state != "decided",
            "handler.no_right": may(role, "hear"),
            "handler.is_person": by_id != person_id,
            "handler.not_independent": by_id == person_id or by_id not in hands,
        }
    )


@dataclass(frozen=True)
class Hearing:
    """An appeal as it stands when somebody is about to decide it."""

    state: AppealState
    handler_id: int | None
    hands: frozenset[int]


def judge_outcome(hearing: Hearing, by_id: int, outcome: str, reason: str) -> tuple[str, ...]:
    """Every reason why the appeal cannot be decided in this way; whoever has had a hand since is out, too."""
    return unmet(
        {
            "appeal.decided": hearing.state != "decided",
            "appeal.not_taken": hearing.state != "filed",
            "handler.other": hearing.handler_id is None or by_id == hearing.handler_id,
            "handler.not_independent": by_id not in hearing.hands,
            "appeal.no_outcome": outcome in OUTCOMES,
            "appeal.no_reason": bool(reason.strip()),
        }
    )


def last_day_to_appeal(at: datetime, time_zone: str) -> date:
    """The last day, at the site, on which an act of that moment may be appealed."""
    return local_day(at, time_zone) + timedelta(days=DAYS_TO_APPEAL)


def deadlines(filed_at: datetime, time_zone: str) -> Deadlines:
    """By when an appeal is acknowledged and decided. Working days are Monday to Friday; holidays are not known."""
    filed = local_day(filed_at, time_zone)
    return Deadlines(
        working_days_later(filed, WORKING_DAYS_TO_ACKNOWLEDGE), filed + timedelta(days=DAYS_TO_DECIDE)
    )


def working_days_later(day: date, count: int) -> date:
    """The day, Monday to Friday, that is `count` working days after `day`."""
    while count:
        day += timedelta(days=1)
        count -= day.weekday() < SATURDAY
    return day


def is_late(state: AppealState, due: Deadlines, today: date) -> bool:
    """Whether the next step on the appeal is overdue."""
    if state == "decided":
        return False
    return today > (due.acknowledge if state == "filed" else due.decide) or today > due.decide


def local_day(moment: datetime, time_zone: str) -> date:
    """The day at the site."""
    return moment.astimezone(ZoneInfo(time_zone)).date()
