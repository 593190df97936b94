"""Panels that set a cut: opened and sealed by a manager, rated by their judges, one item at a time."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, flash, redirect, render_template, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response as AnyResponse
from wtforms import DateField, IntegerField, SelectField, TextAreaField
from wtforms.validators import DataRequired, InputRequired, Length, NumberRange, Optional

from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import panels as acts
from trainer.acts.free_text import LONGEST_TEXT
from trainer.acts.schemes import reference_of
from trainer.exams.forms import Slot
from trainer.exams.panel import MOST_ROUNDS, Adoption, Judge, Panel, Rating, Study, next_item
from trainer.exams.paper import Paper, instance_of
from trainer.exams.scheme import Scheme
from trainer.language.draws import Instance
from trainer.language.rendering import answer_html, show
from trainer.records.queries import people
from trainer.records.queries import schemes as queries
from trainer.web import words
from trainer.web.dates import moment_words
from trainer.web.drawings import Picture, picture, svg
from trainer.web.exam_benches import bench_title
from trainer.web.exam_words import skill_titles
from trainer.web.guards import needs
from trainer.web.house import house, key_for, me, now, reading
from trainer.web.open_exams import tools
from trainer.web.refusals import reasons
from trainer.web.words import Later, gettext

page = Blueprint("panels", __name__)
Page = tuple[str, int]


class OpeningForm(FlaskForm):  # type: ignore[misc]
    """Who is only just competent."""

    definition = TextAreaField(
        Later("Who is only just competent?"), [DataRequired(), Length(max=LONGEST_TEXT)]
    )


class JudgeForm(FlaskForm):  # type: ignore[misc]
    """Who judges, and what qualifies them."""

    person = SelectField(Later("Judge"), [DataRequired()])
    qualification = TextAreaField(
        Later("What qualifies this judge"), [DataRequired(), Length(max=LONGEST_TEXT)]
    )


class SealForm(FlaskForm):  # type: ignore[misc]
    """The cut that is adopted."""

    cut = IntegerField(Later("Right answers needed"), [InputRequired(), NumberRange(0, 1000)])
    day = DateField(Later("Counts from this day on"), [Optional()])
    reason = TextAreaField(Later("Why, if it is not the panel's own cut"), [Length(max=LONGEST_TEXT)])


class RatingForm(FlaskForm):  # type: ignore[misc]
    """What a judge says of one item."""

    per_cent = IntegerField(
        Later("Of 100 people only just competent, how many get this right?"), [InputRequired()]
    )


@dataclass(frozen=True)
class Desk:
    """One panel with everything that belongs to it."""

    panel: Panel
    scheme: Scheme
    paper: Paper
    judges: list[Judge]
    ratings: list[Rating]

    @property
    def items(self) -> int:
        """How many items the panel rates."""
        return len(self.paper.form.slots)

    def study(self, number: int) -> Study | None:
        """What a round came to."""
        return acts.study_of(self.judges, self.ratings, number, self.items)

    def said(self, judge: int, number: int, item: int) -> int | None:
        """What a judge said of an item in a round."""
        found = [
            one.per_cent for one in self.ratings if (one.judge, one.round, one.item) == (judge, number, item)
        ]
        return found[0] if found else None

    def done(self, number: int) -> bool:
        """Whether every judge has handed in a round."""
        return bool(self.judges) and all(one.handed_in >= number for one in self.judges)


@page.route("/schemes/<scheme_id>/panel", methods=["GET", "POST"])
@needs("decide")
def opening(scheme_id: str) -> AnyResponse | str | Page:
    """Open a panel on today's version."""
    scheme, form = house().schemes.get(scheme_id) or abort(404), OpeningForm()
    refused: list[str] = []
    if form.validate_on_submit():
        done = acts.open_panel(
            house().database, by=me(), scheme=scheme, definition=form.definition.data or "", tools=tools(house()),
            now=now(),
        )  # fmt: skip
        if not isinstance(done, Refused):
            return redirect(url_for("panels.panel", public_id=done), 303)
        refused = reasons(done)
    html = render_template("panels/opening.html", scheme=scheme, form=form, refused=refused)
    return (html, 422) if form.is_submitted() else html


@page.get("/panels/<uuid:public_id>")
@needs("decide")
def panel(public_id: uuid.UUID) -> str:
    """The panel's table, its judges, and what is to be done next."""
    return _panel(_desk(public_id), JudgeForm(), SealForm(formdata=None), [])


