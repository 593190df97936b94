"""Observing: who may observe on which machine, what comes of two observers who differ, how well two agree, pictures."""

from __future__ import annotations

import base64
import uuid
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, flash, g, redirect, render_template, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as AnyResponse
from wtforms import DateField, FileField, Form, HiddenField, RadioField, SelectField, TextAreaField
from wtforms.validators import UUID, DataRequired

from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import observers as acts
from trainer.acts.pictures import add_picture
from trainer.certificates.agreement import Agreement, agreement_report
from trainer.certificates.facts import PracticalSigned
from trainer.certificates.observing import SECOND_ONE_IN, SECOND_WITHIN
from trainer.certificates.picture import LARGEST_UPLOAD
from trainer.records.queries import agreement as sampled
from trainer.records.queries import certifying, people
from trainer.records.queries import practicals as queries
from trainer.records.queries.practicals import ObserverLine
from trainer.web.cabinet_words import cabinet_scheme, practical_line
from trainer.web.dates import day_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.places import open_to_me
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext, language

page = Blueprint("observing", __name__)

ROUND_A_PICTURE = 10_000  # bytes of the form beside the file
USUALLY = timedelta(days=365)
EMPTY = DataRequired(Later("Fill this in."))
Refusal = tuple[str, int, dict[str, str]]


class QualifyForm(Form):
    """Who may observe on which machine, why, and until which day."""

    form_id = HiddenField("", [UUID()])
    person = SelectField(Later("Who may observe?"), [DataRequired()])
    machine = SelectField(Later("On which machine?"), [DataRequired()])
    grounds = TextAreaField(Later("Why they can judge it"))
    until = DateField(Later("Until the end of"), [EMPTY])


class EndForm(Form):
    """Why a qualification ends."""

    reason = TextAreaField(Later("Why it ends"))


class LookForm(Form):
    """What a manager found out about two observers who differ."""

    form_id = HiddenField("", [UUID()])
    counts = RadioField(
        Later("Does this practical count?"),
        choices=[
            ("yes", Later("It counts as the first observer marked it")),
            ("no", Later("It does not count; observe a new one")),
        ],
        validate_choice=False,
    )
    reason = TextAreaField(Later("What you found out"))


class PictureForm(Form):
    """One picture."""

    picture = FileField(Later("Picture"))


@dataclass(frozen=True)
class QualifiedLine:
    """One qualification on the managers' page."""

    held: ObserverLine
    since: str
    until: str
    counts: bool
    state: str


@dataclass(frozen=True)
class AgreementLine:
    """One line of the report: the whole, or one step."""

    title: str
    critical: bool
    marks: str
    share: str
    kappa: str


@page.get("/observers")
@needs("decide")
def observers() -> str:
    """Who may observe on which machine, and the form to qualify somebody."""
    until = (now() + USUALLY).astimezone(ZoneInfo(me().time_zone)).date()
    form = QualifyForm(form_id=str(uuid.uuid4()), until=until, person=request.args.get("person"))
    return _observers(form, ())


@page.post("/observers")
@needs("decide")
def qualify() -> AnyResponse | tuple[str, int] | Refusal:
    """Say that somebody may observe on a machine."""
    form = QualifyForm(request.form)
    facts = _offered(form)
    if not form.validate():
        return render_template("observing/observers.html", refused=(), **facts), 422
    with reading() as db:
        person = people.member_by_public_id(db, form.person.data, me().site_id) or abort(404)
        machines = {one.key: one for one in certifying.machines(db, me().site_id)}
    assert form.until.data is not None
    done = acts.qualify(
        house().database,
        acts.Qualified(
            form.form_id.data or "", person.id, machines[form.machine.data].id, form.grounds.data or "",
            _end_of_day(form.until.data),
        ),
        by=me().id,
        now=now(),
    )  # fmt: skip
    if isinstance(done, Refused):
        return refusal_page("observing/observers.html", done, **facts)
    flash(gettext("Qualified: %(name)s.") % {"name": person.name})
    return redirect(url_for("observing.observers"), 303)


@page.get("/observers/<public_id>/end")
@needs("decide")
def ending(public_id: str) -> str:
    """Ask why a qualification is to end."""
    return render_template("observing/end.html", line=_held(public_id), form=EndForm(), refused=())


