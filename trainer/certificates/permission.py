"""Who may open a control cabinet at a moment, on what evidence, and what everyone else still lacks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from trainer.certificates.states import CertificateState, certificate_state

Waiting = Literal["exam", "practical", "decision", "second_approval", "nothing"]


@dataclass(frozen=True)
class Evidence:
    """What is on record about one person and one cabinet; None stands for what is not on record.

    exam_*: the passed exam of the cabinet's scheme that is valid longest, else the person's newest other exam.
    practical_*: the newest signed practical of that scheme on the cabinet's machine, else on another machine.
    decision_* and decided_*: the newest settled decision, refused or with its certificate; certificate_* is that one.
    pending_*: the newest decision of all, while it waits for its second approver.
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
    withdrawn_at: datetime | None = None
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
    """Why the practical does not carry: none signed, on another machine, failed, or signed by the person."""
    if e.practical_id is None or e.observed_by_id is None or e.practical_signed_at is None:
        return ("practical.not_signed",)
    return unmet(
        {
            "practical.other_machine": e.practical_machine_id == e.machine_id,
            "practical.failed": e.practical_passed is True,
            "practical.self_signed": e.observed_by_id != e.person_id,
        }
    )


def overlaps(e: Evidence, who: int | None) -> bool:
    """Whether this person trained the candidate or observed the practical that counts now."""
    return who is not None and who in (e.trained_by_id, e.observed_by_id)


def _overlapped(e: Evidence, who: int | None) -> bool:
    """Whether this person trained the candidate or observed the practical that the decision rested on."""
    return who is not None and who in (e.trained_by_id, e.decision_observer_id)


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


def state_of(e: Evidence, now: datetime) -> CertificateState | None:
    """The state of the certificate that the newest decision issued; None when it issued none."""
    if e.certificate_public_id is None or e.effective_at is None or e.expires_at is None:
        return None
    return certificate_state(e.effective_at, e.expires_at, e.withdrawn_at, now)


def _certificate_missing(e: Evidence, now: datetime) -> tuple[str, ...]:
    state = state_of(e, now)
    return () if state == "active" else (f"certificate.{state or 'none'}",)


def waiting_for(e: Evidence, now: datetime) -> Waiting:
    """The next thing that this person and cabinet wait for."""
    if e.left_at is not None:
        return "nothing"
    if e.pending_public_id is not None:
        return "second_approval"
    if cabinet_permission(e, now).may_open:
        return "nothing"
    if exam_missing(e, now):
        return "exam"
    if practical_missing(e) or practical_before_withdrawal(e):
        return "practical"
    return "nothing" if e.granted is False and decided_on_this(e) else "decision"


def decided_on_this(e: Evidence) -> bool:
    """Whether the newest settled decision rested on the exam and the practical that count now."""
    return (e.decision_exam_id, e.decision_practical_id) == (e.exam_id, e.practical_id)


def pending_on_this(e: Evidence) -> bool:
    """Whether the decision that waits for its second approver rests on what counts now."""
    return (e.pending_exam_id, e.pending_practical_id) == (e.exam_id, e.practical_id)


def practical_before_withdrawal(e: Evidence) -> bool:
    """Whether a certificate was withdrawn and the person has not been observed again since."""
    return (
        e.withdrawn_at is not None
        and e.practical_signed_at is not None
        and e.practical_signed_at <= e.withdrawn_at
    )


def lapses_within(e: Evidence, now: datetime, days: int) -> bool:
    """Whether the person may open the cabinet now and the certificate runs out within `days`."""
    return (
        e.expires_at is not None
        and cabinet_permission(e, now).may_open
        and e.expires_at <= now + timedelta(days=days)
    )
