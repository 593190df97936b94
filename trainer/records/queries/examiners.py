"""How many people each examiner of a site judged, and how many passed: observers of practicals, and deciders."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, case, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from trainer.certificates.pass_rates import Judged
from trainer.records.tables import Decision, Person, Practical


def practicals_judged(db: Session, site_id: int) -> list[Judged]:
    """Practicals by who signed them as the first observer, by name. One statement."""
    return _judged(db, _counted(Practical.passed, Practical.observer_id), site_id)


def decisions_judged(db: Session, site_id: int) -> list[Judged]:
    """Decisions on cabinets by the manager who decided, by name; passed means granted. One statement."""
    return _judged(db, _counted(Decision.granted, Decision.decided_by_id), site_id)


def _counted(passed: InstrumentedAttribute[bool], by: InstrumentedAttribute[int]) -> Select[*tuple[Any, ...]]:
    good = func.sum(case((passed, 1), else_=0))
    return select(Person.public_id, Person.name, good, func.count()).where(Person.id == by)


def _judged(db: Session, statement: Select[*tuple[Any, ...]], site_id: int) -> list[Judged]:
    grouped = statement.where(Person.site_id == site_id).group_by(Person.id, Person.public_id, Person.name)
    return [Judged(*row) for row in db.execute(grouped.order_by(Person.name, Person.id))]