@page.post("/observers/<public_id>/end")
@needs("decide")
def end(public_id: str) -> AnyResponse | Refusal:
    """End a qualification now."""
    line, form = _held(public_id), EndForm(request.form)
    done = acts.end_qualification(
        house().database, qualification=public_id, by=me().id, reason=form.reason.data or "", now=now()
    )
    if isinstance(done, Refused):
        return refusal_page("observing/end.html", done, line=line, form=form)
    flash(gettext("Ended. What was signed before stays as it is."))
    return redirect(url_for("observing.observers"), 303)


@page.post("/practicals/<uuid:public_id>/show")
@needs("train")
def show(public_id: uuid.UUID) -> AnyResponse:
    """Show me the first observer's marks; I can no longer be the second."""
    done = acts.show_marks(house().database, practical=str(public_id), by=me().id, now=now())
    return redirect(url_for("train.practical", public_id=done), 303) if isinstance(done, str) else abort(404)


@page.get("/practicals/<uuid:public_id>/look")
@needs("decide")
def looking(public_id: uuid.UUID) -> str:
    """Two observers who differ, side by side, and the form to say what counts."""
    form = LookForm(form_id=str(uuid.uuid4()))
    return render_template("observing/look.html", form=form, refused=(), **_both(str(public_id)))


