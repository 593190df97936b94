"""Whether a checklist that an observer sent is on record."""

from __future__ import annotations

from sqlalchemy import or_, select

from trainer.records.database import Session
from trainer.records.tables import Practical, PracticalSecond


def has_arrived(db: Session, observer_id: int, public_id: str) -> bool:
    """Whether the observer has signed this practical, as the first or as the second observer. One statement."""
    p, s = Practical, PracticalSecond
    first = select(p.id).where(p.public_id == public_id, p.observer_id == observer_id).exists()
    second = select(s.id).where(s.public_id == public_id, s.observer_id == observer_id).exists()
    return bool(db.scalar(select(or_(first, second))))
