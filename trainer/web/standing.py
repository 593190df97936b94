"""Standing: a manager suspends, reduces or gives back a certificate, and writes down that a machine changed."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import DateField, Form, HiddenField, RadioField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired

from trainer.access.refusal import Refused
from trainer.acts import standing as acts
from trainer.certificates.facts import CertificateHeld
from trainer.certificates.scope import TASKS
from trainer.certificates.states import Change, Standing
from trainer.records.queries import certifying as queries
from trainer.records.queries import standing as changes_queries
from trainer.web.cabinet_words import CAUSES
from trainer.web.dates import day_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext, language

page = Blueprint("standing", __name__)

Refusal = tuple[str, int, dict[str, str]]


class ReasonForm(Form):
    """Why a certificate is changed."""

    form_id = HiddenField("", [UUID()])
    reason = TextAreaField(Later("Reason"))


class ChangeForm(Form):
    """A machine or a procedure that changed."""

    form_id = HiddenField("", [UUID()])
    kind = RadioField(
        Later("What changed?"),
        [DataRequired(Later("Choose one."))],
        choices=[
            ("machine", Later("the machine or its equipment")),
            ("procedure", Later("the lockout procedure")),
        ],
    )
    place = SelectField(Later("Where?"), [DataRequired(Later("Choose one."))])
    since = DateField(Later("Since which day?"), [DataRequired(Later("Give a day."))])
    what = TextAreaField(Later("What is different now?"))


@page.get("/certificates/<uuid:public_id>/suspend")
@needs("decide")
def suspending(public_id: uuid.UUID) -> str:
    """Ask why the certificate is to be suspended."""
    return render_template("standing/suspend.html", held=_held(public_id), form=_fresh(), refused=())


@page.post("/certificates/<uuid:public_id>/suspend")
@needs("decide")
def suspend(public_id: uuid.UUID) -> Response | Refusal:
    """Suspend the certificate until somebody lifts it."""
    held, form = _held(public_id), ReasonForm(request.form)
    asked = _asked(held, form)
    done = acts.suspend(house().database, asked, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("standing/suspend.html", done, held=held, form=form)
    flash(gettext("Suspended. The person may not open the cabinet until the suspension is lifted."))
    return redirect(url_for("manage.certificate", public_id=done), 303)


@page.get("/certificates/<uuid:public_id>/reduce")
@needs("decide")
def reducing(public_id: uuid.UUID) -> str:
    """Ask what is taken away, and why."""
    return render_template("standing/reduce.html", form=_fresh(), refused=(), **_scope(_held(public_id)))


@page.post("/certificates/<uuid:public_id>/reduce")
@needs("decide")
def reduce(public_id: uuid.UUID) -> Response | Refusal:
    """Take tasks out of the certificate's scope."""
    held, form = _held(public_id), ReasonForm(request.form)
    taken = request.form.getlist("task")
    done = acts.reduce(house().database, _asked(held, form), taken, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("standing/reduce.html", done, form=form, **_scope(held, taken))
    flash(gettext("Reduced. What was taken away comes back with a new practical and a new decision alone."))
    return redirect(url_for("manage.certificate", public_id=done), 303)


@page.get("/certificates/<uuid:public_id>/lift/<uuid:suspension>")
@needs("decide")
def lifting(public_id: uuid.UUID, suspension: uuid.UUID) -> str:
    """Ask why the suspension may end."""
    held = _held(public_id)
    return render_template(
        "standing/lift.html", form=_fresh(), refused=(), held=held, line=_suspension(held, suspension)
    )


@page.post("/certificates/<uuid:public_id>/lift/<uuid:suspension>")
@needs("decide")
def lift(public_id: uuid.UUID, suspension: uuid.UUID) -> Response | Refusal:
    """Lift one suspension."""
    held, form = _held(public_id), ReasonForm(request.form)
    line = _suspension(held, suspension)
    done = acts.lift(house().database, _asked(held, form), str(suspension), by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("standing/lift.html", done, held=held, form=form, line=line)
    flash(gettext("Lifted. What the certificate covers now stands on its page."))
    return redirect(url_for("manage.certificate", public_id=done), 303)


@page.get("/changes")
@needs("decide")
def changes() -> str:
    """The changes of machines and procedures at my site, newest first."""
    with reading() as db:
        found = changes_queries.machine_changes(db, me().site_id)
    return render_template("standing/changes.html", changes=found, moment=moment_words, day=day_words)


@page.get("/changes/new")
@needs("decide")
def changing() -> str:
    """Ask what changed, where and since when."""
    form = _places(ChangeForm(form_id=str(uuid.uuid4()), since=_today()))
    return render_template("standing/change.html", form=form, refused=())


@page.post("/changes/new")
@needs("decide")
def change() -> Response | Refusal | tuple[str, int]:
    """Write the change down; certificates that rest on an older practical are suspended."""
    form = _places(ChangeForm(request.form))
    if not form.validate() or form.since.data is None:
        return render_template("standing/change.html", form=form, refused=()), 422
    machine, _, cabinet = form.place.data.partition(":")
    changed = acts.MachineChange(
        form.form_id.data or "", int(machine), int(cabinet) if cabinet else None, form.kind.data, form.what.data or "",
        _end_of(form.since.data),
    )  # fmt: skip
    done = acts.change_machine(house().database, changed, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("standing/change.html", done, form=form)
    flash(gettext("Written down. Whoever was last observed before it is suspended until retrained."))
    return redirect(url_for("standing.changes"), 303)


def _places(form: ChangeForm) -> ChangeForm:
    """Offer each machine, and each cabinet of it alone."""
    with reading() as db:
        machines, cabinets = queries.machines(db, me().site_id), queries.cabinets(db, me().site_id)
    form.place.choices = [
        *((str(one.id), gettext("%(machine)s, every cabinet") % {"machine": one.name}) for one in machines),
        *((f"{one.machine_id}:{one.id}", f"{one.machine}: {one.name}") for one in cabinets),
    ]
    return form


def _today() -> date:
    return now().astimezone(ZoneInfo(me().time_zone)).date()


def _end_of(day: date) -> datetime:
    """The end of the day at the site, or now when that is today: a practical earlier that day was on the old state."""
    if day == _today():
        return now()
    return datetime.combine(day, time.max, tzinfo=ZoneInfo(me().time_zone)).astimezone(UTC)


def _fresh() -> ReasonForm:
    return ReasonForm(form_id=str(uuid.uuid4()))


def _asked(held: CertificateHeld, form: ReasonForm) -> acts.Asked:
    if not form.validate():
        abort(422)
    return acts.Asked(form.form_id.data or "", held.public_id, form.reason.data or "")


def _held(public_id: uuid.UUID) -> CertificateHeld:
    with reading() as db:
        held = queries.certificate(db, str(public_id))
    return held if held is not None and held.site_id == me().site_id else abort(404)


def _scope(held: CertificateHeld, ticked: list[str] | None = None) -> dict[str, object]:
    stands: Standing = held.standing(now())
    tasks = [(key, said.say(language())) for key, said in TASKS.items() if key not in stands.taken]
    return {"held": held, "tasks": tasks, "ticked": ticked or []}


def _suspension(held: CertificateHeld, public_id: uuid.UUID) -> tuple[Change, str]:
    """An open suspension, or one that was: the page says what stands in the way."""
    found = next((one for one in held.changes if one.public_id == str(public_id)), None)
    return (found, str(CAUSES[found.cause])) if found is not None else abort(404)