@page.post("/practicals/<uuid:public_id>/look")
@needs("decide")
def look(public_id: uuid.UUID) -> AnyResponse | tuple[str, int] | Refusal:
    """Say whether the practical counts."""
    facts, form = _both(str(public_id)), LookForm(request.form)
    if not form.validate():
        return render_template("observing/look.html", form=form, refused=(), **facts), 422
    counts = {"yes": True, "no": False}.get(form.counts.data or "")
    asked = acts.LookedAt(form.form_id.data or "", str(public_id), counts, form.reason.data or "")
    done = acts.look(house().database, asked, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("observing/look.html", done, form=form, **facts)
    flash(gettext("Written down. It stands in the log."))
    return redirect(url_for("train.practical", public_id=done), 303)


@page.get("/practicals/<uuid:public_id>/picture.jpg")
@needs("train")
def picture(public_id: uuid.UUID) -> Response:
    """The picture beside a practical, for those who observe and decide."""
    _practical(str(public_id))
    with reading() as db:
        text = queries.picture_text(db, str(public_id)) or abort(404)
    return Response(base64.b64decode(text), mimetype="image/jpeg")


@page.get("/practicals/<uuid:public_id>/picture")
@needs("train")
def picturing(public_id: uuid.UUID) -> str:
    """Ask for a picture."""
    return render_template(
        "observing/picture.html", signed=_practical(str(public_id)), form=PictureForm(), refused=()
    )


def widen_for_pictures() -> None:
    """A phone's picture is larger than any other form: these addresses alone take one.

    Where much is typed beside it, one that is too large is still read, so that nothing else of the form is lost.
    """
    if request.endpoint == "observing.keep_picture":
        request.max_content_length = LARGEST_UPLOAD + ROUND_A_PICTURE
    if request.endpoint == "writing.write" and g.get("member") and may(me().role, "author"):
        request.max_content_length = 4 * LARGEST_UPLOAD


@page.errorhandler(413)
def too_large(error: RequestEntityTooLarge) -> Refusal | RequestEntityTooLarge:
    """Say of a picture how large it may be; it was not read, and nothing else of the form was."""
    if request.endpoint != "observing.keep_picture" or not open_to_me(request.endpoint):
        return error
    signed = _practical(str((request.view_args or {})["public_id"]))
    refused = Refused(("picture.unreadable",))
    return refusal_page("observing/picture.html", refused, signed=signed, form=PictureForm(formdata=None))


@page.post("/practicals/<uuid:public_id>/picture")
@needs("train")
def keep_picture(public_id: uuid.UUID) -> AnyResponse | Refusal:
    """Keep one picture beside a practical that I signed."""
    signed, sent = _practical(str(public_id)), request.files.get("picture")
    data = sent.read() if sent else b""
    done = add_picture(house().database, practical=signed.public_id, data=data, by=me().id, now=now())
    if isinstance(done, Refused):
        return refusal_page("observing/picture.html", done, signed=signed, form=PictureForm())
    flash(gettext("The picture is kept."))
    return redirect(url_for("train.practical", public_id=done), 303)


@page.get("/practicals/agreement")
@needs("decide")
def agreement() -> str:
    """How well two observers of the same practical agree, and which practicals lack their second."""
    scheme = cabinet_scheme()
    steps = scheme.practical.steps if scheme.practical else ()
    with reading() as db:
        twice = queries.seen_twice(db, me().site_id, scheme.id)
        without = sampled.without_second(db, me().site_id, scheme.id)
        differ = sampled.differing(db, me().site_id, scheme.id)
    missing = [one for one in without if now() >= one.signed_at + SECOND_WITHIN]
    report = agreement_report(twice, [one.id for one in steps], missing=len(missing))
    said = [_line(one.text.say(language()), one.critical, report.steps[one.id]) for one in steps]
    whole = _line(gettext("All steps together"), False, report.whole)
    waiting = [one for one in without if one not in missing]
    return render_template(
        "observing/agreement.html", report=report, lines=[whole, *said], missing=missing, waiting=waiting,
        differ=differ, one_in=SECOND_ONE_IN, days=SECOND_WITHIN.days, day=day_words,
    )  # fmt: skip


def _line(title: str, critical: bool, found: Agreement) -> AgreementLine:
    share = gettext("no marks yet") if found.share is None else f"{found.share:.0%}"
    return AgreementLine(title, critical, f"{found.same} / {found.seen}", share, _kappa(found))


def _kappa(found: Agreement) -> str:
    if found.kappa is None or found.low is None or found.high is None:
        return gettext("not estimable")
    return gettext("%(kappa)s (95 %% interval %(low)s to %(high)s)") % {
        name: f"{value:.2f}" for name, value in (("kappa", found.kappa), ("low", found.low), ("high", found.high))
    }  # fmt: skip


def _observers(form: QualifyForm, refused: tuple[str, ...]) -> str:
    return render_template("observing/observers.html", refused=refused, **_offered(form))


def _offered(form: QualifyForm) -> dict[str, object]:
    """The form with the people and machines that it may name, and everybody who was ever qualified."""
    with reading() as db:
        members = people.members(db, me().site_id)
        machines = certifying.machines(db, me().site_id)
        held = queries.observers(db, me().site_id)
    form.person.choices = [
        (one.public_id, one.name) for one in members if one.id != me().id and may(one.role, "train")
    ]
    form.machine.choices = [(one.key, one.name) for one in machines]
    lines = [_qualified(one) for one in held]
    return {
        "form": form,
        "counting": [one for one in lines if one.counts],
        "over": [one for one in lines if not one.counts],
    }


def _qualified(held: ObserverLine) -> QualifiedLine:
    one = held.qualification
    state = gettext("counts")
    if one.ended_at is not None:
        state = gettext("ended %(day)s by %(name)s") % {"day": day_words(one.ended_at), "name": held.ended_by}
    elif not one.counts(now()):
        state = gettext("ran out")
    # It counts up to a midnight: the day before it is the last one.
    until = day_words(one.until - timedelta(seconds=1))
    return QualifiedLine(held, day_words(one.since), until, one.counts(now()), state)


def _held(public_id: str) -> QualifiedLine:
    with reading() as db:
        held = queries.observers(db, me().site_id)
    return next((_qualified(one) for one in held if one.qualification.public_id == public_id), None) or abort(
        404
    )


def _end_of_day(day: date) -> datetime:
    """The midnight that ends this day of the site, in UTC; a day past the calendar ends with it."""
    following = min(day, date.max - timedelta(days=2)) + timedelta(days=1)
    return datetime.combine(following, time(), ZoneInfo(me().time_zone)).astimezone(UTC)


def _practical(public_id: str) -> PracticalSigned:
    with reading() as db:
        return certifying.practical(db, me().site_id, public_id) or abort(404)


def _both(public_id: str) -> dict[str, object]:
    """A practical that two observers marked, step by step."""
    signed = _practical(public_id)
    with reading() as db:
        beside = queries.beside(db, public_id)
    if beside is None or beside.second is None:
        abort(404)
    line = practical_line(signed, house().schemes)
    theirs = {step: beside.second.marks.get(step, "not_seen") for step in signed.marks}
    said = beside.second
    other = replace(signed, marks=theirs, remarks=said.remarks, device_times=said.device_times)
    second = practical_line(other, house().schemes)
    return {
        "line": line, "second": beside.second, "pairs": list(zip(line.steps, second.steps, strict=True)),
        "looked": beside.look, "moment": moment_words,
    }  # fmt: skip