@page.post("/panels/<uuid:public_id>/judges")
@needs("decide")
def name_judge(public_id: uuid.UUID) -> AnyResponse | Page:
    """Name a judge."""
    desk, form = _desk(public_id), JudgeForm()
    form.person.choices = _may_judge(desk)
    if not form.validate_on_submit():
        return _panel(desk, form, SealForm(formdata=None), []), 422
    wanted = acts.Nomination(int(form.person.data), form.qualification.data or "")
    done = acts.name_judge(house().database, by=me(), public_id=str(public_id), wanted=wanted, now=now())
    return _after(desk, done, form)


@page.post("/panels/<uuid:public_id>/round")
@needs("decide")
def next_round(public_id: uuid.UUID) -> AnyResponse | Page:
    """Have the panel rate again."""
    done = acts.next_round(house().database, by=me(), public_id=str(public_id), now=now())
    return _after(_desk(public_id), done)


@page.post("/panels/<uuid:public_id>/drop")
@needs("decide")
def drop(public_id: uuid.UUID) -> AnyResponse | Page:
    """Drop the panel."""
    return _after(_desk(public_id), acts.drop(house().database, by=me(), public_id=str(public_id), now=now()))


@page.post("/panels/<uuid:public_id>/seal")
@needs("decide")
def seal(public_id: uuid.UUID) -> AnyResponse | Page:
    """Adopt a cut and seal the panel."""
    desk, form = _desk(public_id), SealForm()
    if not form.validate_on_submit():
        return _panel(desk, JudgeForm(formdata=None), form, []), 422
    wanted = Adoption(form.cut.data or 0, _begins(form), form.reason.data or "", used=False)
    done = acts.seal(house().database, by=me(), public_id=str(public_id), wanted=wanted, now=now())
    return _after(desk, done, seal_form=form)


def _begins(form: SealForm) -> datetime:
    """The start of the day at the site; now where none is named, or today is."""
    zone = ZoneInfo(me().time_zone)
    if form.day.data is None or form.day.data == now().astimezone(zone).date():
        return now()
    return datetime.combine(form.day.data, time(), zone).astimezone(UTC)


@page.get("/panels/<uuid:public_id>/rate")
@needs("train")
def worksheet(public_id: uuid.UUID) -> AnyResponse | str:
    """On to the first item without a rating; then all of them, to be handed in."""
    desk, judge = _my_desk(public_id)
    at = next_item(desk.ratings, judge, desk.panel.round, desk.items)
    if at is not None and desk.panel.is_open and judge.handed_in < desk.panel.round:
        return redirect(url_for("panels.rate", public_id=public_id, item=at))
    return _review(desk, judge, [])


@page.route("/panels/<uuid:public_id>/rate/<int:item>", methods=["GET", "POST"])
@needs("train")
def rate(public_id: uuid.UUID, item: int) -> AnyResponse | str | Page:
    """One item, as it may stand in an exam, and what the judge says of it."""
    desk, judge = _my_desk(public_id)
    slot = desk.paper.slot(item) or abort(404)
    form, refused = RatingForm(), list[str]()
    if form.validate_on_submit():
        done = acts.rate(
            house().database, by=me(), public_id=str(public_id), item=item, per_cent=form.per_cent.data or 0,
            round_=desk.panel.round, now=now(),
        )  # fmt: skip
        if done is None:
            return redirect(url_for("panels.worksheet", public_id=public_id), 303)
        refused = reasons(done)
    if not form.is_submitted():
        form.per_cent.data = desk.said(judge.id, desk.panel.round, item)
    html = _rate(desk, judge, slot, form, refused)
    return (html, 422) if form.is_submitted() else html


@page.get("/panels/<uuid:public_id>/rate/<int:item>/drawing")
@needs("train")
def drawing(public_id: uuid.UUID, item: int) -> Response:
    """The drawing of an item."""
    desk, _ = _my_desk(public_id)
    instance = _instance(desk, desk.paper.slot(item) or abort(404)) or abort(404)
    figure = show(instance, words.language()).figure or abort(404)
    return svg(figure, words.language(), instance.system)


@page.post("/panels/<uuid:public_id>/hand-in")
@needs("train")
def hand_in(public_id: uuid.UUID) -> AnyResponse | Page:
    """Hand in my ratings of this round."""
    desk, judge = _my_desk(public_id)
    done = acts.hand_in(house().database, by=me(), public_id=str(public_id), now=now())
    if done is not None:
        return _review(desk, judge, reasons(done)), 422
    flash(gettext("Handed in. Your ratings of this round stand."))
    return redirect(url_for("panels.worksheet", public_id=public_id), 303)


