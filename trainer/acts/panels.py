"""A panel that sets a cut: opening it, naming judges, rating, handing in, another round, adopting and sealing."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import rfc8785
from sqlalchemy import select

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts.exams import ExamTools
from trainer.acts.free_text import digest, too_long
from trainer.acts.schemes import reference_of, version_reasons
from trainer.acts.transaction import Act, act
from trainer.exams.panel import (
    MOST_ROUNDS,
    Adoption,
    Judge,
    Panel,
    Rating,
    Study,
    judge_rating,
    next_item,
    round_of,
    seal_reasons,
    study,
)
from trainer.exams.paper import Paper, Setting, paper_document, set_paper
from trainer.exams.scheme import Scheme
from trainer.records.database import Database
from trainer.records.log import moment_text
from trainer.records.queries import measuring, people, questions, statistics
from trainer.records.queries import schemes as queries
from trainer.records.tables import CutJudge, CutPanel, CutRating


@dataclass(frozen=True)
class Nomination:
    """Who is to be a judge, and what qualifies them."""

    person_id: int
    qualification: str


def open_panel(
    database: Database, *, by: Member, scheme: Scheme, definition: str, tools: ExamTools, now: datetime
) -> Refused | str:
    """Open a panel on today's version; the form that it rates is set at once. Gives its public id."""
    if not may(by.role, "decide"):
        return Refused(("scheme.not_manager",))
    with act(database, now) as this:
        earlier = queries.panels(this.db, by.site_id, scheme.id)
        sheet = people.sheet_in_force(this.db, by.site_id)
        stands = {
            "panel.no_definition": not definition.strip(),
            "panel.one_open": any(one.is_open for one in earlier),
            "exam.no_sheet": sheet is None,
        }
        reasons = [key for key, holds in stands.items() if holds]
        reasons += [*version_reasons(this.db, scheme, by, now), *too_long(definition)]
        if reasons or sheet is None:
            return Refused(tuple(reasons))
        public_id = str(uuid.uuid4())
        paper = _reference(this, by, scheme, tools, (public_id, sheet.version))
        if paper is None:
            return Refused(("panel.no_form",))
        number = 1 + max((one.number for one in earlier if one.version == scheme.version), default=0)
        row = CutPanel(
            public_id=public_id, site_id=by.site_id, scheme=scheme.id, version=scheme.version, number=number,
            definition=definition.strip(), form=rfc8785.dumps(paper_document(paper)).decode("utf-8"),
            sheet_version=sheet.version, round=1, opened_at=now, opened_by_id=by.id, reason="",
        )  # fmt: skip
        this.db.add(row)
        this.log(
            "panel.opened", by=by.public_id, about=f"site:{by.site_id}", panel=public_id, scheme=scheme.id,
            version=scheme.version, number=number, definition_sha256=digest(row.definition),
            form_sha256=digest(row.form),
        )  # fmt: skip
        return public_id


def _reference(
    this: Act, by: Member, scheme: Scheme, tools: ExamTools, about: tuple[str, int]
) -> Paper | None:
    public_id, sheet_version = about
    bank = questions.bank_at(this.db, tools.bank, by.site_id, pilots=False)
    setting = Setting(
        values=tools.sheet_values(by.site_id, sheet_version),
        system=by.system,
        label=f"panel|{public_id}",
        barred=measuring.kept_out(this.db, by.site_id, sheet_version, bank)
        | statistics.out_of_use(this.db, by.site_id, bank),
        sheet=lambda: tools.sheet(by.site_id, sheet_version),
    )
    paper = set_paper(scheme, bank, bank.find, tools.secret, setting)
    return paper if isinstance(paper, Paper) else None


def name_judge(
    database: Database, *, by: Member, public_id: str, wanted: Nomination, now: datetime
) -> Refused | None:
    """Name a judge of an open panel, before the first round is handed in."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        if panel is None or not may(by.role, "decide"):
            return Refused(("panel.unknown",))
        judges = queries.judges(this.db, panel.id)
        who = people.member(this.db, wanted.person_id)
        fit = who is not None and who.site_id == by.site_id and who.left_at is None and may(who.role, "train")
        stands = {
            "panel.sealed": panel.sealed_at is not None,
            "panel.dropped": panel.dropped_at is not None,
            "panel.begun": any(one.handed_in for one in judges),
            "panel.cannot_judge": not fit,
            "panel.judge_twice": any(one.person_id == wanted.person_id for one in judges),
            "panel.no_qualification": not wanted.qualification.strip(),
        }
        reasons = (*(key for key, holds in stands.items() if holds), *too_long(wanted.qualification))
        if reasons or who is None:
            return _held_off(this, panel, by, reasons)
        said = wanted.qualification.strip()
        this.db.add(CutJudge(panel_id=panel.id, person_id=who.id, qualification=said, handed_in=0))
        this.log(
            "panel.judge_named", by=by.public_id, about=who.public_id, panel=public_id,
            qualification_sha256=digest(said),
        )  # fmt: skip
        return None


def rate(
    database: Database, *, by: Member, public_id: str, item: int, per_cent: int, round_: int, now: datetime
) -> Refused | None:
    """Keep what a judge says of one item; it may be said again until the round is handed in."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        if panel is None:
            return Refused(("panel.unknown",))
        judge = _judge(this, panel, by)
        rating = Rating(judge.id if judge else 0, round_, item, per_cent)
        reasons = judge_rating(panel, judge, rating, len(reference_of(panel).form.slots))
        if reasons:
            return _held_off(this, panel, by, reasons)
        r = CutRating
        row = this.db.scalar(
            select(r).where(r.judge_id == rating.judge, r.round == round_, r.item == item)
        ) or CutRating(judge_id=rating.judge, round=round_, item=item)
        row.per_cent, row.rated_at = per_cent, now
        this.db.add(row)
        return None


