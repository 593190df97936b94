"""An exam while it is sat: when it ends, whether it may start, whether an answer counts. The time is the server's."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Literal

from trainer.exams.scheme import Scheme

GRACE = timedelta(0)  # stated: an answer that reaches the server at the deadline or after it is late
LONGEST_ANSWER = 2000
HIGHEST_REVISION = 9999
MOST_BENCH_ACTS = 200  # each act keeps the whole list again; the best run of any bench has a quarter of it
LONGEST_PAUSE = timedelta(hours=4)  # a clock that nobody starts again starts by itself then
RENEWAL = timedelta(days=60)  # a passed exam may be sat again this long before it lapses

ClosedBy = Literal["person", "deadline"]


@dataclass(frozen=True)
class Sitting:
    """One exam as the rules see it; `ended_at` is None while it is open.

    place: digest of the one browser that may answer; None binds it to none
    allowance: extra time that was granted: 5/4, 3/2, 2, or none for no limit
    paused_at: since when its clock stands; the deadline moves when it goes on
    """

    id: int
    public_id: str
    person_id: int
    person_public_id: str
    site_id: int
    time_zone: str
    scheme: str
    scheme_version: int
    sheet_version: int
    system: str
    form: str
    started_at: datetime
    deadline: datetime
    ended_at: datetime | None = None
    closed_by: ClosedBy | None = None
    right: int | None = None
    passed: bool | None = None
    result: str | None = None
    valid_until: datetime | None = None
    place: str | None = None
    allowance: str | None = None
    paused_at: datetime | None = None


@dataclass(frozen=True)
class GivenAnswer:
    """The highest revision of one slot's answer, as typed, and the language it was typed in."""

    slot: int
    revision: int
    text: str
    language: str


@dataclass(frozen=True)
class Arrival:
    """A request to keep an answer, as it reached the server from a place (the browser's digest)."""

    person_id: int
    slot: int
    revision: int
    text: str
    at: datetime
    place: str | None = None


@dataclass(frozen=True)
class ActArrival:
    """A request to do one act on a bench, the `number`th from 1; document: the act as canonical JSON."""

    person_id: int
    number: int
    document: str
    at: datetime
    place: str | None = None


@dataclass(frozen=True)
class Receipt:
    """How an answer was taken: `repeated` means that it already stood; a refusal has every reason."""

    accepted: bool
    repeated: bool = False
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True)
class MayStart:
    """Whether an exam may start now; if not, every reason, and from when waiting alone would be enough."""

    reasons: tuple[str, ...]
    not_before: datetime | None = None
    tries_left: int = 0
    open_skills: tuple[str, ...] = ()
    again: Mapping[str, int] = field(default_factory=dict)

    @property
    def allowed(self) -> bool:
        """Whether nothing stands against it."""
        return not self.reasons


def deadline(
    start: datetime, minutes: int, factor: Fraction = Fraction(1), credits: timedelta = timedelta(0)
) -> datetime:
    """When an exam ends: start + minutes x factor + credits, reckoned in UTC whatever clocks on the wall do.

    factor: extra time granted, 1 or more; credits: time given back for pauses, not negative. Raises ValueError.
    """
    if start.tzinfo is None or factor < 1 or credits < timedelta(0) or minutes <= 0:
        raise ValueError(
            f"start {start}, minutes {minutes}, factor {factor} or credits {credits} out of range"
        )
    seconds = Fraction(minutes * 60) * factor
    return start + timedelta(seconds=float(seconds)) + credits


def is_over(ends: datetime, at: datetime) -> bool:
    """Whether time is up."""
    return at >= ends + GRACE


def credit_of(sitting: Sitting, at: datetime) -> timedelta:
    """Time of a pause that is not over yet, for which the deadline has not moved yet."""
    if sitting.paused_at is None:
        return timedelta(0)
    return min(max(at - sitting.paused_at, timedelta(0)), LONGEST_PAUSE)


def ends_at(sitting: Sitting, at: datetime) -> datetime:
    """The deadline as it stands at a moment, with the pause that is not over yet."""
    return sitting.deadline + credit_of(sitting, at)


def is_paused(sitting: Sitting, at: datetime) -> bool:
    """Whether the clock stands."""
    return sitting.paused_at is not None and at < sitting.paused_at + LONGEST_PAUSE


def is_up(sitting: Sitting, at: datetime) -> bool:
    """Whether the time of an exam is up."""
    return is_over(ends_at(sitting, at), at)


def is_open(sitting: Sitting, at: datetime) -> bool:
    """Whether answers still count."""
    return sitting.ended_at is None and not is_up(sitting, at)


def place_reasons(sitting: Sitting, place: str | None, at: datetime) -> tuple[str, ...]:
    """Why nothing may be done in an exam from a place now: it goes on elsewhere, or its clock stands."""
    stands = {
        "exam.elsewhere": sitting.ended_at is None and sitting.place not in (None, place),
        "exam.paused": sitting.ended_at is None and is_paused(sitting, at),
    }
    return tuple(key for key, holds in stands.items() if holds)


