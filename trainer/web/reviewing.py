"""A site's own questions as they are read by another person, tried, put into use and taken out of it."""

from __future__ import annotations

from difflib import ndiff
from typing import cast, get_args

from flask import Blueprint, Response, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.access.rights import may
from trainer.acts import questions as acts
from trainer.acts.sentences import SENTENCES
from trainer.documents import DocumentError
from trainer.language.drafting.sketch import sketch_of
from trainer.language.life import Kind, reasons_against
from trainer.records.queries import questions as queries
from trainer.records.queries.questions import Done, OwnOne, SavedText
from trainer.web import words
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.previews import preview
from trainer.web.words import Later
from trainer.web.writing import mine, said_of

page = Blueprint("reviewing", __name__)

STATES = {
    "draft": Later("Draft"),
    "waiting": Later("Waits for somebody else to read it"),
    "pilot": Later("On trial: asked in practice, and in exams without counting"),
    "live": Later("In use"),
    "replaced": Later("Replaced by a newer version"),
    "retired": Later("Out of use"),
}
STEPS = {
    "submitted": Later("Given to be read"),
    "returned": Later("Given back"),
    "reviewed": Later("Read, and let on trial"),
    "published": Later("Put into use"),
    "retired": Later("Taken out of use"),
}


@page.get("/questions")
@needs("review")
def everything() -> str:
    """Every question that the site wrote, and how it does."""
    with reading() as db:
        found = queries.own_questions(db, me().site_id)
        done = queries.done_on(db, me().site_id, [one.name for one in found])
    return render_template(
        "writing/everything.html", questions=[(one, _skill_of(one), done.get(one.name)) for one in found],
        states=STATES, may_author=may(me().role, "author"),
    )  # fmt: skip


def _skill_of(one: OwnOne) -> str:
    try:
        skill = house().bank.skills.get(sketch_of(one.newest.text).skill)
    except DocumentError:
        skill = None
    return skill.title[words.language()] if skill else ""


@page.route("/questions/read/<name>", methods=["GET", "POST"])
@needs("review")
def read(name: str) -> AnyResponse | str | tuple[str, int]:
    """A version read as a learner meets it, its life, and the next step of it."""
    one = mine(name)
    version = request.args.get("version", one.life.newest, type=int)
    text = one.text(version) or abort(404)
    with reading() as db:
        beside = preview(text.text, name, version, my_sheet(db).values, queries.photos_at(db, me().site_id))
        done = queries.done_on(db, me().site_id, [name]).get(name, Done(0, 0))
    refused: tuple[str, ...] = ()
    if request.method == "POST":
        kind = request.form.get("go", "")
        if kind not in get_args(Kind):
            abort(400)
        refused = acts.step(
            house().database, member=me(), name=name, version=version, kind=cast(Kind, kind),
            findings=beside.checked.findings, note=request.form.get("note", ""), now=now(),
            checked=request.form.get("checked", ""),
        )  # fmt: skip
        if not refused:
            flash(SENTENCES[f"log.question.{kind}"].say(words.language(), question=name, version=version))
            # What was asked by an older key is looked at at once.
            newer = kind == "published" and any(step.kind == "published" for step in one.steps)
            onward = "rescoring.touched" if newer else "reviewing.read"
            return redirect(url_for(onward, name=name, version=None if newer else version), 303)
    html = render_template(
        "writing/read.html", one=one, name=name, version=version, text=text, beside=beside, done=done, states=STATES,
        steps=STEPS, refused=said_of(refused), changed=_changed(one, text), open_steps=_open_steps(one, version),
        note=request.form.get("note", ""), skill=_skill_of(one), may_author=may(me().role, "author"),
    )  # fmt: skip
    return (html, 422) if refused else html


def _open_steps(one: OwnOne, version: int) -> list[Kind]:
    """The steps that this person may take where the version stands, whatever the check has found."""
    kinds: tuple[Kind, ...] = get_args(Kind)
    return [
        kind
        for kind in kinds
        if (kind != "submitted" or may(me().role, "author"))
        and not reasons_against(kind, one.life, version, me().public_id, ())
    ]


def _changed(one: OwnOne, text: SavedText) -> list[tuple[str, str]]:
    """What changed since the version before this one: lines with their mark."""
    old = one.text(text.version - 1)
    if old is None:
        return []
    lines = ndiff(old.text.splitlines(), text.text.splitlines())
    return [(line[0], line[2:]) for line in lines if line[0] in "+-"]


@page.get("/questions/read/<name>/question.yaml")
@needs("review")
def download(name: str) -> Response:
    """The newest version's file to take away."""
    response = Response(mine(name).newest.text, mimetype="text/plain")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.yaml"'
    return response
