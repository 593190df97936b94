"""Invigilate: who waits to be confirmed, exams that are open and their clocks, what asks for a look, extra time."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from datetime import timedelta

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import Form, IntegerField, RadioField, TextAreaField
from wtforms.validators import InputRequired

from trainer.access.members import Member
from trainer.access.refusal import Refused
from trainer.acts import invigilating as acts
from trainer.exams.invigilation import EXTRAS, Request, state_of
from trainer.exams.sitting import Sitting, ends_at, is_open, is_paused
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import people
from trainer.records.queries import sitting as queries
from trainer.records.queries.sitting import Allowance, Look, OpenSitting, Pause
from trainer.web.dates import moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.open_exams import scheme_title
from trainer.web.refusals import reasons, refusal_page
from trainer.web.words import Later, gettext, ngettext

page = Blueprint("invigilate", __name__)

LOOKS_SINCE = timedelta(days=90)
EXTRA_WORDS = {
    "5/4": Later("A quarter more"),
    "3/2": Later("Half as much again"),
    "2": Later("Twice the time"),
    "none": Later("No time limit"),
}
Refusal = tuple[str, int, dict[str, str]]


class ReasonForm(Form):
    """Why a clock is stopped."""

    reason = TextAreaField(Later("Why the clock stops"))


class BackForm(Form):
    """How much time is given back, and why."""

    minutes = IntegerField(Later("Minutes to give back"), [InputRequired(Later("Write a whole number."))])
    why = TextAreaField(Later("Why time is given back"))


class ExtraForm(Form):
    """How much extra time, and why."""

    extra = RadioField(
        Later("How much time"), choices=[(one, EXTRA_WORDS[one]) for one in EXTRAS], validate_choice=False
    )
    reason = TextAreaField(Later("Reason"))


@dataclass(frozen=True)
class WaitingLine:
    """One request on the list."""

    request: Request
    title: str
    asked: str
    state: str


@dataclass(frozen=True)
class OpenLine:
    """One open exam on the list."""

    exam: OpenSitting
    title: str
    words: str
    extra: str


@dataclass(frozen=True)
class LookLine:
    """One closed exam that asks for a look."""

    look: Look
    title: str
    when: str
    words: tuple[str, ...]


@page.get("/invigilate")
@needs("invigilate")
def everyone() -> str:
    """Who waits to be confirmed, which exams are open, what asks for a look."""
    return render_template("invigilate/everyone.html", refused=(), **_everyone())


def _everyone() -> dict[str, object]:
    with reading() as db:
        waiting = queries.requests_of_site(db, me().site_id, now())
        opened = queries.open_sittings(db, me().site_id)
        looks = queries.looks(db, me().site_id, now() - LOOKS_SINCE)
    lines = [_waiting(one) for one in waiting if one.person_id != me().id]
    return {
        "waiting": [one for one in lines if one.state == "waiting"],
        "admitted": [one for one in lines if one.state == "admitted"],
        "opened": [_opened(one) for one in opened if one.person_id != me().id],
        "looks": [_looked(one) for one in looks if one.person_public_id != me().public_id],
    }


@page.post("/invigilate/requests/<uuid:public_id>/confirm")
@needs("invigilate")
def confirm(public_id: uuid.UUID) -> Response | Refusal:
    """Confirm who sits there."""
    done = acts.admit(
        house().database, by=me(), request=str(public_id), attested="attested" in request.form, now=now()
    )
    if isinstance(done, Refused):
        return refusal_page("invigilate/everyone.html", done, **_everyone())
    flash(gettext("Confirmed: %(name)s.") % {"name": done.person})
    return redirect(url_for("invigilate.everyone"), 303)


@page.post("/invigilate/requests/<uuid:public_id>/turn-away")
@needs("invigilate")
def turn_away(public_id: uuid.UUID) -> Response | Refusal:
    """Do not let the person in."""
    done = acts.turn_away(house().database, by=me(), request=str(public_id), now=now())
    if isinstance(done, Refused):
        return refusal_page("invigilate/everyone.html", done, **_everyone())
    flash(gettext("Not let in: %(name)s.") % {"name": done.person})
    return redirect(url_for("invigilate.everyone"), 303)


@page.get("/invigilate/exams/<uuid:public_id>")
@needs("invigilate")
def exam(public_id: uuid.UUID) -> str:
    """One exam of somebody else: its clock, its pauses, and what was found when it was looked at."""
    return _exam_page(_exam(public_id), (), ReasonForm(), BackForm())


@page.post("/invigilate/exams/<uuid:public_id>/stop")
@needs("invigilate")
def stop(public_id: uuid.UUID) -> Response | tuple[str, int]:
    """Stop the clock of an exam."""
    form = ReasonForm(request.form)
    done = acts.pause(
        house().database, by=me(), exam=str(public_id), reason=form.reason.data or "", now=now()
    )
    said = gettext("The clock stands. Start it again as soon as the exam can go on.")
    return _done(public_id, done, said, form, BackForm())


@page.post("/invigilate/exams/<uuid:public_id>/go-on")
@needs("invigilate")
def go_on(public_id: uuid.UUID) -> Response | tuple[str, int]:
    """Start the clock of an exam again."""
    done = acts.resume(house().database, by=me(), exam=str(public_id), now=now())
    return _done(public_id, done, gettext("The clock runs again."), ReasonForm(), BackForm())


@page.post("/invigilate/exams/<uuid:public_id>/give-back")
@needs("invigilate")
def give_back(public_id: uuid.UUID) -> Response | tuple[str, int]:
    """Give time back that was lost."""
    form = BackForm(request.form)
    if not form.validate():
        return _exam_page(_exam(public_id), (), ReasonForm(), form), 422
    # More than a day is refused by the act; a number that no duration holds is taken for one.
    much = timedelta(minutes=min(max(form.minutes.data or 0, 0), 100_000))
    done = acts.give_back(
        house().database, by=me(), exam=str(public_id), much=much, reason=form.why.data or "", now=now()
    )
    return _done(public_id, done, gettext("The time is given back."), ReasonForm(), form)


@page.get("/people/<public_id>/exam-time")
@needs("decide")
def exam_time(public_id: str) -> str:
    """A person's extra time in exams, and the form to approve some."""
    return _time_page(_person(public_id), ExtraForm(), ())