def judge_answer(
    sitting: Sitting, slots: Collection[int], kept: Mapping[int, str], arrival: Arrival
) -> Receipt:
    """Whether an answer is kept.

    kept: the text that already stands for this slot under this revision, by revision; empty if there is none
    What already stands is acknowledged again at any time, so that a lost acknowledgement can be asked for once more.
    """
    if arrival.person_id != sitting.person_id:
        return Receipt(False, reasons=("exam.not_yours",))
    if kept.get(arrival.revision) == arrival.text and arrival.slot in slots:
        return Receipt(True, repeated=True)
    stands = {
        "exam.closed": sitting.ended_at is not None,
        "exam.late": sitting.ended_at is None and is_up(sitting, arrival.at),
        "exam.unknown_slot": arrival.slot not in slots,
        "exam.revision_unknown": not 1 <= arrival.revision <= HIGHEST_REVISION,
        "exam.revision_taken": arrival.revision in kept,
        "exam.answer_too_long": len(arrival.text) > LONGEST_ANSWER,
        "exam.answer_not_text": not is_text(arrival.text),
    }
    reasons = _all(stands, place_reasons(sitting, arrival.place, arrival.at))
    return Receipt(not reasons, reasons=reasons)


def judge_act(sitting: Sitting, acts: Sequence[str], arrival: ActArrival, *, finished: bool) -> Receipt:
    """Whether an act on a bench is kept.

    acts: the documents of those that stand; finished: whether they have ended the bench
    Acts are only ever added: none is taken back once its outcome was seen. What already stands is acknowledged again
    at any time.
    """
    if arrival.person_id != sitting.person_id:
        return Receipt(False, reasons=("exam.not_yours",))
    if 1 <= arrival.number <= len(acts) and acts[arrival.number - 1] == arrival.document:
        return Receipt(True, repeated=True)
    stands = {
        "exam.closed": sitting.ended_at is not None,
        "exam.late": sitting.ended_at is None and is_up(sitting, arrival.at),
        "exam.bench_done": finished,
        "exam.out_of_step": not finished and arrival.number != len(acts) + 1,
        "exam.too_many_acts": not finished and len(acts) >= MOST_BENCH_ACTS,
    }
    reasons = _all(stands, place_reasons(sitting, arrival.place, arrival.at))
    return Receipt(not reasons, reasons=reasons)


def _all(stands: Mapping[str, bool], more: tuple[str, ...]) -> tuple[str, ...]:
    return (*(key for key, holds in stands.items() if holds), *more)


def is_text(typed: str) -> bool:
    """Whether it can be kept as typed everywhere: no NUL (PostgreSQL has none), no half of a surrogate pair (UTF-8)."""
    return "\0" not in typed and not any("\ud800" <= character <= "\udfff" for character in typed)


def may_start(
    scheme: Scheme,
    history: Sequence[Sitting],
    mastered: Collection[str],
    now: datetime,
    again: Mapping[str, int] | None = None,
) -> MayStart:
    """Whether a person may start an exam of a scheme now.

    history: every exam of the person, of any scheme, in any order; mastered: the skills proven in practice
    again: right answers without help that a failed try still asks for, by skill (see `remedial`)
    """
    mine = [one for one in history if one.scheme == scheme.id]
    since = now - timedelta(days=scheme.tries.within_days)
    recent = sorted(one.started_at for one in mine if one.started_at > since and not is_void(one))
    left = max(0, scheme.tries.most - len(recent))
    missing = tuple(skill for skill in scheme.demanded_skills() if skill not in mastered)
    freed = _freed(scheme, recent) if left == 0 else None
    waited, lapses = _waits_until(scheme, mine), _renewable(mine)
    stands = {
        "exam.one_open": any(one.ended_at is None for one in history),
        "exam.still_valid": lapses is not None and now < lapses,
        "exam.tries_used": left == 0,
        "exam.wait": waited is not None and now < waited,
        "exam.skills_open": bool(missing),
        "exam.practise_again": bool(again),
    }
    later = [moment for moment in (freed, waited, lapses) if moment is not None and now < moment]
    return MayStart(
        reasons=tuple(key for key, holds in stands.items() if holds),
        not_before=max(later, default=None),
        tries_left=left,
        open_skills=missing,
        again=dict(again or {}),
    )


def is_void(sitting: Sitting) -> bool:
    """Whether an exam counts neither for nor against the person: closed, and neither passed nor failed."""
    return sitting.ended_at is not None and sitting.passed is None


def _freed(scheme: Scheme, recent: Sequence[datetime]) -> datetime:
    """When the oldest of the tries that fill the window leaves it."""
    return recent[-scheme.tries.most] + timedelta(days=scheme.tries.within_days)


def _waits_until(scheme: Scheme, mine: Sequence[Sitting]) -> datetime | None:
    """The end of the wait after the newest failed try."""
    ended = [one.ended_at for one in mine if one.ended_at is not None and one.passed is False]
    return max(ended) + timedelta(hours=scheme.tries.wait_hours) if ended else None


def _renewable(mine: Sequence[Sitting]) -> datetime | None:
    """From when a passed exam may be sat again; None when none is passed."""
    valid = [one.valid_until for one in mine if one.passed and one.valid_until is not None]
    return max(valid) - RENEWAL if valid else None
