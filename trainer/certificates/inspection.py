"""The yearly inspection of a machine's lockout procedure: who may inspect, what is written down, when it is overdue.

29 CFR 1910.147(c)(6), paraphrased: each procedure is inspected at least annually by an authorized employee other than
those who use it; the employer certifies machine, date, employees included and inspector.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.access.members import Role
from trainer.access.rights import may
from trainer.certificates.permission import unmet
from trainer.certificates.states import add_months

MONTHS = 12  # "at least annually": our reading is that it is overdue once twelve months have passed
LONGEST_BACK = timedelta(days=366)  # how late an inspection may be written down; common practice, no source


@dataclass(frozen=True)
class Inspection:
    """An inspection as it is about to be written down; people by id.

    included: with whom the procedure was reviewed
    used: those of them who were using the procedure while it was inspected
    inspector_authorized: whether the inspector may open a cabinet of the site
    """

    inspected_on: date
    inspector_id: int
    included: frozenset[int]
    used: frozenset[int]
    inspector_authorized: bool


def judge_inspection(one: Inspection, role: Role, same_site: Collection[int], today: date) -> tuple[str, ...]:
    """Every reason why this inspection cannot be written down."""
    everyone = {one.inspector_id, *one.included, *one.used}
    return unmet(
        {
            "inspection.no_right": may(role, "train"),
            "site.other": everyone <= set(same_site),
            "inspection.nobody_included": bool(one.included),
            "inspection.nobody_used": bool(one.used),
            "inspection.used_not_included": one.used <= one.included,
            "inspection.inspector_used": one.inspector_id not in one.used,
            "inspection.inspector_not_authorized": one.inspector_authorized,
            "inspection.future": one.inspected_on <= today,
            "inspection.too_long_ago": today - LONGEST_BACK <= one.inspected_on,
        }
    )


def next_due(last: date | None) -> date | None:
    """The day by which the next inspection is due; None when there has been none, so that it is due now."""
    return None if last is None else add_months(last, MONTHS)


def is_overdue(last: date | None, today: date) -> bool:
    """Whether twelve months have passed since the last inspection, or there has been none."""
    due = next_due(last)
    return due is None or due < today