@page.post("/people/<public_id>/exam-time")
@needs("decide")
def allow(public_id: str) -> Response | tuple[str, int]:
    """Approve extra time."""
    person, form = _person(public_id), ExtraForm(request.form)
    done = acts.allow(
        house().database, by=me(), person=person, extra=form.extra.data or "", reason=form.reason.data or "", now=now()
    )  # fmt: skip
    if isinstance(done, Refused):
        return _time_page(person, form, tuple(reasons(done))), 422
    flash(gettext("Approved for exams that start from now on."))
    return redirect(url_for("invigilate.exam_time", public_id=public_id), 303)


@page.post("/people/<public_id>/exam-time/end")
@needs("decide")
def end_time(public_id: str) -> Response | tuple[str, int]:
    """End a person's extra time."""
    person = _person(public_id)
    done = acts.end_allowance(house().database, by=me(), person=person, now=now())
    if isinstance(done, Refused):
        return _time_page(person, ExtraForm(), tuple(reasons(done))), 422
    flash(gettext("Ended. Exams that are open keep their time."))
    return redirect(url_for("invigilate.exam_time", public_id=public_id), 303)


def _waiting(one: Request) -> WaitingLine:
    asked = moment_words(one.asked_at)
    return WaitingLine(one, scheme_title(one.scheme), asked, state_of(one, now()))


def _opened(one: OpenSitting) -> OpenLine:
    words = gettext("the clock stands") if one.paused_at else _until(one.allowance, one.deadline)
    return OpenLine(one, scheme_title(one.scheme), words, extra_words(one.allowance))


def _until(allowance: str | None, deadline: object) -> str:
    if allowance == "none":
        return gettext("no time limit")
    return gettext("ends %(when)s") % {"when": moment_words(deadline)}  # type: ignore[arg-type]


