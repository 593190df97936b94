"""What a manager owes: inspections, reviews of threats, odd pass rates, appeals, passes that a key would not give."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from flask import url_for

from trainer.certificates.appeals import is_late, local_day
from trainer.certificates.impartiality import review_overdue
from trainer.certificates.inspection import is_overdue, next_due
from trainer.certificates.pass_rates import compare
from trainer.records.queries import appeals as appeal_queries
from trainer.records.queries import examiners, registers, statistics
from trainer.web import rescoring
from trainer.web.dates import date_words
from trainer.web.house import me, now
from trainer.web.words import gettext, ngettext

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trainer.records.database import Session

SOON = timedelta(days=30)


@dataclass(frozen=True)
class Duty:
    """One thing that is due: its words, where it is done, whether it is overdue."""

    words: str
    href: str
    late: bool


def due_at_site(db: Session) -> list[Duty]:
    """Everything that is overdue or due within 30 days at my site. Seven statements, ten where a pass was lowered."""
    today = local_day(now(), me().time_zone)
    lowered = [Duty(words, href, late=False) for words, href in rescoring.lowered(db)]
    found = [
        *_inspections(db, today), *_reviews(db, today), *_odd_rates(db), *_appeals(db, today), *lowered,
        *_flags(db),
    ]  # fmt: skip
    return sorted(found, key=lambda one: not one.late)


def _flags(db: Session) -> Iterator[Duty]:
    waiting = sum(one.decision is None for one in statistics.flags(db, me().site_id))
    if waiting:
        said = ngettext(
            "%(count)s question out of scored use waits for a decision",
            "%(count)s questions out of scored use wait for a decision", waiting,
        ) % {"count": waiting}  # fmt: skip
        yield Duty(said, url_for("statistics.page"), late=True)


def inspection_words(last: date | None) -> str:
    """When the next inspection is due."""
    due = next_due(last)
    if due is None:
        return gettext("no inspection on record")
    return gettext("inspection due by %(day)s") % {"day": date_words(due)}


def inspection_of(db: Session, machine_id: int) -> Duty | None:
    """How the yearly inspection of one machine of my site stands. One statement."""
    today = local_day(now(), me().time_zone)
    for one in registers.last_inspections(db, me().site_id):
        if one.machine_id == machine_id:
            said = inspection_words(one.last)
            return Duty(said, url_for("inspections.everything"), is_overdue(one.last, today))
    return None


def _inspections(db: Session, today: date) -> Iterator[Duty]:
    for one in registers.last_inspections(db, me().site_id):
        due = next_due(one.last)
        if due is None or due <= today + SOON:
            words = f"{one.machine}: {inspection_words(one.last)}"
            yield Duty(words, url_for("inspections.everything"), is_overdue(one.last, today))


def _reviews(db: Session, today: date) -> Iterator[Duty]:
    for one in registers.threats(db, me().site_id):
        if not one.closed and one.review_on <= today + SOON:
            words = gettext("Threat to impartiality: review by %(day)s") % {"day": date_words(one.review_on)}
            late = review_overdue(one.review_on, one.closed, today)
            yield Duty(words, url_for("impartiality.threat", threat_id=one.threat_id), late)


def _odd_rates(db: Session) -> Iterator[Duty]:
    judged = (examiners.practicals_judged(db, me().site_id), examiners.decisions_judged(db, me().site_id))
    odd = {one.mine.name for lines in judged for one in compare(lines) if one.odd}
    for name in sorted(odd):
        words = gettext("Odd pass rate of %(name)s: look into it") % {"name": name}
        yield Duty(words, url_for("impartiality.register"), late=False)


def _appeals(db: Session, today: date) -> Iterator[Duty]:
    for one in appeal_queries.appeals_of_site(db, me().site_id):
        if one.state != "decided":
            said = (
                gettext("Appeal of %(name)s: take it on by %(day)s")
                if one.state == "filed"
                else gettext("Appeal of %(name)s: decide it by %(day)s")
            )
            day = one.due.acknowledge if one.state == "filed" else one.due.decide
            words = said % {"name": one.person, "day": date_words(day)}
            yield Duty(
                words, url_for("appeals.one", public_id=one.public_id), is_late(one.state, one.due, today)
            )
