"""Who may observe a practical, when a second observer is asked, and what comes of two sets of marks."""

from __future__ import annotations

import hashlib
import hmac
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.decision import StepMark
from trainer.certificates.permission import unmet

SECOND_ONE_IN = 5  # beside everyone's first on a machine; common practice, no source
SECOND_WITHIN = timedelta(days=7)  # a second set of marks written later is no longer of the same event
LONGEST_QUALIFICATION = timedelta(days=3 * 366)  # common practice, no source
PICTURE_WITHIN = timedelta(days=7)
LONGEST_DEVICE_TIMES = 10_000


@dataclass(frozen=True)
class Qualification:
    """A person may observe on one machine, from `since` until `until`, unless it was ended before."""

    public_id: str
    person_id: int
    machine_id: int
    since: datetime
    until: datetime
    ended_at: datetime | None = None

    def counts(self, now: datetime) -> bool:
        """Whether it counts at `now`."""
        return self.since <= now < self.until and (self.ended_at is None or now < self.ended_at)


def qualification_in_force(
    held: Sequence[Qualification], machine_id: int, now: datetime
) -> Qualification | None:
    """The one that counts on this machine now and lasts longest."""
    counting = [one for one in held if one.machine_id == machine_id and one.counts(now)]
    return max(counting, key=lambda one: (one.until, one.public_id), default=None)


def observer_lacks(held: Sequence[Qualification], machine_id: int, now: datetime) -> tuple[str, ...]:
    """Why this person may not observe on the machine now: never qualified, lapsed, or ended; empty when they may."""
    if qualification_in_force(held, machine_id, now) is not None:
        return ()
    here = [one for one in held if one.machine_id == machine_id]
    if not here:
        return ("observer.not_qualified",)
    newest = max(here, key=lambda one: (one.since, one.public_id))
    return ("observer.lapsed" if newest.ended_at is None else "observer.ended",)


@dataclass(frozen=True)
class Qualifying:
    """A manager says that a person may observe: who says so of whom, on what grounds, until when."""

    by_id: int
    by_role: Role
    person_id: int
    person_role: Role
    person_left: bool
    grounds: str
    until: datetime


def judge_qualifying(asked: Qualifying, now: datetime) -> tuple[str, ...]:
    """Every reason why this person cannot be qualified so."""
    return unmet(
        {
            "qualifier.no_right": may(asked.by_role, "decide"),
            "qualifier.is_person": asked.by_id != asked.person_id,
            "person.left": not asked.person_left,
            "observer.no_right": may(asked.person_role, "train"),
            "qualification.no_grounds": bool(asked.grounds.strip()),
            "qualification.over": now < asked.until,
            "qualification.too_long": asked.until <= now + LONGEST_QUALIFICATION,
        }
    )


def judge_ending(by_role: Role, reason: str) -> tuple[str, ...]:
    """Every reason why a qualification cannot be ended so."""
    return unmet(
        {"qualifier.no_right": may(by_role, "decide"), "qualification.no_reason": bool(reason.strip())}
    )


def asks_second(key: bytes, *, scheme: str, person: str, machine: str, number: int) -> bool:
    """Whether the person's practical of this number on this machine needs a second observer: the first always does.

    person, machine: public id and key; number: from 1, of all that were signed. Nothing in it can be chosen by an
    observer, so opening the checklist again draws the same. HMAC-SHA256, its first 8 bytes as a share of 2^64.
    """
    if number == 1:
        return True
    said = "\n".join((scheme, person, machine, str(number))).encode()
    drawn = hmac.new(key, said, hashlib.sha256).digest()[:8]
    return int.from_bytes(drawn) * SECOND_ONE_IN < 2**64


@dataclass(frozen=True)
class FirstSigned:
    """A practical as far as a second observer is concerned; shown_to: who has looked at its marks since."""

    public_id: str
    person_id: int
    machine_id: int
    observer_id: int
    signed_at: datetime
    asks_second: bool
    second_id: int | None = None
    differs: bool = False
    looked: bool = False
    shown_to: frozenset[int] = frozenset()

    def awaits_second(self, now: datetime) -> bool:
        """Whether a second observer may still write their marks."""
        return self.asks_second and self.second_id is None and now < self.signed_at + SECOND_WITHIN

    def misses_second(self, now: datetime) -> bool:
        """Whether it should have had a second observer and never got one."""
        return self.asks_second and self.second_id is None and not self.awaits_second(now)


def judge_second_marks(first: FirstSigned | None, by_id: int, now: datetime) -> tuple[str, ...]:
    """Every reason why this person cannot sign as the second observer of what the first one signed."""
    if first is None:
        return ("second.no_first",)
    return unmet(
        {
            "second.not_asked": first.asks_second,
            "second.already": first.second_id is None,
            "second.same": by_id != first.observer_id,
            "second.has_seen": by_id not in first.shown_to,
            "second.too_late": now < first.signed_at + SECOND_WITHIN,
        }
    )


def marks_hidden(first: FirstSigned, viewer_id: int, lacks: Sequence[str], now: datetime) -> bool:
    """Whether the viewer must not see the marks yet, because they could still be the second observer.

    lacks: why the viewer may not observe on this machine, if so
    """
    could = not lacks and viewer_id not in (first.observer_id, first.person_id)
    return first.awaits_second(now) and could and viewer_id not in first.shown_to


def differing(first: Sequence[StepMark], second: Sequence[StepMark]) -> tuple[str, ...]:
    """The critical steps that one of two observers counted as met and the other did not."""
    met = {one.step: one.mark == "met" for one in second}
    return tuple(one.step for one in first if one.critical and met.get(one.step) is not (one.mark == "met"))


def judge_look(
    first: FirstSigned, *, by_id: int, by_role: Role, reason: str, counts: bool | None
) -> tuple[str, ...]:
    """Every reason why a manager cannot say now whether a practical counts whose observers differ."""
    return unmet(
        {
            "look.not_differing": first.differs,
            "look.already": not first.looked,
            "decider.no_right": may(by_role, "decide"),
            "look.observed": by_id not in (first.observer_id, first.second_id),
            "look.is_person": by_id != first.person_id,
            "look.no_choice": counts is not None,
            "look.no_reason": bool(reason.strip()),
        }
    )


def judge_picture(*, mine: bool, there: bool, readable: bool, late: bool) -> tuple[str, ...]:
    """Every reason why a picture cannot be put beside a practical now."""
    return unmet(
        {
            "picture.not_observer": mine,
            "picture.already": not there,
            "picture.unreadable": readable,
            "picture.too_late": not late,
        }
    )


def read_device_times(text: str, steps: Sequence[str]) -> dict[str, str]:
    """When each step was marked, by the observer's own device: UTC, to the second, by the step's id.

    It is a claim that nobody can check, so what cannot be read is left out and stops nobody from signing.
    """
    if len(text) > LONGEST_DEVICE_TIMES:
        return {}
    try:
        said = json.loads(text or "{}")
    except (ValueError, RecursionError):
        return {}
    times = {step: _moment(said.get(step)) for step in steps} if isinstance(said, Mapping) else {}
    return {step: moment for step, moment in times.items() if moment}


def _moment(text: object) -> str | None:
    try:
        read = datetime.fromisoformat(text) if isinstance(text, str) else None
        return None if read is None or read.tzinfo is None else f"{read.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
    except (ValueError, OverflowError):
        return None
