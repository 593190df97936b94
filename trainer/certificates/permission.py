"""Who may open a control cabinet at a moment, on what evidence, and what everyone else still lacks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from trainer.certificates.scope import OPEN_ALONE
from trainer.certificates.states import (
    CertificateState,
    Change,
    Standing,
    standing,
)

Waiting = Literal["exam", "practical", "look", "decision", "second_approval", "lift", "nothing"]


@dataclass(frozen=True)
class Evidence:
    """What is on record about one person and one cabinet; None stands for what is not on record.

    exam_*: the passed exam of the cabinet's scheme that is valid longest, else the person's newest other exam.
    practical_*: the newest signed practical of that scheme on the cabinet's machine, else on another machine.
    practical_differs: whether its two observers differ on a critical step; practical_counted: what a manager then said.
    decision_* and decided_*: the newest settled decision, refused or with its certificate; certificate_* is that one.
    pending_*: the newest decision of all, while it waits for its second approver.
    changes: what was done to that certificate since it was issued, in order.
    last_*_at: when any certificate of theirs for this cabinet was last withdrawn or reduced.
    changed_at: since when the machine or its procedure is as it is now.
    *other_hands: whoever else had a hand in the exam or the practical: invigilators, second observers.
    """

    person_id: int
    person_public_id: str
    person: str
    left_at: datetime | None
    trained_by_id: int | None
    trained_by: str | None
    cabinet_id: int
    cabinet: str
    machine_id: int
    machine: str
    scheme: str
    exam_id: int | None = None
    exam_scheme: str | None = None
    exam_passed: bool | None = None
    exam_valid_until: datetime | None = None
    practical_id: int | None = None
    practical_machine_id: int | None = None
    practical_passed: bool | None = None
    practical_signed_at: datetime | None = None
    practical_differs: bool = False
    practical_counted: bool | None = None
    observed_by_id: int | None = None
    observed_by: str | None = None
    decision_public_id: str | None = None
    decision_exam_id: int | None = None
    decision_practical_id: int | None = None
    decision_observer_id: int | None = None
    granted: bool | None = None
    refused_because: str | None = None
    decided_by_id: int | None = None
    decided_by: str | None = None
    decided_at: datetime | None = None
    overlap_reason: str | None = None
    second_approver_id: int | None = None
    second_approver: str | None = None
    certificate_public_id: str | None = None
    effective_at: datetime | None = None
    expires_at: datetime | None = None
    changes: tuple[Change, ...] = ()
    last_withdrawn_at: datetime | None = None
    last_reduced_at: datetime | None = None
    changed_at: datetime | None = None
    other_hands: frozenset[int] = frozenset()
    decision_other_hands: frozenset[int] = frozenset()
    pending_public_id: str | None = None
    pending_exam_id: int | None = None
    pending_practical_id: int | None = None
    pending_by_id: int | None = None
    pending_by: str | None = None
    pending_reason: str | None = None


@dataclass(frozen=True)
class Permission:
    """The answer for one person: nothing missing means that they may open the cabinet."""

    evidence: Evidence
    missing: tuple[str, ...]

    @property
    def may_open(self) -> bool:
        """Whether nothing is missing."""
        return not self.missing


def cabinet_permission(e: Evidence, now: datetime) -> Permission:
    """Whether the person may open the cabinet at `now`; if not, every reason, in the order to mend them."""
    return Permission(
        e,
        missing=(
            *unmet({"person.left": e.left_at is None or now < e.left_at}),
            *exam_missing(e, now),
            *practical_missing(e),
            *_decision_missing(e),
            *_certificate_missing(e, now),
        ),
    )


def unmet(conditions: Mapping[str, bool]) -> tuple[str, ...]:
    """The keys of the conditions that do not hold, in their order."""
    return tuple(key for key, holds in conditions.items() if not holds)


def exam_missing(e: Evidence, now: datetime) -> tuple[str, ...]:
    """Why the exam does not carry: none passed, of another scheme, or lapsed."""
    if e.exam_id is None or not e.exam_passed or e.exam_valid_until is None:
        return ("exam.none_valid",)
    return unmet({"exam.other_scheme": e.exam_scheme == e.scheme, "exam.lapsed": now < e.exam_valid_until})


def practical_missing(e: Evidence) -> tuple[str, ...]:
    """Why the practical does not carry: none signed, elsewhere, failed, self-signed, or two observers differ."""
    if e.practical_id is None or e.observed_by_id is None or e.practical_signed_at is None:
        return ("practical.not_signed",)
    return unmet(
        {
            "practical.other_machine": e.practical_machine_id == e.machine_id,
            "practical.failed": e.practical_passed is True,
            "practical.self_signed": e.observed_by_id != e.person_id,
            "practical.observers_differ": not e.practical_differs or e.practical_counted is not None,
            "practical.not_counted": not e.practical_differs or e.practical_counted is not False,
        }
    )


def overlaps(e: Evidence, who: int | None) -> bool:
    """Whether this person trained the candidate, or observed or invigilated what counts now."""
    return who is not None and who in {e.trained_by_id, e.observed_by_id, *e.other_hands}


def _overlapped(e: Evidence, who: int | None) -> bool:
    """Whether this person trained the candidate, or observed or invigilated what the decision rested on."""
    return who is not None and who in {e.trained_by_id, e.decision_observer_id, *e.decision_other_hands}


def _decision_missing(e: Evidence) -> tuple[str, ...]:
    if e.decided_by_id is None or e.granted is None:
        return ("decision.none",) if e.pending_public_id is None else ("second_approver.none",)
    if not e.granted:
        return ("decision.refused",) if e.pending_public_id is None else ("second_approver.none",)
    return (*unmet({"decision.own": e.decided_by_id != e.person_id}), *_overlap_missing(e))


def _overlap_missing(e: Evidence) -> tuple[str, ...]:
    if not _overlapped(e, e.decided_by_id):
        return ()
    reason = unmet({"overlap.no_reason": bool(e.overlap_reason)})
    if e.second_approver_id is None:
        return (*reason, "second_approver.none")
    different = e.second_approver_id not in (e.decided_by_id, e.person_id)
    return (
        *reason,
        *unmet(
            {
                "second_approver.same": different,
                "second_approver.overlaps": not _overlapped(e, e.second_approver_id),
            }
        ),
    )


def standing_of(e: Evidence, now: datetime) -> Standing | None:
    """Where the certificate stands that the newest decision issued; None when it issued none."""
    if e.certificate_public_id is None or e.effective_at is None or e.expires_at is None:
        return None
    return standing(e.effective_at, e.expires_at, e.changes, now)


def state_of(e: Evidence, now: datetime) -> CertificateState | None:
    """The state of the certificate that the newest decision issued; None when it issued none."""
    stands = standing_of(e, now)
    return None if stands is None else stands.state


def _certificate_missing(e: Evidence, now: datetime) -> tuple[str, ...]:
    stands = standing_of(e, now)
    if stands is None:
        return ("certificate.none",)
    if stands.state == "suspended":
        causes = dict.fromkeys(one.cause for one in stands.suspensions if one.cause != "by_manager")
        return ("certificate.suspended", *causes)
    if stands.state == "reduced":
        return unmet({"certificate.reduced": OPEN_ALONE not in stands.taken})
    return () if stands.state == "active" else (f"certificate.{stands.state}",)


def waiting_for(e: Evidence, now: datetime) -> Waiting:
    """The next thing that this person and cabinet wait for."""
    if e.left_at is not None:
        return "nothing"
    if e.pending_public_id is not None:
        return "second_approval"
    return "nothing" if cabinet_permission(e, now).may_open else _next_step(e, now)


def _next_step(e: Evidence, now: datetime) -> Waiting:
    if exam_missing(e, now):
        return "exam"
    if practical_missing(e) == ("practical.observers_differ",) and not practical_stale(e):
        return "look"
    if practical_missing(e) or practical_stale(e):
        return "practical"
    if state_of(e, now) == "suspended":
        return "lift"
    return "nothing" if e.granted is False and decided_on_this(e) else "decision"


def decided_on_this(e: Evidence) -> bool:
    """Whether the newest settled decision rested on the exam and the practical that count now."""
    return (e.decision_exam_id, e.decision_practical_id) == (e.exam_id, e.practical_id)


def pending_on_this(e: Evidence) -> bool:
    """Whether the decision that waits for its second approver rests on what counts now."""
    return (e.pending_exam_id, e.pending_practical_id) == (e.exam_id, e.practical_id)


def practical_stale(e: Evidence) -> tuple[str, ...]:
    """Why a new practical must be observed, though one is signed: something has happened since."""
    return unmet(
        {
            "practical.before_withdrawal": _practical_after(e, e.last_withdrawn_at),
            "practical.before_reduction": _practical_after(e, e.last_reduced_at),
            "practical.before_change": _practical_after(e, e.changed_at),
        }
    )


def _practical_after(e: Evidence, moment: datetime | None) -> bool:
    """Whether the practical was signed after the moment; none signed is no reason of its own."""
    return moment is None or e.practical_signed_at is None or moment < e.practical_signed_at


def retrained(e: Evidence, since: datetime) -> bool:
    """Whether a practical on this machine was observed and passed after the moment."""
    return e.practical_id is not None and not practical_missing(e) and _practical_after(e, since)


def lapses_within(e: Evidence, now: datetime, days: int) -> bool:
    """Whether the person may open the cabinet now and the certificate runs out within `days`."""
    return (
        e.expires_at is not None
        and cabinet_permission(e, now).may_open
        and e.expires_at <= now + timedelta(days=days)
    )
