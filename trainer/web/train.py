"""Train: practicals that wait, the checklist that is signed, and what was signed."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, HiddenField, PasswordField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired, InputRequired

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.acts import practicals as acts
from trainer.certificates.decision import MOST_BENCHES
from trainer.certificates.facts import MachinePlace
from trainer.certificates.observing import asks_second, observer_lacks, read_device_times
from trainer.certificates.permission import Evidence, waiting_for
from trainer.records.database import Session
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying as queries
from trainer.records.queries import people
from trainer.records.queries.practicals import beside as beside_it
from trainer.records.queries.practicals import qualifications_of, signed_before
from trainer.web.benches import run_line
from trainer.web.cabinet_words import cabinet_scheme, practical_line, say
from trainer.web.callers import address
from trainer.web.dates import moment_words
from trainer.web.guards import needs
from trainer.web.house import house, key_for, me, now, reading
from trainer.web.places import open_to_me
from trainer.web.refusals import refusal_page
from trainer.web.seconds import is_hidden, wanted_of_me
from trainer.web.words import Later, gettext

if TYPE_CHECKING:
    from trainer.exams.scheme import Step

page = Blueprint("train", __name__)

STEP = "step-"
REMARK = "remark-"
BENCH = "bench"
SAMPLE = "second observers"


class WhoForm(Form):
    """Who is observed, on which machine."""

    person = SelectField(Later("Who do you observe?"), [DataRequired()])
    machine = SelectField(Later("On which machine?"), [DataRequired()])


class PracticalForm(Form):
    """What is signed, beside the marks of the steps."""

    form_id = HiddenField("", [UUID()])
    person = HiddenField("", [DataRequired()])
    machine = HiddenField("", [DataRequired()])
    device_times = HiddenField("")
    filled_offline = HiddenField("")
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
        wanted = wanted_of_me(db)
    lines = [practical_line(one, house().schemes) for one in signed]
    return render_template(
        "train/practicals.html", waiting=waiting, lines=lines, wanted=wanted, may_look=open_to_me("observing.observers")
    )  # fmt: skip


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
    return _checklist(_empty(place), place)


@page.get("/practicals/second")
@needs("train")
def second_practical() -> str:
    """The same checklist for a second observer, who may fill it in while the first one does."""
    place = _place(request.args.get("person", ""), request.args.get("machine", ""))
    return _checklist(_empty(place), place, second=True)


@page.post("/practicals/second")
@needs("train")
def sign_second() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Sign my own marks beside those of the first observer."""
    form = PracticalForm(request.form)
    place = _place(form.person.data or "", form.machine.data or "")
    if not form.validate():
        return _checklist(form, place, second=True), 422
    done = acts.sign_second(
        house().database, _observed(form, place), scheme=cabinet_scheme(), by=me().id,
        password=form.password.data or "", address=address(), now=now(),
    )  # fmt: skip
    return _signed(done, form, place, second=True)


@page.post("/practicals/sign")
@needs("train")
def sign_practical() -> Response | tuple[str, int] | tuple[str, int, dict[str, str]]:
    """Sign the practical with my password."""
    form = PracticalForm(request.form)
    place = _place(form.person.data or "", form.machine.data or "")
    if not form.validate():
        return _checklist(form, place), 422
    done = acts.sign_practical(
        house().database, _observed(form, place), scheme=cabinet_scheme(), by=me().id,
        password=form.password.data or "", address=address(), sample_key=key_for(SAMPLE), now=now(),
    )  # fmt: skip
    return _signed(done, form, place)


def _signed(
    done: str | Refused, form: PracticalForm, place: Place, *, second: bool = False
) -> Response | tuple[str, int, dict[str, str]]:
    if isinstance(done, Refused):
        return refusal_page("train/checklist.html", done, **_shown(form, place, second=second))
    flash(gettext("Signed."))
    return redirect(url_for("train.practical", public_id=done), 303)


def _empty(place: Place) -> PracticalForm:
    return PracticalForm(form_id=str(uuid.uuid4()), person=place.person.public_id, machine=place.machine.key)


def _observed(form: PracticalForm, place: Place) -> acts.Observed:
    """What was sent of the checklist."""
    steps = [step.id for step in _steps()]
    return acts.Observed(
        form.form_id.data or "", place.person.id, place.machine.id, _by_step(STEP), note=form.note.data or "",
        benches=tuple(request.form.getlist(BENCH)), remarks=_by_step(REMARK),
        device_times=read_device_times(form.device_times.data or "", steps),
        filled_offline=form.filled_offline.data == "yes",
    )  # fmt: skip


def _by_step(prefix: str) -> dict[str, str]:
    """What was sent under names that end in a step's id."""
    return {name.removeprefix(prefix): said for name, said in request.form.items() if name.startswith(prefix)}


def _steps() -> tuple[Step, ...]:
    checklist = cabinet_scheme().practical
    return checklist.steps if checklist else ()


@page.get("/practicals/<uuid:public_id>")
@needs("train")
def practical(public_id: uuid.UUID) -> str:
    """One signed practical."""
    with reading() as db:
        signed = queries.practical(db, me().site_id, str(public_id)) or abort(404)
        runs = bench_queries.runs_of_practical(db, signed.public_id)
        beside = beside_it(db, signed.public_id) or abort(404)
        hidden = is_hidden(db, beside.first)
        machines = {one.id: one.key for one in queries.machines(db, me().site_id)}
    if hidden:
        return render_template(
            "train/hidden.html", signed=signed, when=moment_words(signed.signed_at),
            machine=machines[beside.first.machine_id],
        )  # fmt: skip
    return render_template(
        "train/practical.html", line=practical_line(signed, house().schemes, runs), beside=beside,
        mine=beside.first.observer_id == me().id, awaits=beside.first.awaits_second(now()),
        misses=beside.first.misses_second(now()), moment=moment_words, may_look=open_to_me("observing.looking"),
    )  # fmt: skip


def _checklist(form: PracticalForm, place: Place, *, second: bool = False) -> str:
    return render_template("train/checklist.html", refused=(), **_shown(form, place, second=second))


def _shown(form: PracticalForm, place: Place, *, second: bool) -> dict[str, object]:
    scheme = cabinet_scheme()
    with reading() as db:
        runs = [] if second else bench_queries.ended_runs(db, place.person.id, MOST_BENCHES)
        lacks = observer_lacks(qualifications_of(db, me().id), place.machine.id, now())
        number = 1 + signed_before(db, place.person.id, place.machine.id, scheme.id)
    asked = asks_second(
        key_for(SAMPLE), scheme=scheme.id, person=place.person.public_id, machine=place.machine.key, number=number
    )  # fmt: skip
    ticked = frozenset(request.form.getlist(BENCH))
    return {
        "runs": [(one.public_id, run_line(one), one.public_id in ticked) for one in runs], "bench": BENCH,
        "form": form, "place": place, "marks": _by_step(STEP), "remarks": _by_step(REMARK), "steps": _steps(),
        "scheme": scheme, "prefix": STEP, "remark": REMARK, "second": second, "lacks": say(lacks),
        "asks_second": asked and not second,
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
