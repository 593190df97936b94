"""Appeals: a person asks for another look at what was decided against them; somebody independent hears it."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from flask import Blueprint, Response, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse
from wtforms import Form, HiddenField, RadioField, TextAreaField
from wtforms.validators import UUID

from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import appeals as acts
from trainer.certificates.appeals import Adverse, is_late, last_day_to_appeal, local_day
from trainer.records.queries import appeals as queries
from trainer.records.queries import people
from trainer.records.queries.appeals import AppealFacts
from trainer.records.queries.hands import hands_on
from trainer.web.dates import date_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.open_exams import tools
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext

if TYPE_CHECKING:
    from trainer.records.database import Session

page = Blueprint("appeals", __name__)

SHOWN_FOR = timedelta(days=30)
Refusal = tuple[str, int, dict[str, str]]
WHAT: dict[str, Later] = {
    "exam": Later("Exam not passed"),
    "lowered": Later("Exam scored again: passed, but not by the newer key"),
    "decision": Later("Cabinet refused"),
    "suspended": Later("Certificate suspended"),
    "reduced": Later("Certificate reduced"),
    "withdrawn": Later("Certificate withdrawn"),
}
STATES: dict[str, Later] = {
    "filed": Later("filed, nobody has taken it on yet"),
    "taken": Later("being heard"),
    "decided": Later("decided"),
}
OUTCOMES: dict[str, Later] = {
    "upheld": Later("upheld"),
    "partly": Later("upheld in part"),
    "not_upheld": Later("not upheld"),
}


class GroundsForm(Form):
    """Why something should be looked at again."""

    form_id = HiddenField("", [UUID()])
    grounds = TextAreaField(Later("Why should it be looked at again?"))


class OutcomeForm(Form):
    """How an appeal is decided."""

    outcome = RadioField(Later("Outcome"), choices=list(OUTCOMES.items()), validate_choice=False)
    reason = TextAreaField(Later("Reason"))


@dataclass(frozen=True)
class AdverseLine:
    """One act against a person, in words."""

    what: str
    when: str
    until: str
    href: str
    reason: str


@dataclass(frozen=True)
class AppealLine:
    """One appeal, in words."""

    href: str
    person: str
    what: str
    state: str
    due: str
    late: bool


@page.get("/appeals")
@needs("learn")
def mine() -> str:
    """What I may appeal against, and my appeals."""
    with reading() as db:
        appeals = queries.appeals_of(db, me().id)
        adverse = queries.adverse_of(db, me().id)
    return render_template(
        "appeals/mine.html", open=_open(adverse, appeals), appeals=[appeal_line(one) for one in appeals]
    )


@page.get("/appeals/letter/<public_id>")
@needs("decide")
def letter(public_id: str) -> str:
    """What a person of my site may appeal against: for a letter of somebody who does not sign in."""
    with reading() as db:
        person = people.member_by_public_id(db, public_id, me().site_id) or abort(404)
        appeals = queries.appeals_of(db, person.id)
        adverse = queries.adverse_of(db, person.id)
    return render_template("appeals/letter.html", person=person, open=_open(adverse, appeals))


@page.get("/appeals/against/<kind>/<uuid:public_id>")
@needs("learn")
def filing(kind: str, public_id: uuid.UUID) -> str:
    """Ask for the grounds."""
    form = GroundsForm(form_id=str(uuid.uuid4()))
    return render_template("appeals/file.html", form=form, refused=(), line=_line(_adverse(kind, public_id)))


@page.post("/appeals/against/<kind>/<uuid:public_id>")
@needs("learn")
def file(kind: str, public_id: uuid.UUID) -> AnyResponse | Refusal:
    """File the appeal; the evidence is frozen at this moment."""
    against, form = _adverse(kind, public_id), GroundsForm(request.form)
    if not form.validate():
        abort(422)
    filed = acts.Filed(form.form_id.data or "", kind, str(public_id), form.grounds.data or "")
    done = acts.file_appeal(house().database, filed, by=me().id, tools=tools(house()), now=now())
    if isinstance(done, Refused):
        return refusal_page("appeals/file.html", done, form=form, line=_line(against))
    flash(gettext("Filed. The evidence is frozen, and somebody who had no hand in it will answer you."))
    return redirect(url_for("appeals.one", public_id=done), 303)


@page.get("/appeals/site")
@needs("hear")
def hearing() -> str:
    """Every appeal of my site."""
    with reading() as db:
        appeals = queries.appeals_of_site(db, me().site_id)
    return render_template("appeals/hearing.html", appeals=[appeal_line(one) for one in appeals])


@page.get("/appeals/<uuid:public_id>")
@needs("learn")
def one(public_id: uuid.UUID) -> str:
    """One appeal: for the person it is about, and for whoever may hear it."""
    return render_template("appeals/one.html", form=OutcomeForm(), refused=(), **_shown(_appeal(public_id)))


@page.post("/appeals/<uuid:public_id>/take")
@needs("hear")
def take(public_id: uuid.UUID) -> AnyResponse | Refusal:
    """Acknowledge the appeal and hear it."""
    appeal = _appeal(public_id)
    done = acts.take_appeal(house().database, str(public_id), by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("appeals/one.html", done, form=OutcomeForm(), **_shown(appeal))
    flash(gettext("You hear this appeal now. The person sees that."))
    return redirect(url_for("appeals.one", public_id=done), 303)


@page.post("/appeals/<uuid:public_id>/decide")
@needs("hear")
def decide(public_id: uuid.UUID) -> AnyResponse | Refusal:
    """Decide the appeal."""
    appeal, form = _appeal(public_id), OutcomeForm(request.form)
    done = acts.decide_appeal(
        house().database, str(public_id), outcome=form.outcome.data or "", reason=form.reason.data or "",
        by=me().id, now=now(),
    )  # fmt: skip
    if isinstance(done, Refused):
        return refusal_page("appeals/one.html", done, form=form, **_shown(appeal))
    flash(gettext("Decided. The person is told; nothing else has changed by that."))
    return redirect(url_for("appeals.one", public_id=done), 303)


@page.get("/appeals/<uuid:public_id>/evidence.json")
@needs("hear")
def evidence(public_id: uuid.UUID) -> Response:
    """The frozen evidence, byte for byte; its SHA-256 stands in the record log."""
    appeal = _appeal(public_id)
    answer = Response(appeal.pack, mimetype="application/json")
    answer.headers["Content-Disposition"] = f'attachment; filename="appeal-{appeal.public_id}.json"'
    return answer


def appeal_line(one: AppealFacts) -> AppealLine:
    """One appeal in a list."""
    said, today = STATES[one.state], local_day(now(), one.time_zone)
    outcome = one.outcome
    day = {"filed": one.due.acknowledge, "taken": one.due.decide}.get(one.state)
    return AppealLine(
        href=url_for("appeals.one", public_id=one.public_id), person=one.person, what=str(WHAT[one.what]),
        state=str(said if outcome is None else OUTCOMES[outcome.outcome or ""]),
        due=date_words(day) if day else "", late=is_late(one.state, one.due, today),
    )  # fmt: skip


def notices(db: Session) -> tuple[list[AppealLine], bool]:
    """For the person's front page: appeals that run or were decided lately, and whether one more may be filed."""
    appeals, adverse = queries.appeals_of(db, me().id), queries.adverse_of(db, me().id)
    newest = [one for one in appeals if one.outcome is None or now() < one.outcome.at + SHOWN_FOR]
    return [appeal_line(one) for one in newest], bool(_open(adverse, appeals))


