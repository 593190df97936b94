"""Manage: who may open each cabinet and why others may not, decisions, certificates, the log in words."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, replace

from flask import Blueprint, Response, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse
from wtforms import Form, HiddenField, TextAreaField
from wtforms.validators import UUID

from trainer.access.refusal import Refused
from trainer.acts import certifying as acts
from trainer.acts.standing import withdraw as withdraw_certificate
from trainer.certificates.decision import Terms, evidence_reasons, expiry_of
from trainer.certificates.facts import CabinetPlace, CertificateHeld
from trainer.certificates.paper import RosterLine, RosterPaper, roster_pdf
from trainer.certificates.permission import (
    Evidence,
    cabinet_permission,
    lapses_within,
    overlaps,
    standing_of,
)
from trainer.certificates.scope import TASKS
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying as queries
from trainer.records.queries import people
from trainer.web import duties
from trainer.web.cabinet_words import (
    CAUSES,
    CHANGES,
    LAPSE_DAYS,
    STATES,
    cabinet_scheme,
    exam_line,
    log_line,
    person_line,
    person_lines,
    practical_line,
    say,
)
from trainer.web.dates import moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.seconds import wanted_of_me
from trainer.web.words import Later, gettext, language

page = Blueprint("manage", __name__)

LOG_PAGE = 50
Refusal = tuple[str, int, dict[str, str]]


class DecisionForm(Form):
    """A decision: the button says whether it grants or refuses."""

    form_id = HiddenField("", [UUID()])
    reason = TextAreaField(Later("Reason, if you refuse"))
    overlap_reason = TextAreaField(Later("Why you decide although you trained or observed"))


class WithdrawForm(Form):
    """Why a certificate is withdrawn."""

    reason = TextAreaField(Later("Reason"))


@dataclass(frozen=True)
class Case:
    """What a decision rests on: the evidence, in full, of one person at one cabinet."""

    cabinet: CabinetPlace
    evidence: Evidence


@page.get("/cabinets")
@needs("decide")
def cabinets() -> str:
    """The manager's front door: each cabinet, what waits for a decision, what lapses soon."""
    with reading() as db:
        evidence = queries.site_evidence(db, me().site_id, cabinet_scheme().id)
        places = queries.cabinets(db, me().site_id)
        due = duties.due_at_site(db)
    lines = person_lines(evidence, now())
    return render_template(
        "manage/cabinets.html",
        cabinets=[(one, [line for line in lines if line.evidence.cabinet_id == one.id]) for one in places],
        waiting=[line for line in lines if line.waits in ("decision", "second_approval", "lift")],
        due=due,
        lapsing=[line for line in lines if lapses_within(line.evidence, now(), LAPSE_DAYS)],
        now=moment_words(now()),
        days=LAPSE_DAYS,
    )


@page.get("/cabinets/<int:cabinet_id>")
@needs("decide")
def roster(cabinet_id: int) -> str:
    """Who may open this cabinet now, and what everyone else still lacks."""
    cabinet, evidence, head = _roster(cabinet_id)
    with reading() as db:
        inspection = duties.inspection_of(db, cabinet.machine_id)
    return render_template(
        "manage/roster.html",
        cabinet=cabinet,
        inspection=inspection,
        lines=person_lines(evidence, now()),
        now=moment_words(now()),
        head=head,
    )


@page.get("/cabinets/<int:cabinet_id>/roster.pdf")
@needs("decide")
def roster_paper(cabinet_id: int) -> Response:
    """The roster of this moment on one sheet."""
    cabinet, evidence, head = _roster(cabinet_id)
    lines = [
        RosterLine(
            one.evidence.person, one.evidence.expires_at if one.may_open else None, one.why, _without(one.evidence)
        )
        for one in person_lines(evidence, now())
    ]  # fmt: skip
    with reading() as db:
        inspection = duties.inspection_of(db, cabinet.machine_id)
    pdf = roster_pdf(RosterPaper(cabinet, lines, head, now(), notes=_notes(inspection)), language())
    return Response(pdf, mimetype="application/pdf")


