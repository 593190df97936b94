"""Practise: one drill at a time, with help that fades, a reason for every wrong answer, and the steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.acts import learning as acts
from trainer.acts.learning import PracticeTools
from trainer.language.draws import Instance, NoInstance, draw
from trainer.language.grading import grade, read_answer
from trainer.language.rendering import FigureRequest, Shown, show, worked
from trainer.learning.choosing import due_skills, unproven
from trainer.records.queries import learning as queries
from trainer.records.queries.learning import ShownDrill
from trainer.web import words
from trainer.web.answers import parse_answer
from trainer.web.drawings import Picture, picture, svg
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.progress import plans, proven_words, taught
from trainer.web.words import Later

if TYPE_CHECKING:
    from trainer.language.verdicts import Verdict

page = Blueprint("practise", __name__)

HELP = {
    "worked": Later("First a worked example, then one of your own."),
    "last_step": Later("The steps are there; the last one is yours."),
    "alone": Later("On your own now. The steps come after your answer."),
}


def tools() -> PracticeTools:
    """What practice needs beside the database."""
    one, site_id = house(), me().site_id
    return PracticeTools(
        one.bank, one.key_for("instances"), lambda version: one.site_values(site_id, version)
    )


@page.post("/drill")
@needs("learn")
def start() -> AnyResponse:
    """Show the next drill: of a lesson, or of what is due."""
    if request.form.get("go") == "today":
        return redirect(url_for("learn.today"), 303)
    return begin(request.form.get("lesson") or None)


def begin(lesson: str | None) -> AnyResponse:
    """Go to the next drill; one that still waits for its answer is shown again."""
    skills = _skills(lesson)
    with reading() as db:
        standings = queries.standings(db, me().id)
        waiting = queries.open_drill(db, me().id)
        sheet = my_sheet(db)
    if lesson is None:
        skills = due_skills(standings, now()) or skills
    if waiting is not None and waiting.skill in skills and _instance(waiting) is not None:
        return redirect(url_for("practise.drill", public_id=waiting.public_id), 303)
    public_id = acts.show_drill(
        house().database,
        member=me(),
        skills=unproven(skills, standings) or skills,
        lesson=lesson,
        sheet_version=sheet.version,
        tools=tools(),
        now=now(),
    )
    return redirect(url_for("practise.drill", public_id=public_id), 303)


def _skills(lesson: str | None) -> tuple[str, ...]:
    """The skills of a lesson, or every skill that can be practised."""
    every = plans(house().lessons, house().bank)
    if lesson is None:
        return taught(every)
    return next((plan.skills for plan in every if plan.id == lesson), ()) or abort(404)


@page.route("/drills/<public_id>", methods=["GET", "POST"])
@needs("learn")
def drill(public_id: str) -> AnyResponse | str | tuple[str, int]:
    """One drill: the question, or once it is answered the verdict with its reason and the steps."""
    shown, instance = _mine_or_404(public_id)
    question = show(instance, words.language())
    if request.method == "GET":
        verdict = grade(instance, shown.answer, words.language()) if shown.answer is not None else None
        return _page(shown, instance, question, verdict, typed=None)
    typed = parse_answer(question, request.form)
    taken = acts.answer_drill(
        house().database,
        member=me(),
        public_id=public_id,
        answer=typed.text,
        language=words.language(),
        tools=tools(),
        now=now(),
    )
    if taken.counted:
        return redirect(url_for("practise.drill", public_id=public_id), 303)
    kept = read_answer(instance.question, typed.text)
    return _page(shown, instance, question, taken.verdict, typed=kept), 422


@page.get("/drills/<public_id>/drawing.svg")
@needs("learn")
def drawing(public_id: str) -> Response:
    """The drawing of a drill, to scale of its numbers."""
    _, instance = _mine_or_404(public_id)
    asked = show(instance, words.language()).figure or abort(404)
    return svg(asked, words.language(), instance.system)


def _mine_or_404(public_id: str) -> tuple[ShownDrill, Instance]:
    with reading() as db:
        shown = queries.drill(db, public_id)
    if shown is None or shown.person_id != me().id:
        abort(404)
    return shown, _instance(shown) or abort(410)


def _instance(shown: ShownDrill) -> Instance | None:
    return acts.instance_of(shown, me(), tools())


@dataclass(frozen=True)
class Example:
    """A worked example: the same task with other numbers."""

    ask: str
    steps: Sequence[str]


@dataclass(frozen=True)
class Told:
    """A verdict as the page tells it."""

    right: bool
    counted: bool
    said_back: str
    because: str


def _page(
    shown: ShownDrill, instance: Instance, question: Shown, verdict: Verdict | None, *, typed: object
) -> str:
    language = words.language()
    bank = house().bank
    counted = verdict is not None and verdict.counts
    steps = worked(instance, language)
    skills = _skills(shown.lesson)
    with reading() as db:
        standings = queries.standings(db, me().id)
    left = unproven(skills, standings) if shown.lesson else due_skills(standings, now())
    done = len(skills) - len(unproven(skills, standings))
    return render_template(
        "practise/drill.html",
        shown=question,
        skill=bank.skill(shown.skill).title[language],
        topic=next(t.title[language] for t in bank.topics if shown.skill.startswith(f"{t.id}.")),
        help_words=HELP[shown.support],
        figure=_figure(question.figure, shown.public_id, instance),
        example=None if counted or shown.support != "worked" else _example(shown, instance),
        steps=steps if counted else (steps[:-2] if shown.support == "last_step" else []),
        verdict=Told(verdict.right, counted, verdict.said_back, verdict.because) if verdict else None,
        typed=typed,
        source=question.source,
        string={"done": done, "of": len(skills), "words": proven_words(done, len(skills))},
        lesson=shown.lesson,
        more=bool(left),
    )


def _figure(asked: FigureRequest | None, public_id: str, instance: Instance) -> Picture | None:
    if asked is None:
        return None

    def address(theme: str) -> str:
        return url_for("practise.drawing", public_id=public_id, theme=theme)

    return picture(asked, address, words.language(), instance.system)


def _example(shown: ShownDrill, instance: Instance) -> Example | None:
    """An instance of the same family with other numbers, all steps shown."""
    one = instance.question
    label = f"example|{instance.label}"
    try:
        other = draw(one, tools().values(shown.sheet_version), tools().secret, label, instance.system)
    except NoInstance:
        return None
    return Example(show(other, words.language()).ask, worked(other, words.language()))