def _open(adverse: list[Adverse], appeals: list[AppealFacts]) -> list[AdverseLine]:
    """What may still be appealed against."""
    appealed, today = {one.against for one in appeals}, local_day(now(), me().time_zone)
    return [
        _line(one)
        for one in adverse
        if one.public_id not in appealed and today <= last_day_to_appeal(one.at, me().time_zone)
    ]


def _line(one: Adverse) -> AdverseLine:
    return AdverseLine(
        str(WHAT[one.what]), moment_words(one.at), date_words(last_day_to_appeal(one.at, me().time_zone)),
        url_for("appeals.filing", kind=one.kind, public_id=one.public_id), one.reason,
    )  # fmt: skip


def _adverse(kind: str, public_id: uuid.UUID) -> Adverse:
    """Something decided against me, or against somebody of my site when I manage it."""
    with reading() as db:
        found = queries.adverse(db, kind, str(public_id)) or abort(404)
        person = people.member(db, found.person_id)
    mine = found.person_id == me().id
    ours = person is not None and person.site_id == me().site_id and may(me().role, "decide")
    return found if mine or ours else abort(404)


def _appeal(public_id: uuid.UUID) -> AppealFacts:
    with reading() as db:
        found = queries.appeal(db, str(public_id)) or abort(404)
    hears = found.site_id == me().site_id and may(me().role, "hear")
    return found if hears or found.person_id == me().id else abort(404)


def _shown(appeal: AppealFacts) -> dict[str, object]:
    with reading() as db:
        hands = hands_on(db, appeal.person_id)
    hears = may(me().role, "hear") and appeal.person_id != me().id
    handler = appeal.handler
    return {
        "appeal": appeal, "line": appeal_line(appeal), "outcomes": OUTCOMES, "hears": hears,
        "independent": me().id not in hands, "mine_to_decide": handler is not None and handler.by_id == me().id,
        "moment": moment_words, "day": date_words,
    }  # fmt: skip
