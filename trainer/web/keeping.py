"""Keeping: how long records stay, legal holds, and forgetting a person who has left."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, HiddenField, SelectField, TextAreaField
from wtforms.validators import UUID

from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import keeping as acts
from trainer.certificates.keeping import SCHEDULE, RecordClass, kept_until
from trainer.records.queries import keeping as queries
from trainer.records.queries import people
from trainer.records.queries.keeping import Hold, Leaver, Proposal
from trainer.web.dates import day_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext, language

page = Blueprint("keeping", __name__)

Refusal = tuple[str, int, dict[str, str]]


class HoldForm(Form):
    """Whom a legal hold covers, and why."""

    form_id = HiddenField("", [UUID()])
    person = SelectField(Later("Whom it covers"), validate_choice=False)
    reason = TextAreaField(Later("Reason"))


class ReasonForm(Form):
    """Why."""

    form_id = HiddenField("", [UUID()])
    reason = TextAreaField(Later("Reason"))


@dataclass(frozen=True)
class ClassLine:
    """One class of records in the language of the request."""

    title: str
    holds: str
    how_long: str
    source: str


@dataclass(frozen=True)
class LeaverLine:
    """Somebody who has left: where they stand in one line, and whether a proposal may be made."""

    leaver: Leaver
    words: str
    ready: bool


@page.get("/keeping")
@needs("enrol")
def everything() -> str:
    """What is kept how long, who has left, proposals, holds."""
    with reading() as db:
        gone = queries.leavers(db, me().site_id)
        proposed = queries.proposals(db, me().site_id)
        held = queries.holds(db, me().site_id)
    waiting = {one.person_public_id for one in proposed}
    return render_template(
        "keeping/everything.html", classes=[_class_line(one) for one in SCHEDULE], proposals=proposed, holds=held,
        leavers=[_leaver_line(one, waiting) for one in gone], moment=moment_words,
    )  # fmt: skip


def _class_line(one: RecordClass) -> ClassLine:
    in_language = language()
    months = gettext("%(months)s months") % {"months": one.months} if one.months else gettext("for ever")
    return ClassLine(
        one.title.say(in_language), one.holds.say(in_language), f"{months} {one.after.say(in_language)}".strip(),
        one.source.say(in_language),
    )  # fmt: skip


def _leaver_line(one: Leaver, waiting: set[str]) -> LeaverLine:
    until = kept_until(one.kept)
    if one.forgotten_at is not None:
        words = gettext("forgotten on %(day)s") % {"day": day_words(one.forgotten_at)}
    elif one.public_id in waiting:
        words = gettext("proposed to be forgotten")
    elif until is not None and now() < until:
        words = gettext("kept until %(day)s") % {"day": day_words(until)}
    elif one.kept.holds:
        words = gettext("under a legal hold")
    else:
        return LeaverLine(one, gettext("may be forgotten"), ready=True)
    return LeaverLine(one, words, ready=False)


@page.get("/keeping/hold")
@needs("enrol")
def holding() -> str:
    """Ask whom a hold covers, and why."""
    form = _offer(HoldForm(form_id=str(uuid.uuid4()), person=request.args.get("person", "")))
    return render_template("keeping/hold.html", form=form, refused=())


@page.post("/keeping/hold")
@needs("enrol")
def hold() -> Response | Refusal | tuple[str, int]:
    """Place a hold."""
    form = _offer(HoldForm(request.form))
    if not form.validate():
        return render_template("keeping/hold.html", form=form, refused=()), 422
    asked = acts.Asked(form.form_id.data or "", form.person.data or None, form.reason.data or "")
    done = acts.place_hold(house().database, asked, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("keeping/hold.html", done, form=form)
    flash(gettext("The hold stands. Nothing that it covers is forgotten until somebody lifts it."))
    return redirect(url_for("keeping.everything"), 303)


def _offer(form: HoldForm) -> HoldForm:
    """Offer the whole site, and everyone of it, employed or not."""
    with reading() as db:
        known = [(one.public_id, one.name) for one in people.members(db, me().site_id)]
        gone = [(one.public_id, one.name) for one in queries.leavers(db, me().site_id)]
    form.person.choices = [("", gettext("The whole site")), *dict([*known, *gone]).items()]
    return form


@page.get("/keeping/holds/<public_id>")
@needs("enrol")
def lifting(public_id: str) -> str:
    """Ask why a hold is lifted."""
    return render_template("keeping/lift.html", hold=_hold(public_id), form=ReasonForm(), refused=())


@page.post("/keeping/holds/<public_id>")
@needs("enrol")
def lift(public_id: str) -> Response | Refusal:
    """Lift a hold."""
    form = ReasonForm(request.form)
    done = acts.lift_hold(
        house().database, hold=public_id, reason=form.reason.data or "", by=me().id, now=now()
    )
    if isinstance(done, Refused):
        return refusal_page("keeping/lift.html", done, hold=_hold(public_id), form=form)
    flash(gettext("The hold is lifted."))
    return redirect(url_for("keeping.everything"), 303)


def _hold(public_id: str) -> Hold:
    with reading() as db:
        found = [one for one in queries.holds(db, me().site_id) if one.public_id == public_id]
    return found[0] if found else abort(404)


@page.get("/keeping/people/<public_id>")
@needs("enrol")
def proposing(public_id: str) -> str:
    """Say what would go and what would stay, and ask why."""
    form = ReasonForm(form_id=str(uuid.uuid4()))
    return render_template("keeping/propose.html", who=_leaver(public_id), form=form, refused=())


@page.post("/keeping/people/<public_id>")
@needs("enrol")
def propose(public_id: str) -> Response | Refusal | tuple[str, int]:
    """Propose to forget somebody."""
    form, who = ReasonForm(request.form), _leaver(public_id)
    if not form.validate():
        return render_template("keeping/propose.html", who=who, form=form, refused=()), 422
    asked = acts.Asked(form.form_id.data or "", public_id, form.reason.data or "")
    done = acts.propose_forgetting(house().database, asked, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("keeping/propose.html", done, who=who, form=form)
    flash(gettext("Proposed. An administrator who did not propose it carries it out."))
    return redirect(url_for("keeping.everything"), 303)


def _leaver(public_id: str) -> Leaver:
    with reading() as db:
        found = [one for one in queries.leavers(db, me().site_id) if one.public_id == public_id]
    return found[0] if found else abort(404)


@page.get("/keeping/proposals/<public_id>")
@needs("enrol")
def proposal(public_id: str) -> str:
    """Ask whether to carry a proposal out or drop it."""
    return render_template("keeping/proposal.html", refused=(), **_proposal_page(public_id))


@page.post("/keeping/proposals/<public_id>")
@needs("administer")
def forget(public_id: str) -> Response | Refusal:
    """Forget the person."""
    shown = _proposal_page(public_id)
    done = acts.forget_person(house().database, proposal=public_id, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("keeping/proposal.html", done, **shown)
    flash(gettext("Forgotten. The record log still holds; backups from before still have the name."))
    return redirect(url_for("keeping.everything"), 303)


@page.post("/keeping/proposals/<public_id>/drop")
@needs("enrol")
def drop(public_id: str) -> Response | Refusal:
    """Drop a proposal."""
    shown = _proposal_page(public_id)
    done = acts.drop_proposal(house().database, proposal=public_id, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("keeping/proposal.html", done, **shown)
    flash(gettext("Dropped. Nothing was taken out."))
    return redirect(url_for("keeping.everything"), 303)


def _proposal_page(public_id: str) -> dict[str, object]:
    with reading() as db:
        found: list[Proposal] = [
            one for one in queries.proposals(db, me().site_id) if one.public_id == public_id
        ]
    if not found:
        abort(404)
    mine = may(me().role, "administer") and found[0].proposed_by_id != me().id
    return {"proposal": found[0], "may_carry_out": mine, "moment": moment_words}
