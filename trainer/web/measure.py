"""Measure: the walk through the site sheet, one number a screen; each is kept when it is given."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse
from wtforms import Form, IntegerField, StringField
from wtforms.validators import Length, Optional

from trainer.access.refusal import Refused
from trainer.acts import measuring as acts
from trainer.documents import DocumentError, Fault
from trainer.language.rendering import FigureRequest
from trainer.sites import read_sheet
from trainer.sites.measuring import Judged, Taken, judge, to_write, typed_again
from trainer.sites.plausible import said_range
from trainer.sites.rewriting import field_at
from trainer.sites.walk import Stop
from trainer.web import words
from trainer.web.checking import check_later
from trainer.web.drawings import Picture, picture, svg
from trainer.web.guards import needs
from trainer.web.house import house, me, now
from trainer.web.refusals import reasons
from trainer.web.walking import STATUS, Walking, numbers_mark, walking
from trainer.web.words import Later, gettext

page = Blueprint("measure", __name__)

LONGEST = 80


class StopForm(Form):
    """What somebody gives for one field; `revision`: which state of it they saw."""

    value = StringField(Later("Your number"), [Length(max=LONGEST)])
    revision = IntegerField("", [Optional()])


@dataclass(frozen=True)
class Use:
    """What a number is used for."""

    skills: tuple[str, ...]
    questions: int
    survey: str


@dataclass(frozen=True)
class SheetFault:
    """A fault of the new sheet: the stop that mends it, its title, the sentence."""

    field: str
    title: str
    sentence: str


@page.get("/sheet/measure")
@needs("author")
def overview() -> str:
    """Where the walk stands, place by place."""
    one = walking()
    return render_template(
        "measure/overview.html", walk=one, lines=one.lines(), to_go=one.next(), total=len(one.stops),
        done=len(one.stops) - one.count("open"),
    )  # fmt: skip


@page.route("/sheet/measure/<field>", methods=["GET", "POST"])
@needs("author")
def stop(field: str) -> AnyResponse | str | tuple[str, int]:
    """One field: where the tape goes, what stands now, what it is for."""
    one = walking()
    there = one.stop(field)
    form = StopForm(request.form)
    if request.method == "GET":
        return _page(one, there, form)
    if not form.validate():
        return _page(one, there, form, wrong=(gettext("That is too long to be a number."),)), 422
    judged = _judged(one, there, form)
    if judged.wrong or not isinstance(judged.taken, Taken):
        return _page(one, there, form, wrong=judged.wrong), 422
    refused = acts.note_measurement(
        house().database, site_id=me().site_id, by=me().id, field=field, taken=judged.taken,
        revision=form.revision.data or 0, now=now(),
    )  # fmt: skip
    if refused is not None:
        return _page(walking(), there, StopForm(), refused=refused, typed=form.value.data or ""), 409
    return redirect(_onward(field), 303)


def _onward(field: str) -> str:
    """Where to go from a stop: the same again when its number is worth a second look, else the next open one."""
    one = walking()
    if one.status(field) == "look_again":
        return url_for("measure.stop", field=field)
    after = one.next(field)
    return url_for("measure.stop", field=after) if after else url_for("measure.overview")


@dataclass(frozen=True)
class Parsed:
    """What the form comes to, or why it comes to nothing."""

    taken: Taken | None
    wrong: tuple[str, ...] = ()


def _judged(one: Walking, there: Stop, form: StopForm) -> Parsed:
    go = request.form.get("go")
    in_force = one.in_force(there.field)
    if go == "skip":
        return Parsed(Taken("skipped"))
    if go == "still" and in_force is not None:
        return Parsed(Taken("kept", in_force))
    typed = form.value.data or ""
    if there.expected is None:
        known = typed in {choice.word for choice in there.choices}
        return Parsed(Taken("measured", typed)) if known else Parsed(None, (gettext("Choose one."),))
    found: Judged = judge(typed, there.expected, words.language(), me().system)
    if found.wrong:
        return Parsed(None, found.wrong)
    # The same number again, after the page asked for it: they have measured twice.
    before = one.draft.get(there.field)
    twice = before is not None and before.written == found.written and bool(one.reasons(there.field))
    return Parsed(Taken("measured", found.written, sure=twice))


@page.get("/sheet/measure/<field>/drawing.svg")
@needs("author")
def drawing(field: str) -> Response:
    """Where the tape goes, to scale of the numbers as they stand."""
    one = walking()
    one.stop(field)
    drawn = one.drawing(field) or abort(404)
    return svg(FigureRequest(*drawn, caption=""), words.language(), me().system)


@page.route("/sheet/measure/finish", methods=["GET", "POST"])
@needs("author")
def finish() -> AnyResponse | str | tuple[str, int]:
    """The whole new sheet, read: faults with the stop that mends each, what changes; then save it."""
    if request.method == "GET":
        return _finish_page(walking())
    saved = acts.finish_walk(
        house().database,
        site_id=me().site_id,
        by=me().id,
        fingerprint=request.form.get("seen", ""),
        now=now(),
    )
    if isinstance(saved, Refused):
        return _finish_page(walking(), saved), 422
    check_later(saved)
    flash(gettext("Saved as version %(version)s. New instances use it from now on.") % {"version": saved})
    return redirect(url_for("checking.questions"), 303)


@page.route("/sheet/measure/drop", methods=["GET", "POST"])
@needs("author")
def drop() -> AnyResponse | str:
    """Throw the open walk away; asked once more before."""
    if request.method == "GET":
        return render_template("measure/drop.html", walk=walking())
    acts.drop_walk(house().database, site_id=me().site_id, by=me().id, now=now())
    flash(gettext("Thrown away. The sheet in force is as it was."))
    return redirect(url_for("measure.overview"), 303)


def _page(
    one: Walking,
    there: Stop,
    form: StopForm,
    *,
    wrong: tuple[str, ...] = (),
    refused: Refused | None = None,
    typed: str = "",
) -> str:
    fields = list(one.stops)
    at = fields.index(there.field)
    draft, in_force = one.draft.get(there.field), one.in_force(there.field)
    if request.method == "GET" and draft is not None and draft.state != "skipped":
        form.value.data = (
            draft.written if there.expected is None else typed_again(draft.written, words.language())
        )
    form.revision.data = draft.revision if draft is not None and not wrong else form.revision.data or 0
    return render_template(
        "measure/stop.html",
        walk=one, stop=there, form=form, place=one.place_of(there.field), number=at + 1, total=len(fields),
        back=fields[at - 1] if at else None, forth=fields[at + 1] if at + 1 < len(fields) else None,
        draft=draft, status=one.status(there.field), status_words=STATUS, in_force=in_force,
        said=one.said(there.field, in_force),
        given=one.said(there.field, draft.written) if draft is not None and draft.written else "",
        look=one.reasons(there.field), wrong=wrong, refused=reasons(refused) if refused else (),
        typed=typed, use=_use(there), figure=_figure(one, there),
        bounds=said_range(there.expected, words.language(), me().system) if there.expected else None,
        done=len(fields) - one.count("open"),
    )  # fmt: skip


def _use(there: Stop) -> Use:
    bank, language = house().bank, words.language()
    asking = [one for one in bank.by_id.values() if set(one.numbers.site) & set(there.names)]
    skills = dict.fromkeys(bank.skill(one.skill).title[language] for one in asking)
    return Use(tuple(skills), len(asking), there.survey.in_(language))


def _figure(one: Walking, there: Stop) -> Picture | None:
    drawn = one.drawing(there.field)
    if drawn is None:
        return None
    mark = numbers_mark(drawn)

    def address(theme: str) -> str:
        return url_for("measure.drawing", field=there.field, theme=theme, numbers=mark)

    return picture(FigureRequest(*drawn, caption=""), address, words.language(), me().system)


def _finish_page(one: Walking, refused: Refused | None = None) -> str:
    made = acts.new_sheet(one.saved, to_write(one.draft))
    faults, warnings = _read_through(one, made.text)
    return render_template(
        "measure/finish.html", walk=one, made=made, faults=faults, warnings=warnings, changes=one.changes(),
        refused=reasons(refused) if refused else (), total=len(one.stops), left=one.count("open", "skipped"),
        again=[field for field in one.stops if one.status(field) == "look_again"],
    )  # fmt: skip


def _read_through(one: Walking, text: str) -> tuple[list[SheetFault], list[SheetFault]]:
    """The faults of the new sheet, or its warnings."""
    try:
        sheet = read_sheet(text, gettext("sheet"))
    except DocumentError as error:
        return [_told(one, text, fault) for fault in error.faults], []
    return [], [_told(one, text, fault) for fault in sheet.warnings]


def _told(one: Walking, text: str, fault: Fault) -> SheetFault:
    field = field_at(text, fault.place)
    title = one.stops[field].title.in_(words.language()) if field in one.stops else ""
    return SheetFault(field if title else "", title, f"{fault.wrong} {fault.mend}")
