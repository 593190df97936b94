"""The register of threats to impartiality: what an entry must say, and when its review is overdue.

ISO/IEC 17024 asks that such threats are identified and looked at again from time to time (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import unmet
from trainer.certificates.states import add_months

MOST_MONTHS = 12  # the longest time to the next review; common practice, no source


@dataclass(frozen=True)
class Threat:
    """One state of a threat as it is about to be written down."""

    threat: str
    treatment: str
    owner_is_here: bool
    review_on: date
    closed: bool = False


def judge_threat(one: Threat, role: Role, today: date) -> tuple[str, ...]:
    """Every reason why this entry cannot be written down; a closed one needs no further review."""
    return unmet(
        {
            "threat.no_right": may(role, "decide"),
            "threat.nothing_said": bool(one.threat.strip()),
            "threat.no_treatment": bool(one.treatment.strip()),
            "threat.no_owner": one.owner_is_here,
            "threat.review_past": one.closed or today < one.review_on,
            "threat.review_far": one.closed or one.review_on <= add_months(today, MOST_MONTHS),
        }
    )


def review_overdue(review_on: date, closed: bool, today: date) -> bool:
    """Whether an open threat should have been looked at again before today."""
    return not closed and review_on < today
