"""Giving: a trainer sets up a task of a bench from the site sheet, gives it to a person, and sees how far it is."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import DateField, Form, SelectField, TextAreaField
from wtforms.validators import DataRequired, Length, Optional

from trainer.access.refusal import Refused
from trainer.acts import benches as acts
from trainer.benches.catalogue import benches
from trainer.benches.frame import Bench
from trainer.records.queries import benches as queries
from trainer.records.queries import people
from trainer.web import refusals, words
from trainer.web.benches import bench_or_404, given_line, run_line, tools
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.words import Later, gettext

page = Blueprint("giving", __name__)


class GiveForm(Form):
    """Who gets a task; the options come from the bench."""

    person = SelectField(Later("For whom?"), [DataRequired()])
    note = TextAreaField(Later("Your note, in your own words"), [Optional(), Length(max=acts.LONGEST_NOTE)])
    due = DateField(Later("To be done by"), [Optional()])


@page.get("/benches/given")
@needs("train")
def given() -> str:
    """Tasks that were given at my site and how far they are, and the latest runs."""
    with reading() as db:
        lines = [given_line(one) for one in queries.given_by_site(db, me().site_id)]
        runs = [run_line(one) for one in queries.site_runs(db, me().site_id, 30) if one.ended_at is not None]
    every = [(bench.CARD.id, bench.CARD.title.in_(words.language())) for bench in benches().values()]
    return render_template("benches/given.html", lines=lines, runs=runs, benches=every)


@page.get("/benches/<bench_id>/give")
@needs("train")
def giving(bench_id: str) -> str:
    """Set up a task of one's own."""
    return _giving(bench_or_404(bench_id), _offer(GiveForm(request.args)))


@page.post("/benches/<bench_id>/give")
@needs("train")
def give(bench_id: str) -> Response | tuple[str, int]:
    """Give it to a person."""
    bench, form = bench_or_404(bench_id), _offer(GiveForm(request.form))
    if not form.validate():
        return _giving(bench, form), 422
    with reading() as db:
        person = people.member_by_public_id(db, form.person.data, me().site_id) or abort(404)
        version = my_sheet(db).version
    names = {pick.name for pick in bench.options(house().sheet(me().site_id, version))}
    done = acts.give(
        house().database,
        by=me(),
        person_id=person.id,
        bench_id=bench_id,
        asked={name: value for name, value in request.form.items() if name in names},
        note=form.note.data or "",
        due_at=_end_of(form.due.data),
        sheet_version=version,
        tools=tools(house()),
        now=now(),
    )
    if isinstance(done, Refused):
        return _giving(bench, form, tuple(refusals.reasons(done))), 422
    flash(gettext("Given to %(name)s.") % {"name": person.name})
    return redirect(url_for("giving.given"), 303)


@page.post("/benches/given/<uuid:public_id>/back")
@needs("train")
def take_back(public_id: object) -> Response:
    """Take a given task back."""
    done = acts.take_back(house().database, by=me(), public_id=str(public_id), now=now())
    if isinstance(done, Refused):
        abort(404)
    return redirect(url_for("giving.given"), 303)


def _end_of(day: date | None) -> datetime | None:
    """The end of a day at the site."""
    return (
        None
        if day is None
        else datetime.combine(day, time(23, 59, 59), ZoneInfo(me().time_zone)).astimezone(UTC)
    )


def _giving(bench: Bench, form: GiveForm, refused: tuple[str, ...] = ()) -> str:
    with reading() as db:
        sheet = my_sheet(db).sheet
    language = words.language()
    picks = [
        (one.name, one.label.in_(language), [(o.id, o.label.in_(language)) for o in one.options])
        for one in bench.options(sheet)
    ]
    title = bench.CARD.title.in_(language)
    return render_template(
        "benches/give.html", title=title, form=form, picks=picks, refused=refused, typed=request.form
    )


def _offer(form: GiveForm) -> GiveForm:
    with reading() as db:
        members = people.members(db, me().site_id)
    form.person.choices = [(one.public_id, one.name) for one in members if one.id != me().id]
    return form