def extra_words(allowance: str | None) -> str:
    """Extra time in words; nothing where there is none."""
    return str(EXTRA_WORDS[allowance]) if allowance in EXTRA_WORDS else ""


def _looked(one: Look) -> LookLine:
    return LookLine(one, scheme_title(one.scheme), moment_words(one.ended_at), marks_words(one))


def marks_words(one: Look) -> tuple[str, ...]:
    """What was found in an exam, a sentence each; none of it decides anything."""
    keys, bursts, fast = one.keys, one.bursts, one.fast
    said = {
        ngettext(
            "%(num)d answer is the right one for somebody else's numbers, and wrong for these.",
            "%(num)d answers are the right ones for somebody else's numbers, and wrong for these.", keys,
        ) % {"num": keys}: keys,
        ngettext(
            "%(num)d answer was changed four times or more within a minute.",
            "%(num)d answers were changed four times or more within a minute.", bursts,
        ) % {"num": bursts}: bursts,
        ngettext(
            "%(num)d right answer came sooner than the question can be read.",
            "%(num)d right answers came sooner than the questions can be read.", fast,
        ) % {"num": fast}: fast,
    }  # fmt: skip
    return tuple(sentence for sentence, count in said.items() if count)


def _exam(public_id: uuid.UUID) -> Sitting:
    """An exam of my site that is not mine; anything else is not found."""
    with reading() as db:
        sitting = exam_queries.sitting(db, str(public_id))
    if sitting is None or sitting.site_id != me().site_id or sitting.person_id == me().id:
        abort(404)
    return sitting


def _exam_page(sitting: Sitting, refused: tuple[str, ...], stopping: ReasonForm, back: BackForm) -> str:
    with reading() as db:
        person = people.member_by_public_id(db, sitting.person_public_id, me().site_id) or abort(404)
        found = queries.pauses(db, sitting.id)
        look = queries.look_of(db, sitting.id)
    return render_template(
        "invigilate/exam.html",
        sitting=sitting,
        person=person,
        title=scheme_title(sitting.scheme),
        open=is_open(sitting, now()),
        paused=is_paused(sitting, now()),
        ends=_until(sitting.allowance, ends_at(sitting, now())),
        extra=extra_words(sitting.allowance),
        started=moment_words(sitting.started_at),
        pauses=[(one, moment_words(one.began_at), _lasted(one)) for one in found],
        look=_looked(look) if look else None,
        slots=json.loads(look.detail) if look else {},
        stopping=stopping,
        back=back,
        refused=refused,
    )


def _lasted(one: Pause) -> str:
    if one.credit_seconds is None:
        return gettext("still stands")
    return gettext("%(minutes)s min %(seconds)s s") % dict(
        zip(("minutes", "seconds"), divmod(one.credit_seconds, 60), strict=True)
    )


def _done(
    public_id: uuid.UUID, done: Sitting | Refused, said: str, stopping: ReasonForm, back: BackForm
) -> Response | tuple[str, int]:
    if isinstance(done, Refused):
        return _exam_page(_exam(public_id), tuple(reasons(done)), stopping, back), 422
    flash(said)
    return redirect(url_for("invigilate.exam", public_id=public_id), 303)


def _person(public_id: str) -> Member:
    with reading() as db:
        return people.member_by_public_id(db, public_id, me().site_id) or abort(404)


def _time_page(person: Member, form: ExtraForm, refused: tuple[str, ...]) -> str:
    with reading() as db:
        found = queries.allowances(db, person.id)
    stands = next((one for one in found if one.ended_at is None), None)
    return render_template(
        "invigilate/exam_time.html",
        person=person,
        own=person.id == me().id,
        lines=[(one, extra_words(one.factor), moment_words(one.approved_at), _ended(one)) for one in found],
        stands=stands,
        form=form,
        refused=refused,
    )


def _ended(one: Allowance) -> str:
    return moment_words(one.ended_at) if one.ended_at else gettext("still counts")
