"""Freezing a version of a scheme before its first use, and making an exam use the cut that a panel sealed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts.transaction import SYSTEM, Act, act
from trainer.exams import versions
from trainer.exams.panel import Panel, in_force
from trainer.exams.paper import Find, Paper, Setting, read_paper
from trainer.exams.scheme import Scheme
from trainer.exams.unlike import MOST_PAPERS, keys_of, names_of, unlike
from trainer.records.database import Database
from trainer.records.queries import schemes as queries
from trainer.records.tables import FrozenScheme

MOST_FORMS = 50  # recent forms of a site that a new one is held against


def freeze_scheme(database: Database, *, by: Member, scheme: Scheme, now: datetime) -> Refused | None:
    """Freeze today's version as a manager of the site. The same again changes nothing."""
    if not may(by.role, "decide"):
        return Refused(("scheme.not_manager",))
    with act(database, now) as this:
        reasons = version_reasons(this.db, scheme, by, now)
        if reasons:
            return Refused(reasons)
        _freeze(this, scheme, by, by.id)
        return None


def version_reasons(db: Session, scheme: Scheme, member: Member, now: datetime) -> tuple[str, ...]:
    """Why a version cannot be used at a member's site today; nothing where it can. One statement."""
    frozen = queries.frozen(db, member.site_id, scheme.id, scheme.version)
    return versions.version_reasons(scheme, frozen, now.astimezone(ZoneInfo(member.time_zone)).date())


def freeze_at_first_use(this: Act, scheme: Scheme, member: Member) -> None:
    """Freeze a version that nobody has frozen: the first exam under it does. Ask `version_reasons` first."""
    _freeze(this, scheme, member, None)


def _freeze(this: Act, scheme: Scheme, member: Member, by: int | None) -> None:
    if queries.frozen(this.db, member.site_id, scheme.id, scheme.version) is not None:
        return
    text, digest = versions.scheme_text(scheme), versions.fingerprint(scheme)
    row = FrozenScheme(
        site_id=member.site_id, scheme=scheme.id, version=scheme.version, fingerprint=digest, text=text,
        frozen_at=this.now, frozen_by_id=by,
    )  # fmt: skip
    this.db.add(row)
    this.log(
        "scheme.frozen",
        by=member.public_id if by else SYSTEM,
        about=f"site:{member.site_id}",
        scheme=scheme.id,
        version=scheme.version,
        sha256=digest,
    )


def with_panel(
    db: Session, scheme: Scheme, setting: Setting, site_id: int, now: datetime
) -> tuple[Scheme, Setting]:
    """Scheme and setting with what the panel in force sealed; as they are where none has. One statement."""
    panel = in_force(queries.sealed_panels(db, site_id, scheme.id, scheme.version), now)
    if panel is None or panel.cut is None:
        return scheme, setting
    reference = reference_of(panel)
    return (
        replace(scheme, cut=panel.cut),
        replace(
            setting,
            reference=reference.form,
            ratings=ratings_of(panel, reference),
            cut_from=panel.public_id,
        ),
    )


@dataclass(frozen=True)
class Past:
    """A person's papers, newest first, each with its scheme, and what draws their instances again."""

    papers: Sequence[tuple[str, Paper]]
    find: Find
    secret: bytes


def with_past(db: Session, setting: Setting, past: Past, scheme: Scheme, who: Member) -> Setting:
    """The setting with what came before, this person's and their co-workers'. One statement."""
    beside = queries.recent_forms(db, who.site_id, scheme.id, MOST_FORMS, but=who.id)
    last = next((names_of(paper) for name, paper in past.papers if name == scheme.id), None)
    own = [keys_of(paper, past.find, past.secret) for _, paper in past.papers[:MOST_PAPERS]]
    return unlike(setting, own, last, beside)


def reference_of(panel: Panel) -> Paper:
    """The paper that a panel rates."""
    return read_paper(json.loads(panel.form))


def ratings_of(panel: Panel, reference: Paper) -> Mapping[str, float]:
    """What a sealed panel said of each question, as a chance."""
    means = json.loads(panel.result or "{}").get("items", ())
    return {slot.question: mean for slot, mean in zip(reference.form.slots, means, strict=False)}