def _without(e: Evidence) -> tuple[str, ...]:
    """The tasks taken out of the certificate's scope."""
    stands = standing_of(e, now())
    taken = stands.taken if stands is not None else ()
    return tuple(TASKS[one].say(language()) for one in taken if one in TASKS)


def _notes(inspection: duties.Duty | None) -> tuple[str, ...]:
    if inspection is None:
        return ()
    late = f" {gettext('overdue').upper()}." if inspection.late else ""
    return (f"{gettext('Lockout procedure')}: {inspection.words}.{late}",)


@page.get("/cabinets/<int:cabinet_id>/decide/<public_id>")
@needs("decide")
def decide(cabinet_id: int, public_id: str) -> str:
    """The evidence on one person, and the form to decide."""
    case = _case(cabinet_id, public_id)
    form = DecisionForm(form_id=str(uuid.uuid4()))
    return render_template("manage/decide.html", form=form, refused=(), **_reviewed(case))


@page.post("/cabinets/<int:cabinet_id>/decide/<public_id>")
@needs("decide")
def decided(cabinet_id: int, public_id: str) -> AnyResponse | tuple[str, int] | Refusal:
    """Grant or refuse."""
    case = _case(cabinet_id, public_id)
    form = DecisionForm(request.form)
    if not form.validate() or request.form.get("decision") not in ("grant", "refuse"):
        return render_template("manage/decide.html", form=form, refused=(), **_reviewed(case)), 422
    done = acts.decide(
        house().database,
        acts.Decided(
            form.form_id.data or "", case.evidence.person_id, cabinet_id,
            granted=request.form["decision"] == "grant", reason=form.reason.data or "",
            overlap_reason=form.overlap_reason.data or "",
        ),
        scheme=cabinet_scheme(), by=me().id, signing_key=house().config.signing_key, now=now(),
    )  # fmt: skip
    if isinstance(done, Refused):
        return refusal_page("manage/decide.html", done, form=form, **_reviewed(case))
    flash(gettext("Decided. The decision stands in the log."))
    return redirect(url_for("manage.roster", cabinet_id=cabinet_id), 303)


@page.get("/decisions/<uuid:public_id>")
@needs("decide")
def second_approval(public_id: uuid.UUID) -> str:
    """A decision that waits for a second approver, with its evidence."""
    return render_template("manage/second.html", refused=(), **_reviewed(_waiting_case(str(public_id))))


@page.post("/decisions/<uuid:public_id>")
@needs("decide")
def approve(public_id: uuid.UUID) -> AnyResponse | Refusal:
    """Approve as the second person."""
    case = _waiting_case(str(public_id))
    done = acts.approve_second(
        house().database, decision=str(public_id), scheme=cabinet_scheme(), by=me().id,
        signing_key=house().config.signing_key, now=now(),
    )  # fmt: skip
    if isinstance(done, Refused):
        return refusal_page("manage/second.html", done, **_reviewed(case))
    flash(gettext("Approved. The certificate is issued."))
    return redirect(url_for("manage.certificate", public_id=done), 303)


@page.get("/certificates/<uuid:public_id>")
@needs("decide")
def certificate(public_id: uuid.UUID) -> str:
    """One certificate of my site, as the manager sees it."""
    held = _held(str(public_id))
    return render_template(
        "manage/certificate.html", held=held, stands=held.standing(now()), states=STATES, moment=moment_words,
        changes=CHANGES, causes=CAUSES, tasks={key: said.say(language()) for key, said in TASKS.items()},
    )  # fmt: skip


