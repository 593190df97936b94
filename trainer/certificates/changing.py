"""Whether a certificate may be suspended, given back, reduced or withdrawn, and whom a changed machine touches."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import Evidence, overlaps, retrained, unmet
from trainer.certificates.scope import TASKS
from trainer.certificates.states import Change, Standing

RUNNING = ("active", "not_yet", "suspended", "reduced")
LONGEST_BACK = timedelta(
    days=366
)  # how late a change of the machine may be written down; common practice, no source


@dataclass(frozen=True)
class Changer:
    """Who is about to change a certificate, and why."""

    by_id: int
    role: Role
    reason: str


def judge_suspension(stands: Standing, holder_id: int, changer: Changer) -> tuple[str, ...]:
    """Every reason why this person cannot suspend the certificate."""
    return (*_changer_reasons(stands, holder_id, changer), *_no_reason("suspension.no_reason", changer))


def judge_reduction(
    stands: Standing, holder_id: int, changer: Changer, taken: Collection[str]
) -> tuple[str, ...]:
    """Every reason why these tasks cannot be taken out of the certificate's scope."""
    left = set(TASKS) - set(stands.taken) - set(taken)
    return (
        *_changer_reasons(stands, holder_id, changer),
        *unmet(
            {
                "reduction.nothing": bool(set(taken) - set(stands.taken)) and set(taken) <= set(TASKS),
                "reduction.everything": bool(left),
            }
        ),
        *_no_reason("reduction.no_reason", changer),
    )


def judge_lift(e: Evidence, suspension: Change | None, changer: Changer) -> tuple[str, ...]:
    """Every reason why this person cannot lift the suspension; None is one that is not open.

    Whoever trained or observed does not lift: giving permission back is a decision like granting it.
    """
    needs_retraining = suspension is not None and suspension.cause != "by_manager"
    return (
        *unmet(
            {
                "decider.no_right": may(changer.role, "decide"),
                "decider.is_person": changer.by_id != e.person_id,
                "lift.not_suspended": suspension is not None,
                "lift.overlaps": not overlaps(e, changer.by_id),
                "lift.no_retraining": suspension is None
                or not needs_retraining
                or retrained(e, suspension.since),
            }
        ),
        *_no_reason("lift.no_reason", changer),
    )


def judge_withdrawal(role: Role, reason: str) -> tuple[str, ...]:
    """Every reason why the certificate cannot be withdrawn by this person in this way."""
    return unmet({"decider.no_right": may(role, "decide"), "withdrawal.no_reason": bool(reason.strip())})


def judge_machine_change(role: Role, what: str, since: datetime, now: datetime) -> tuple[str, ...]:
    """Every reason why a change of a machine or of its procedure cannot be written down in this way."""
    return unmet(
        {
            "decider.no_right": may(role, "decide"),
            "change.nothing_said": bool(what.strip()),
            "change.future": since <= now,
            "change.too_long_ago": now - LONGEST_BACK <= since,
        }
    )


def touched_by(since: datetime, practical_signed_at: datetime) -> bool:
    """Whether a certificate rests on a practical from before the change, so that its holder must be retrained."""
    return practical_signed_at <= since


def _changer_reasons(stands: Standing, holder_id: int, changer: Changer) -> tuple[str, ...]:
    return unmet(
        {
            "decider.no_right": may(changer.role, "decide"),
            "decider.is_person": changer.by_id != holder_id,
            "certificate.not_running": stands.state in RUNNING,
        }
    )


def _no_reason(key: str, changer: Changer) -> tuple[str, ...]:
    return unmet({key: bool(changer.reason.strip())})
