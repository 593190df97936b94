"""Frozen versions of schemes, panels that set a cut, and the forms that were set of late."""

from __future__ import annotations

import json
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.exams.panel import Judge, Panel, Rating
from trainer.exams.versions import Frozen
from trainer.records.tables import CutJudge, CutPanel, CutRating, Exam, FrozenScheme, Person


def frozen(db: Session, site_id: int, scheme: str, version: int) -> Frozen | None:
    """A version as it was frozen. One statement."""
    row = db.execute(_frozen(site_id, scheme).where(FrozenScheme.version == version)).mappings().first()
    return None if row is None else Frozen(**row)


def frozen_versions(db: Session, site_id: int, scheme: str) -> list[Frozen]:
    """Every version of a scheme that was frozen, newest first. One statement."""
    rows = db.execute(_frozen(site_id, scheme).order_by(FrozenScheme.version.desc()))
    return [Frozen(**row) for row in rows.mappings()]


def _frozen(site_id: int, scheme: str) -> Select[*tuple[Any, ...]]:
    f = FrozenScheme
    return (
        select(f.scheme, f.version, f.fingerprint, f.frozen_at, Person.name.label("frozen_by"))
        .outerjoin(Person, Person.id == f.frozen_by_id)
        .where(f.site_id == site_id, f.scheme == scheme)
    )


def _panels() -> Select[*tuple[Any, ...]]:
    p = CutPanel
    return select(
        p.id, p.public_id, p.site_id, p.scheme, p.version, p.number, p.definition, p.form, p.sheet_version, p.round,
        p.opened_at, p.sealed_at, p.dropped_at, Person.name.label("sealed_by"), p.cut, p.reason, p.effective_from,
        p.result,
    ).outerjoin(Person, Person.id == p.sealed_by_id)  # fmt: skip


def panels(db: Session, site_id: int, scheme: str) -> list[Panel]:
    """Every panel of a site on a scheme, newest first. One statement."""
    p = CutPanel
    chosen = _panels().where(p.site_id == site_id, p.scheme == scheme)
    return [Panel(**row) for row in db.execute(chosen.order_by(p.id.desc())).mappings()]


def sealed_panels(db: Session, site_id: int, scheme: str, version: int) -> list[Panel]:
    """The sealed panels of a site on one version of a scheme. One statement."""
    p = CutPanel
    chosen = _panels().where(p.site_id == site_id, p.scheme == scheme, p.version == version)
    rows = db.execute(chosen.where(p.sealed_at.is_not(None)).order_by(p.id))
    return [Panel(**row) for row in rows.mappings()]


def panel(db: Session, site_id: int, public_id: str) -> Panel | None:
    """One panel of a site. One statement."""
    chosen = _panels().where(CutPanel.site_id == site_id, CutPanel.public_id == public_id)
    row = db.execute(chosen).mappings().first()
    return None if row is None else Panel(**row)


def open_panels_of(db: Session, person_id: int) -> list[Panel]:
    """The panels that still sit and that a person is a judge of, oldest first. One statement."""
    p = CutPanel
    rows = db.execute(
        _panels()
        .join(CutJudge, CutJudge.panel_id == p.id)
        .where(CutJudge.person_id == person_id, p.sealed_at.is_(None), p.dropped_at.is_(None))
        .order_by(p.id)
    )
    return [Panel(**row) for row in rows.mappings()]


def judges(db: Session, panel_id: int) -> list[Judge]:
    """The members of a panel, in the order they were named. One statement."""
    j = CutJudge
    rows = db.execute(
        select(j.id, j.person_id, Person.name, j.qualification, j.handed_in)
        .join(Person, Person.id == j.person_id)
        .where(j.panel_id == panel_id)
        .order_by(j.id)
    )
    return [Judge(**row) for row in rows.mappings()]


def ratings(db: Session, panel_id: int) -> list[Rating]:
    """Every rating of a panel. One statement."""
    r = CutRating
    rows = db.execute(
        select(r.judge_id.label("judge"), r.round, r.item, r.per_cent)
        .join(CutJudge, CutJudge.id == r.judge_id)
        .where(CutJudge.panel_id == panel_id)
        .order_by(r.id)
    )
    return [Rating(**row) for row in rows.mappings()]


def recent_forms(
    db: Session, site_id: int, scheme: str, most: int, but: int | None = None
) -> list[frozenset[str]]:
    """The questions that count on a site's newest forms of a scheme, newest first. One statement.

    but: without the forms of one person
    """
    wanted = (
        select(Exam.form)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, Exam.scheme == scheme)
    )
    if but is not None:
        wanted = wanted.where(Exam.person_id != but)
    forms = db.scalars(wanted.order_by(Exam.started_at.desc(), Exam.id.desc()).limit(most))
    return [
        frozenset(slot["question"] for slot in json.loads(form).get("slots", ()) if not slot.get("pilot"))
        for form in forms
    ]


def is_used(db: Session, site_id: int, scheme: str, version: int) -> bool:
    """Whether somebody of a site has started an exam under a version. One statement."""
    one = (
        select(Exam.id)
        .join(Person, Person.id == Exam.person_id)
        .where(Person.site_id == site_id, Exam.scheme == scheme, Exam.scheme_version == version)
        .limit(1)
    )
    return db.scalar(one) is not None