def hand_in(database: Database, *, by: Member, public_id: str, now: datetime) -> Refused | None:
    """Hand in a round: its ratings stand from now on, and the log holds what they were. Again changes nothing."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        judge = _judge(this, panel, by) if panel else None
        if panel is None or judge is None:
            return Refused(("panel.not_judge",))
        if judge.handed_in >= panel.round and panel.is_open:
            return None
        items = len(reference_of(panel).form.slots)
        given = [one for one in queries.ratings(this.db, panel.id) if one.judge == judge.id]
        stands = {
            "panel.sealed": panel.sealed_at is not None,
            "panel.dropped": panel.dropped_at is not None,
            "panel.not_all_rated": next_item(given, judge, panel.round, items) is not None,
        }
        reasons = tuple(key for key, holds in stands.items() if holds)
        if reasons:
            return _held_off(this, panel, by, reasons)
        this.db.get_one(CutJudge, judge.id).handed_in = panel.round
        said = {one.item: one.per_cent for one in given if one.round == panel.round}
        this.log(
            "panel.round_handed_in", by=by.public_id, about=by.public_id, panel=public_id, round=panel.round,
            items=items, per_cent=[said[item] for item in range(1, items + 1)],
        )  # fmt: skip
        return None


def next_round(database: Database, *, by: Member, public_id: str, now: datetime) -> Refused | None:
    """Have the panel rate again, after it has seen what the round came to."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        if panel is None or not may(by.role, "decide"):
            return Refused(("panel.unknown",))
        judges = queries.judges(this.db, panel.id)
        stands = {
            "panel.sealed": panel.sealed_at is not None,
            "panel.dropped": panel.dropped_at is not None,
            "panel.round_open": not judges or any(one.handed_in < panel.round for one in judges),
            "panel.last_round": panel.round >= MOST_ROUNDS,
        }
        reasons = tuple(key for key, holds in stands.items() if holds)
        if reasons:
            return _held_off(this, panel, by, reasons)
        this.db.get_one(CutPanel, panel.id).round = panel.round + 1
        about = f"site:{by.site_id}"
        this.log("panel.round_opened", by=by.public_id, about=about, panel=public_id, round=panel.round + 1)
        return None


def seal(
    database: Database, *, by: Member, public_id: str, wanted: Adoption, now: datetime
) -> Refused | None:
    """Adopt a cut and seal the panel; `wanted.used` is looked up here. Nothing of it ever changes afterwards."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        if panel is None or not may(by.role, "decide"):
            return Refused(("panel.unknown",))
        wanted = replace(wanted, used=queries.is_used(this.db, by.site_id, panel.scheme, panel.version))
        judges = queries.judges(this.db, panel.id)
        items = len(reference_of(panel).form.slots)
        found = study_of(judges, queries.ratings(this.db, panel.id), panel.round, items)
        reasons = (*seal_reasons(panel, judges, found, wanted, now), *too_long(wanted.reason))
        if reasons or found is None:
            return _held_off(this, panel, by, reasons)
        row = this.db.get_one(CutPanel, panel.id)
        row.sealed_at, row.sealed_by_id, row.cut = now, by.id, wanted.cut
        row.effective_from, row.reason = wanted.effective_from, wanted.reason.strip()
        row.result = rfc8785.dumps(study_document(found)).decode("utf-8")
        this.log(
            "panel.sealed", by=by.public_id, about=f"site:{by.site_id}", panel=public_id, scheme=panel.scheme,
            version=panel.version, cut=wanted.cut, items=items, judges=len(judges), mean=f"{found.cut:.3f}",
            se=f"{found.se:.3f}", counts_from=moment_text(wanted.effective_from), result_sha256=digest(row.result),
            reason_sha256=digest(row.reason),
        )  # fmt: skip
        return None


def drop(database: Database, *, by: Member, public_id: str, now: datetime) -> Refused | None:
    """Drop a panel that still sits: its ratings stay on record and set nothing."""
    with act(database, now) as this:
        panel = queries.panel(this.db, by.site_id, public_id)
        if panel is None or not may(by.role, "decide"):
            return Refused(("panel.unknown",))
        if not panel.is_open:
            return _held_off(this, panel, by, ("panel.sealed" if panel.sealed_at else "panel.dropped",))
        this.db.get_one(CutPanel, panel.id).dropped_at = now
        this.log("panel.dropped", by=by.public_id, about=f"site:{by.site_id}", panel=public_id)
        return None


def _judge(this: Act, panel: Panel, by: Member) -> Judge | None:
    return next((one for one in queries.judges(this.db, panel.id) if one.person_id == by.id), None)


def _held_off(this: Act, panel: Panel, by: Member, reasons: tuple[str, ...]) -> Refused:
    """A refusal; where somebody would have changed what is sealed, the log keeps that they tried."""
    if "panel.sealed" in reasons:
        this.log("panel.held_off", by=by.public_id, about=f"site:{panel.site_id}", panel=panel.public_id)
    return Refused(reasons)


def study_of(judges: list[Judge], ratings: list[Rating], number: int, items: int) -> Study | None:
    """What a round came to; None while fewer than two judges have handed it in."""
    rows = round_of(ratings, judges, number, items)
    return study(rows) if len(rows) > 1 else None


def study_document(found: Study) -> dict[str, Any]:
    """A study as plain values, for JSON."""
    return {name: list(value) if isinstance(value, tuple) else value for name, value in vars(found).items()}


def read_study(kept: str) -> Study:
    """The study of what `study_document` gave, as JSON."""
    document: dict[str, Any] = json.loads(kept)
    document.update((name, tuple(document[name])) for name in ("sums", "items"))
    return Study(**document)
