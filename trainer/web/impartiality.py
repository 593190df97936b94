"""Impartiality: the register of what could sway whoever trains, observes or decides, and what is done about it."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import date

from babel.numbers import format_percent
from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import BooleanField, DateField, Form, HiddenField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired

from trainer.access.refusal import Refused
from trainer.acts.impartiality import ThreatWritten, write_threat
from trainer.certificates.appeals import local_day
from trainer.certificates.impartiality import review_overdue
from trainer.certificates.pass_rates import LEAST, LEVEL, Judged, PassRate, compare
from trainer.certificates.states import add_months
from trainer.records.queries import examiners, people, registers
from trainer.records.queries.registers import ThreatFacts
from trainer.web.dates import date_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext, language

page = Blueprint("impartiality", __name__)

Refusal = tuple[str, int, dict[str, str]]
MONTHS = 6


class ThreatForm(Form):
    """How a threat stands."""

    form_id = HiddenField("", [UUID()])
    threat = TextAreaField(Later("What could sway a result here?"))
    treatment = TextAreaField(Later("What is done about it?"))
    owner = SelectField(Later("Who looks after it?"), [DataRequired(Later("Choose one."))])
    review_on = DateField(Later("Look at it again by"), [DataRequired(Later("Give a day."))])


class ReviewForm(ThreatForm):
    """The same, of a threat that is known."""

    closed = BooleanField(Later("It is no threat any more"))


@dataclass(frozen=True)
class RateLine:
    """One examiner beside the others, in words."""

    name: str
    mine: str
    others: str
    says: str
    odd: bool


SAYS: dict[str, Later] = {
    "too_few": Later("too few to say"),
    "usual": Later("nothing odd"),
    "often": Later("odd: more often than the others"),
    "seldom": Later("odd: less often than the others"),
}


@page.get("/impartiality")
@needs("decide")
def register() -> str:
    """Every threat of my site as it stands."""
    with reading() as db:
        found = registers.threats(db, me().site_id)
        practicals = examiners.practicals_judged(db, me().site_id)
        decisions = examiners.decisions_judged(db, me().site_id)
    lines = [(one, review_overdue(one.review_on, one.closed, _today())) for one in found]
    return render_template(
        "impartiality/register.html", lines=lines, day=date_words, practicals=_rates(practicals),
        decisions=_rates(decisions), level=_percent(LEVEL), least=LEAST,
    )  # fmt: skip


@page.get("/impartiality/new")
@needs("decide")
def new() -> str:
    """Ask what the threat is."""
    form = _offer(ThreatForm(form_id=str(uuid.uuid4()), review_on=add_months(_today(), MONTHS)))
    return render_template("impartiality/new.html", form=form, refused=())


@page.post("/impartiality/new")
@needs("decide")
def write() -> Response | Refusal | tuple[str, int]:
    """Write a new threat down."""
    form = _offer(ThreatForm(request.form))
    if not form.validate() or form.review_on.data is None:
        return render_template("impartiality/new.html", form=form, refused=()), 422
    done = _write(form, form.form_id.data or "", form.review_on.data, closed=False)
    if isinstance(done, Refused):
        return refusal_page("impartiality/new.html", done, form=form)
    flash(gettext("Written down."))
    return redirect(url_for("impartiality.register"), 303)


@page.get("/impartiality/<uuid:threat_id>")
@needs("decide")
def threat(threat_id: uuid.UUID) -> str:
    """One threat: how it stands, how it stood, and the form to look at it again."""
    states = _states(threat_id)
    newest = states[0]
    form = ReviewForm(
        form_id=str(uuid.uuid4()), threat=newest.threat, treatment=newest.treatment,
        owner=newest.owner_public_id, closed=newest.closed, review_on=add_months(_today(), MONTHS),
    )  # fmt: skip
    return render_template("impartiality/threat.html", refused=(), **_shown(states, form))


@page.post("/impartiality/<uuid:threat_id>")
@needs("decide")
def review(threat_id: uuid.UUID) -> Response | Refusal | tuple[str, int]:
    """Write down how the threat stands now; what stood before stays."""
    states, form = _states(threat_id), ReviewForm(request.form)
    shown = _shown(states, form)
    if not form.validate() or form.review_on.data is None:
        return render_template("impartiality/threat.html", refused=(), **shown), 422
    done = _write(form, str(threat_id), form.review_on.data, closed=bool(form.closed.data))
    if isinstance(done, Refused):
        return refusal_page("impartiality/threat.html", done, **shown)
    flash(gettext("Written down."))
    return redirect(url_for("impartiality.register"), 303)


def _rates(judged: list[Judged]) -> list[RateLine]:
    return [_rate_line(one) for one in compare(judged)]


def _rate_line(one: PassRate) -> RateLine:
    says = str(SAYS[one.verdict])
    if one.chance is not None:
        says = gettext("%(says)s (chance %(chance)s)") % {"says": says, "chance": _percent(one.chance)}
    others = _of(one.others) if one.others.judged else gettext("Nobody else yet")
    return RateLine(one.mine.name, _of(one.mine), others, says, one.odd)


def _of(one: Judged) -> str:
    return gettext("%(passed)s of %(judged)s") % {"passed": one.passed, "judged": one.judged}


def _percent(share: float) -> str:
    """To a tenth of a percent; what would be written as nothing is said to be less than that."""
    tenths = max(round(share, 3), 0.001)
    said = format_percent(tenths, locale=language(), decimal_quantization=False)
    return said if share >= tenths / 2 else gettext("under %(share)s") % {"share": said}


def _write(form: ThreatForm, threat_id: str, review_on: date, *, closed: bool) -> str | Refused:
    with reading() as db:
        owner = people.member_by_public_id(db, form.owner.data, me().site_id) or abort(404)
    written = ThreatWritten(
        form.form_id.data or "", threat_id, form.threat.data or "", form.treatment.data or "", owner.id, review_on,
        closed,
    )  # fmt: skip
    return write_threat(house().database, written, by=me().id, now=now())


def _offer(form: ThreatForm) -> ThreatForm:
    with reading() as db:
        form.owner.choices = [(one.public_id, one.name) for one in people.members(db, me().site_id)]
    return form


def _shown(states: list[ThreatFacts], form: ThreatForm) -> dict[str, object]:
    return {"form": _offer(form), "states": states, "day": date_words, "moment": moment_words}


def _states(threat_id: uuid.UUID) -> list[ThreatFacts]:
    with reading() as db:
        return registers.threat(db, me().site_id, str(threat_id)) or abort(404)


def _today() -> date:
    return local_day(now(), me().time_zone)