@page.get("/certificates/<uuid:public_id>/withdraw")
@needs("decide")
def withdraw(public_id: uuid.UUID) -> str:
    """Ask why the certificate is to be withdrawn."""
    return render_template(
        "manage/withdraw.html", held=_held(str(public_id)), form=WithdrawForm(), refused=()
    )


@page.post("/certificates/<uuid:public_id>/withdraw")
@needs("decide")
def withdrawn(public_id: uuid.UUID) -> AnyResponse | Refusal:
    """Withdraw the certificate for good."""
    held, form = _held(str(public_id)), WithdrawForm(request.form)
    done = withdraw_certificate(
        house().database, certificate=held.public_id, by=me().id, reason=form.reason.data or "", now=now()
    )
    if isinstance(done, Refused):
        return refusal_page("manage/withdraw.html", done, held=held, form=form)
    flash(gettext("Withdrawn. It never comes back; a new one needs a new practical and a new decision."))
    return redirect(url_for("manage.certificate", public_id=done), 303)


@page.get("/log")
@needs("decide")
def log() -> str:
    """The record log of my site in words, newest first."""
    before = request.args.get("before", type=int)
    with reading() as db:
        entries = queries.log_of_site(db, me().site_id, before, LOG_PAGE + 1)
        names = queries.names_by_public_id(db, me().site_id)
    lines = [log_line(entry, names, me().site_name) for entry in entries[:LOG_PAGE]]
    older = lines[-1].seq if len(entries) > LOG_PAGE else None
    return render_template("manage/log.html", lines=lines, older=older, first=before is None)


def _roster(cabinet_id: int) -> tuple[CabinetPlace, list[Evidence], str]:
    with reading() as db:
        cabinet = queries.cabinet(db, me().site_id, cabinet_id) or abort(404)
        return cabinet, queries.cabinet_evidence(db, cabinet.id, cabinet_scheme().id), queries.log_head(db)


def _case(cabinet_id: int, public_id: str) -> Case:
    """One person and one cabinet of my site; anything else is not found."""
    with reading() as db:
        cabinet = queries.cabinet(db, me().site_id, cabinet_id) or abort(404)
        person = people.member_by_public_id(db, public_id, me().site_id) or abort(404)
        evidence = queries.evidence_of(db, person.id, cabinet.id, cabinet_scheme().id) or abort(404)
    return Case(cabinet, evidence)


def _waiting_case(decision: str) -> Case:
    with reading() as db:
        place = queries.decision_place(db, me().site_id, decision) or abort(404)
        cabinet = queries.cabinet(db, me().site_id, place[1]) or abort(404)
        evidence = queries.evidence_of(db, *place, cabinet_scheme().id) or abort(404)
    return Case(cabinet, evidence)


def _reviewed(case: Case) -> dict[str, object]:
    """The evidence as the pages of a decision show it."""
    scheme, e = cabinet_scheme(), case.evidence
    with reading() as db:
        sat = queries.exams_sat(db, e.person_id, scheme.id)
        signed = queries.practical_by_id(db, e.practical_id) if e.practical_id else None
        runs = bench_queries.runs_of_practical(db, signed.public_id) if signed else []
        hidden = signed is not None and signed.public_id in wanted_of_me(db)
    terms = Terms(scheme.certificate_months, case.cabinet.time_zone)
    lacking = evidence_reasons(e, terms, now())
    return {
        "case": case, "scheme": scheme, "exams": [exam_line(one, scheme) for one in sat],
        "practical": replace(practical_line(signed, house().schemes, runs), hidden=hidden) if signed else None,
        "overlap": overlaps(e, me().id), "own": e.person_id == me().id, "lacking": say(lacking),
        "until": "" if lacking else moment_words(expiry_of(e, terms, now())),
        "line": person_line(cabinet_permission(e, now()), now()),
    }  # fmt: skip


def _held(public_id: str) -> CertificateHeld:
    with reading() as db:
        held = queries.certificate(db, public_id)
    return held if held is not None and held.site_id == me().site_id else abort(404)
