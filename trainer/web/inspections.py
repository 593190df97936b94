"""Inspections: the yearly inspection of each machine's lockout procedure, as a manager or trainer writes it down."""

from __future__ import annotations

import uuid

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import DateField, Form, HiddenField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired

from trainer.access.refusal import Refused
from trainer.acts.inspections import Inspected, record_inspection
from trainer.certificates.appeals import local_day
from trainer.certificates.inspection import is_overdue
from trainer.records.queries import certifying, people, registers
from trainer.web.cabinet_words import cabinet_scheme
from trainer.web.dates import date_words
from trainer.web.duties import inspection_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext

page = Blueprint("inspections", __name__)

Refusal = tuple[str, int, dict[str, str]]


class InspectionForm(Form):
    """An inspection that was done; who was included is ticked person by person."""

    form_id = HiddenField("", [UUID()])
    machine = SelectField(Later("Machine"), [DataRequired(Later("Choose one."))])
    day = DateField(Later("Inspected on"), [DataRequired(Later("Give a day."))])
    inspector = SelectField(Later("Inspector"), [DataRequired(Later("Choose one."))])
    deviations = TextAreaField(Later("What was found wrong and how it was put right"))


@page.get("/inspections")
@needs("train")
def everything() -> str:
    """When each machine's procedure was last inspected, and every inspection."""
    today = local_day(now(), me().time_zone)
    with reading() as db:
        machines = registers.last_inspections(db, me().site_id)
        done = registers.inspections(db, me().site_id)
    return render_template(
        "inspections/everything.html", done=done, day=date_words,
        machines=[(one, inspection_words(one.last), is_overdue(one.last, today)) for one in machines],
    )  # fmt: skip


@page.get("/inspections/new")
@needs("train")
def inspecting() -> str:
    """Ask for the machine, the day, the inspector and the employees included."""
    form = InspectionForm(form_id=str(uuid.uuid4()), day=local_day(now(), me().time_zone))
    return render_template("inspections/new.html", refused=(), **_offer(form))


@page.post("/inspections/new")
@needs("train")
def inspect() -> Response | Refusal | tuple[str, int]:
    """Write the inspection down."""
    form = InspectionForm(request.form)
    offered = _offer(form)
    if not form.validate() or form.day.data is None:
        return render_template("inspections/new.html", refused=(), **offered), 422
    with reading() as db:
        ids = {one.public_id: one.id for one in people.members(db, me().site_id)}
    inspected = Inspected(
        form.form_id.data or "", int(form.machine.data), form.day.data, ids[form.inspector.data],
        frozenset(ids[one] for one in request.form.getlist("included") if one in ids),
        frozenset(ids[one] for one in request.form.getlist("used") if one in ids), form.deviations.data or "",
    )  # fmt: skip
    done = record_inspection(house().database, inspected, scheme=cabinet_scheme().id, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("inspections/new.html", done, **offered)
    flash(gettext("Written down. The next inspection is due in twelve months."))
    return redirect(url_for("inspections.everything"), 303)


def _offer(form: InspectionForm) -> dict[str, object]:
    """Offer my site's machines and people."""
    with reading() as db:
        machines = certifying.machines(db, me().site_id)
        members = people.members(db, me().site_id)
    form.machine.choices = [(str(one.id), one.name) for one in machines]
    form.inspector.choices = [(one.public_id, one.name) for one in members]
    ticked = {name: set(request.form.getlist(name)) for name in ("included", "used")}
    return {"form": form, "members": members, "ticked": ticked}
