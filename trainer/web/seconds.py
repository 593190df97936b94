"""Which practicals wait for a second observer, and from whom their marks are hidden until then."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.certificates.observing import SECOND_WITHIN, FirstSigned, marks_hidden, observer_lacks
from trainer.records.queries import agreement as sampled
from trainer.records.queries import practicals as queries
from trainer.web.house import me, now

if TYPE_CHECKING:
    from trainer.records.database import Session


@dataclass(frozen=True)
class SecondWanted:
    """A practical that I could be the second observer of; its marks are hidden from me."""

    public_id: str
    person: str
    machine: str


def wanted_of_me(db: Session) -> dict[str, SecondWanted]:
    """The practicals whose second observer I could be, newest first, by public id. Three statements."""
    held = queries.qualifications_of(db, me().id)
    seen = sampled.shown_to(db, me().id)
    found = queries.awaiting_second(db, me().site_id, now() - SECOND_WITHIN)
    return {
        first.public_id: SecondWanted(first.public_id, person, machine)
        for first, person, machine in found
        if first.public_id not in seen and _hidden(first, observer_lacks(held, first.machine_id, now()))
    }


def is_hidden(db: Session, first: FirstSigned) -> bool:
    """Whether the marks of this practical are hidden from me. One statement."""
    held = queries.qualifications_of(db, me().id)
    return _hidden(first, observer_lacks(held, first.machine_id, now()))


def _hidden(first: FirstSigned, lacks: tuple[str, ...]) -> bool:
    return marks_hidden(first, me().id, lacks, now())
