"""Train: practicals that wait, the checklist that is signed, and what was signed."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import dataclass

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, HiddenField, PasswordField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired, InputRequired

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.acts import practicals as acts
from trainer.certificates.decision import MARKS, MOST_BENCHES
from trainer.certificates.facts import MachinePlace
from trainer.certificates.permission import Evidence, waiting_for
from trainer.records.database import Session
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying as queries
from trainer.records.queries import people
from trainer.web.benches import run_line
from trainer.web.cabinet_words import cabinet_scheme, practical_line
from trainer.web.callers import address
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext

page = Blueprint("train", __name__)

STEP = "step-"
BENCH = "bench"


class WhoForm(Form):
    """Who is observed, on which machine."""

    person = SelectField(Later("Who do you observe?"), [DataRequired()])
    machine = SelectField(Later("On which machine?"), [DataRequired()])


class PracticalForm(Form):
    """What is signed, beside the marks of the steps."""

    form_id = HiddenField("", [UUID()])
    person = HiddenField("", [DataRequired()])
    machine = HiddenField("", [DataRequired()])
    note = TextAreaField(Later("What you saw, in your own words"))
    password = PasswordField(
        Later("Your password, as your signature"), [InputRequired(Later("Fill this in."))]
    )


@dataclass(frozen=True)
class Place:
    """Who is observed on what."""

    person: Member
    machine: MachinePlace


@page.get("/practicals")
@needs("train")
def practicals() -> str:
    """Who is ready for a practical, and what was signed last."""
    with reading() as db:
        waiting = ready_for_practical(db)
        signed = queries.practicals(db, me().site_id)
    lines = [practical_line(one, house().schemes) for one in signed]
    return render_template("train/practicals.html", waiting=waiting, lines=lines)


def ready_for_practical(db: Session) -> list[tuple[Evidence, MachinePlace]]:
    """Whom I could observe now, and on which machine. Two statements."""
    evidence = queries.site_evidence(db, me().site_id, cabinet_scheme().id)
    machines = {one.id: one for one in queries.machines(db, me().site_id)}
    return [
        (e, machines[e.machine_id])
        for e in evidence
        if e.person_id != me().id and waiting_for(e, now()) == "practical"
    ]


@page.get("/practicals/new")
@needs("train")
def new_practical() -> str:
    """The checklist for one person on one machine; without both, ask for them."""
    if not request.args.get("person") or not request.args.get("machine"):
        return render_template("train/who.html", form=_offer(WhoForm(request.args)))
    place = _place(request.args["person"], request.args["machine"])
    form = PracticalForm(form_id=str(uuid.uuid4()), person=place.person.public_id, machine=place.machine.key)
    return _checklist(form, place, {})


@page.post("/practicals/sign")
@needs("train")
def sign_practical() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Sign the practical with my password."""
    form = PracticalForm(request.form)
    place = _place(form.person.data or "", form.machine.data or "")
    marks = {name.removeprefix(STEP): mark for name, mark in request.form.items() if name.startswith(STEP)}
    if not form.validate():
        return _checklist(form, place, marks), 422
    done = acts.sign_practical(
        house().database,
        acts.Observed(
            form.form_id.data or "", place.person.id, place.machine.id, marks, note=form.note.data or "",
            benches=tuple(request.form.getlist(BENCH)),
        ),
        scheme=cabinet_scheme(), by=me().id, password=form.password.data or "", address=address(), now=now(),
    )  # fmt: skip
    if isinstance(done, Refused):
        return refusal_page("train/checklist.html", done, **_shown(form, place, marks))
    flash(gettext("Signed."))
    return redirect(url_for("train.practical", public_id=done), 303)


@page.get("/practicals/<uuid:public_id>")
@needs("train")
def practical(public_id: uuid.UUID) -> str:
    """One signed practical."""
    with reading() as db:
        signed = queries.practical(db, me().site_id, str(public_id)) or abort(404)
        runs = bench_queries.runs_of_practical(db, signed.public_id)
    return render_template("train/practical.html", line=practical_line(signed, house().schemes, runs))


def _checklist(form: PracticalForm, place: Place, marks: Mapping[str, str]) -> str:
    return render_template("train/checklist.html", refused=(), **_shown(form, place, marks))


def _shown(form: PracticalForm, place: Place, marks: Mapping[str, str]) -> dict[str, object]:
    scheme = cabinet_scheme()
    steps = scheme.practical.steps if scheme.practical else ()
    with reading() as db:
        runs = bench_queries.ended_runs(db, place.person.id, MOST_BENCHES)
    ticked = frozenset(request.form.getlist(BENCH))
    return {
        "runs": [(one.public_id, run_line(one), one.public_id in ticked) for one in runs], "bench": BENCH,
        "form": form, "place": place, "marks": marks, "steps": steps, "scheme": scheme, "choices": MARKS,
        "now": now(), "prefix": STEP,
    }  # fmt: skip


def _place(person_public_id: str, machine_key: str) -> Place:
    """The person and the machine, both of my site; anything else is not found."""
    with reading() as db:
        person = people.member_by_public_id(db, person_public_id, me().site_id) or abort(404)
        machines = queries.machines(db, me().site_id)
    machine = next((one for one in machines if one.key == machine_key), None) or abort(404)
    return Place(person, machine)


def _offer(form: WhoForm) -> WhoForm:
    with reading() as db:
        members = people.members(db, me().site_id)
        machines = queries.machines(db, me().site_id)
    form.person.choices = [(one.public_id, one.name) for one in members if one.id != me().id]
    form.machine.choices = [(one.key, one.name) for one in machines]
    return form