def _desk(public_id: uuid.UUID) -> Desk:
    """A panel of my site; anybody else's is not found."""
    with reading() as db:
        one = queries.panel(db, me().site_id, str(public_id)) or abort(404)
        judges, ratings = queries.judges(db, one.id), queries.ratings(db, one.id)
    scheme = house().schemes.get(one.scheme) or abort(404)
    return Desk(one, scheme, reference_of(one), judges, ratings)


def _my_desk(public_id: uuid.UUID) -> tuple[Desk, Judge]:
    """A panel that I judge; any other is not found."""
    desk = _desk(public_id)
    judge = next((one for one in desk.judges if one.person_id == me().id), None) or abort(404)
    return desk, judge


def _may_judge(desk: Desk) -> list[tuple[str, str]]:
    with reading() as db:
        everyone = people.members(db, me().site_id)
    named = {one.person_id for one in desk.judges}
    return [(str(one.id), one.name) for one in everyone if may(one.role, "train") and one.id not in named]


def _after(
    desk: Desk, done: Refused | None, judge_form: JudgeForm | None = None, seal_form: SealForm | None = None
) -> AnyResponse | Page:
    if done is None:
        return redirect(url_for("panels.panel", public_id=desk.panel.public_id), 303)
    forms = (judge_form or JudgeForm(formdata=None), seal_form or SealForm(formdata=None))
    return _panel(desk, *forms, reasons(done)), 422


def _panel(desk: Desk, judge_form: JudgeForm, seal_form: SealForm, refused: list[str]) -> str:
    judge_form.person.choices = _may_judge(desk)
    study = desk.study(desk.panel.round) if desk.done(desk.panel.round) else None
    if study is not None and not seal_form.is_submitted():
        seal_form.cut.data = study.pass_mark
    with reading() as db:
        used = queries.is_used(db, me().site_id, desk.panel.scheme, desk.panel.version)
    if used and not seal_form.is_submitted():
        seal_form.day.data = (now().astimezone(ZoneInfo(me().time_zone)) + timedelta(days=1)).date()
    kept = acts.read_study(desk.panel.result) if desk.panel.result else None
    return render_template(
        "panels/panel.html", desk=desk, panel=desk.panel, scheme=desk.scheme, study=kept or study, used=used,
        judge_form=judge_form, seal_form=seal_form, refused=refused, moment=moment_words,
        titles=[_title(slot) for slot in desk.paper.form.slots],
        mine=any(one.person_id == me().id for one in desk.judges),
        last=desk.panel.round >= MOST_ROUNDS, done=desk.done(desk.panel.round),
    )  # fmt: skip


def _title(slot: Slot) -> str:
    return skill_titles((slot.skill,), house().bank)[0]


def _instance(desk: Desk, slot: Slot) -> Instance | None:
    return (
        instance_of(desk.paper, slot, house().bank.find, key_for("instances")) if slot.bench is None else None
    )


def _rate(desk: Desk, judge: Judge, slot: Slot, form: RatingForm, refused: list[str]) -> str:
    instance = _instance(desk, slot)
    shown = show(instance, words.language()) if instance else None
    earlier = desk.study(desk.panel.round - 1) if desk.panel.round > 1 else None
    return render_template(
        "panels/rate.html", desk=desk, panel=desk.panel, scheme=desk.scheme, slot=slot, form=form, refused=refused,
        shown=shown, answer=answer_html(instance, words.language()) if instance else "", title=_title(slot),
        picture=_picture(desk, slot, instance) if instance else None,
        mine=desk.said(judge.id, desk.panel.round - 1, slot.number),
        panel_said=round(100 * earlier.items[slot.number - 1]) if earlier else None,
        bench=bench_title(slot.bench) if slot.bench else "",
    )  # fmt: skip


def _picture(desk: Desk, slot: Slot, instance: Instance) -> Picture | None:
    figure = show(instance, words.language()).figure
    if figure is None:
        return None

    def address(theme: str) -> str:
        return url_for("panels.drawing", public_id=desk.panel.public_id, item=slot.number, theme=theme)

    return picture(figure, address, words.language(), instance.system)


def _review(desk: Desk, judge: Judge, refused: list[str]) -> str:
    number = desk.panel.round
    return render_template(
        "panels/review.html", desk=desk, panel=desk.panel, scheme=desk.scheme, judge=judge, refused=refused,
        lines=[(slot, _title(slot), desk.said(judge.id, number, slot.number)) for slot in desk.paper.form.slots],
        open=desk.panel.is_open and judge.handed_in < number,
    )  # fmt: skip
