"""Whether a practical may be signed, a decision made, approved a second time, or a certificate withdrawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import (
    Evidence,
    decided_on_this,
    exam_missing,
    overlaps,
    pending_on_this,
    practical_missing,
    practical_stale,
    standing_of,
    state_of,
    unmet,
)
from trainer.certificates.states import expiry
from trainer.exams.scheme import Checklist

MARKS = ("met", "not_met", "not_seen")  # what was not seen counts as not met
MOST_BENCHES = 10  # runs of benches that are shown with one practical; common practice, no source


@dataclass(frozen=True)
class Terms:
    """For how many calendar months a certificate counts at the most, and on which site's clock."""

    months: int
    time_zone: str


@dataclass(frozen=True)
class Proposal:
    """A decision as a manager is about to make it."""

    by_id: int
    role: Role
    granted: bool
    reason: str = ""
    overlap_reason: str = ""


@dataclass(frozen=True)
class StepMark:
    """One step of a practical as it was observed."""

    step: str
    critical: bool
    mark: str | None


def judge_decision(e: Evidence, proposal: Proposal, terms: Terms, now: datetime) -> tuple[str, ...]:
    """Every reason why this decision cannot be made now; empty when it can."""
    who = unmet(
        {
            "person.left": e.left_at is None or now < e.left_at,
            "decider.no_right": may(proposal.role, "decide"),
            "decider.is_person": proposal.by_id != e.person_id,
        }
    )
    what = _grant_reasons(e, proposal, terms, now) if proposal.granted else _refuse_reasons(e, proposal, now)
    return (*who, *what)


def _grant_reasons(e: Evidence, proposal: Proposal, terms: Terms, now: datetime) -> tuple[str, ...]:
    overlap = overlaps(e, proposal.by_id)
    return (
        *evidence_reasons(e, terms, now),
        *unmet(
            {
                "decision.already_granted": not (e.granted and decided_on_this(e) and not _is_over(e, now)),
                "decision.suspended": not suspended_by_manager(e, now),
                "decision.already_waiting": e.pending_public_id is None or not pending_on_this(e),
                "overlap.no_reason": not overlap or bool(proposal.overlap_reason.strip()),
            }
        ),
    )


def evidence_reasons(e: Evidence, terms: Terms, now: datetime) -> tuple[str, ...]:
    """Every reason why the exam and the practical do not carry a certificate from `now` on."""
    exam, practical = exam_missing(e, now), practical_missing(e)
    lasts = bool(practical) or bool(exam) or now < expiry_of(e, terms, now)
    return (*exam, *practical, *practical_stale(e), *unmet({"practical.too_old": lasts}))


def expiry_of(e: Evidence, terms: Terms, effective_at: datetime) -> datetime:
    """When a certificate issued at `effective_at` on this evidence runs out; the evidence must be whole."""
    if e.exam_valid_until is None or e.practical_signed_at is None:
        raise ValueError("there is no exam or no practical to reckon the expiry from")
    return expiry(effective_at, e.exam_valid_until, e.practical_signed_at, terms.months, terms.time_zone)


def suspended_by_manager(e: Evidence, now: datetime) -> bool:
    """Whether a manager's suspension is still open: it is lifted, or the certificate withdrawn, never granted over."""
    stands = standing_of(e, now)
    if stands is None or stands.state == "withdrawn":
        return False
    return any(one.cause == "by_manager" for one in stands.suspensions)


def _is_over(e: Evidence, now: datetime) -> bool:
    return state_of(e, now) in ("expired", "withdrawn")


def _refuse_reasons(e: Evidence, proposal: Proposal, now: datetime) -> tuple[str, ...]:
    return unmet(
        {
            "decision.no_reason": bool(proposal.reason.strip()),
            "certificate.still_active": state_of(e, now) in (None, "expired", "withdrawn"),
        }
    )


def judge_second(
    e: Evidence, by_id: int, role: Role, decision_public_id: str, *, terms: Terms, now: datetime
) -> tuple[str, ...]:
    """Every reason why this person cannot be the second approver of this decision now."""
    return (
        *unmet(
            {
                "person.left": e.left_at is None or now < e.left_at,
                "decision.not_waiting": e.pending_public_id == decision_public_id,
                "decider.no_right": may(role, "decide"),
                "second_approver.same": by_id not in (e.pending_by_id, e.person_id),
                "second_approver.overlaps": not overlaps(e, by_id),
                "decision.older_evidence": e.pending_public_id is None or pending_on_this(e),
                "decision.suspended": not suspended_by_manager(e, now),
            }
        ),
        *evidence_reasons(e, terms, now),
    )


def judge_practical(
    marks: Sequence[StepMark], observer_id: int, observer_role: Role, person_id: int, person_left: bool
) -> tuple[str, ...]:
    """Every reason why this practical cannot be signed; failing a step is no reason: that is a signed fail."""
    return unmet(
        {
            "person.left": not person_left,
            "observer.no_right": may(observer_role, "train"),
            "observer.is_person": observer_id != person_id,
            "practical.no_steps": bool(marks),
            "practical.unanswered": all(one.mark in MARKS for one in marks),
        }
    )


@dataclass(frozen=True)
class BenchShown:
    """A run of a bench that an observer shows with a practical: whose it is, and whether it has ended."""

    person_id: int
    ended: bool


def judge_benches(shown: Sequence[BenchShown | None], person_id: int) -> tuple[str, ...]:
    """Every reason why these runs cannot stand beside a person's practical; None is one that nobody knows."""
    if len(shown) > MOST_BENCHES:
        return ("practical.too_many_benches",)
    return unmet(
        {
            "practical.bench_not_theirs": all(one and one.person_id == person_id for one in shown),
            "practical.bench_open": all(one is None or one.ended for one in shown),
        }
    )


def practical_passed(marks: Sequence[StepMark]) -> bool:
    """Whether every critical step was met. Other steps not met stay in sight: the manager decides with them."""
    return bool(marks) and not failed_critical(marks)


def failed_critical(marks: Sequence[StepMark]) -> tuple[str, ...]:
    """The critical steps that were not met."""
    return tuple(one.step for one in marks if one.critical and one.mark != "met")


def marks_from(checklist: Checklist | None, answers: Mapping[str, str | None]) -> tuple[StepMark, ...]:
    """The checklist's steps, in order, each with the mark given to it, if any."""
    steps = checklist.steps if checklist else ()
    return tuple(StepMark(step.id, step.critical, answers.get(step.id)) for step in steps)
