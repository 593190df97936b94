"""Benches: the list, starting a run, playing it act by act, its result; and what was given to me."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.access.refusal import Refused
from trainer.access.rights import may
from trainer.acts import benches as acts
from trainer.acts.benches import BenchTools
from trainer.acts.sentences import SENTENCES
from trainer.benches.acts import Unreadable
from trainer.benches.catalogue import benches
from trainer.benches.frame import Bench
from trainer.quantities.dimensions import System
from trainer.records.queries import benches as queries
from trainer.records.queries.benches import BenchFacts, GivenTask, KeptRun
from trainer.web import refusals, words
from trainer.web.bench_page import Region, points_words, region, typed_act
from trainer.web.dates import day_words, moment_words
from trainer.web.guards import needs
from trainer.web.house import House, house, me, my_sheet, now, reading
from trainer.web.words import gettext

page = Blueprint("benches", __name__)


@dataclass(frozen=True)
class BenchLine:
    """One bench on a list."""

    id: str
    title: str
    purpose: str
    minutes: int
    best: str


@dataclass(frozen=True)
class GivenLine:
    """A task that a trainer gave."""

    id: str
    bench: str
    title: str
    person: str
    given_by: str
    level: str
    note: str
    due: str
    overdue: bool
    passed: bool
    stands: str
    withdrawn: bool


def tools(one: House) -> BenchTools:
    """What benches need beside the database; the same for the life of a program, for tasks are kept by it."""
    return BenchTools(one.key_for("benches"), one.sheet)


@page.get("/benches")
@needs("learn")
def everything() -> str:
    """Every bench, and what was given to me."""
    with reading() as db:
        best = queries.best_points(db, me().id)
        given = queries.given_to(db, me().id)
    return render_template(
        "benches/list.html",
        lines=[bench_line(bench, best) for bench in benches().values()],
        given=[given_line(one) for one in given],
        trains=may(me().role, "train"),
    )


def bench_line(bench: Bench, best: Mapping[str, int]) -> BenchLine:
    """A bench in the language of this request."""
    card, language = bench.CARD, words.language()
    reached = points_words(best[card.id]) if card.id in best else ""
    return BenchLine(card.id, card.title.in_(language), card.purpose.in_(language), card.minutes, reached)


def given_line(one: GivenTask) -> GivenLine:
    """A given task in the language of this request."""
    bench = benches().get(one.bench)
    if one.best is not None:
        stands = points_words(one.best)
    else:
        stands = gettext("started") if one.open_run or one.runs else gettext("not started")
    return GivenLine(
        id=one.public_id,
        bench=one.bench,
        title=bench.CARD.title.in_(words.language()) if bench else one.bench,
        person=one.person,
        given_by=one.given_by,
        level=one.options["level"],
        note=one.note,
        due=day_words(one.due_at) if one.due_at else "",
        overdue=one.due_at is not None and one.due_at < now() and one.passed_at is None,
        passed=one.passed_at is not None,
        stands=stands,
        withdrawn=one.withdrawn_at is not None,
    )


@page.get("/benches/<bench_id>")
@needs("learn")
def about(bench_id: str) -> str:
    """What a bench is for, and its start."""
    return _about(bench_or_404(bench_id), request.args.get("lesson"))


@page.post("/benches/<bench_id>")
@needs("learn")
def start(bench_id: str) -> AnyResponse | tuple[str, int]:
    """Start a run, or go on with the one that is open."""
    bench = bench_or_404(bench_id)
    with reading() as db:
        version = my_sheet(db).version
    # A learner chooses the level; what a task hides is fixed by trainers alone.
    asked = {
        name: value for name, value in request.form.items() if name == "level" or may(me().role, "train")
    }
    names = {pick.name for pick in bench.options(house().sheet(me().site_id, version))}
    started = acts.start(
        house().database,
        member=me(),
        bench_id=bench_id,
        asked={name: value for name, value in asked.items() if name in names},
        sheet_version=version,
        lesson=_lesson(request.form.get("lesson")),
        given=request.form.get("given") or None,
        tools=tools(house()),
        now=now(),
    )
    if isinstance(started, Refused):
        return _about(bench, request.form.get("lesson"), tuple(refusals.reasons(started))), 422
    return redirect(url_for("benches.run", public_id=started), 303)


@page.get("/bench/<uuid:public_id>")
@needs("learn")
def run(public_id: object) -> str | tuple[str, int]:
    """A run: as it stands, or its result."""
    kept = _mine_or_404(str(public_id))
    return _run_page(kept)


@page.post("/bench/<uuid:public_id>")
@needs("learn")
def play(public_id: object) -> AnyResponse | tuple[str, int]:
    """Do one act. The same again changes nothing."""
    kept = _mine_or_404(str(public_id))
    task = acts.task_of_run(kept.facts, tools(house()))
    if task is None:
        return _run_page(kept), 410
    bench = benches()[kept.facts.bench]
    typed = typed_act(bench, task, request.form, cast(System, kept.facts.system))
    if isinstance(typed, Unreadable):
        return _answer(kept, typed.why.in_(words.language()), status=422)
    played = acts.play(
        house().database,
        member=me(),
        public_id=kept.facts.public_id,
        number=request.form.get("number", 0, type=int),
        act=typed,
        tools=tools(house()),
        now=now(),
    )
    refused = [SENTENCES[key].say(words.language()) for key in played.reasons]
    if played.said is not None:
        refused.append(played.said.in_(words.language()))
    fresh = _mine_or_404(kept.facts.public_id)
    return _answer(fresh, " ".join(refused), status=200 if played.accepted else 422)


def _answer(kept: KeptRun, refused: str, *, status: int) -> AnyResponse | tuple[str, int]:
    """The run after an act: its region for script, a page or a redirect for a form."""
    if not wants_json():
        if status == 200:
            return redirect(url_for("benches.run", public_id=kept.facts.public_id), 303)
        return _run_page(kept, refused), status
    return region_json(_run_page(kept, refused, bare=True), _said(kept, refused), status)


def wants_json() -> bool:
    """Whether script sent this act."""
    return request.accept_mimetypes.best == "application/json"


def region_json(html: str, said: str, status: int) -> Response:
    """What script puts in place of the region; `done`: whether the act was done."""
    answer = {"html": html, "said": said, "done": status == 200}
    return Response(json.dumps(answer, ensure_ascii=False), status, mimetype="application/json")


def _said(kept: KeptRun, refused: str) -> str:
    """What is spoken after an act."""
    if refused:
        return refused
    task = acts.task_of_run(kept.facts, tools(house()))
    assert task is not None
    now_shown = _region(kept, task)
    if now_shown.result is not None:
        return points_words(now_shown.result.points)
    return now_shown.shown.said if now_shown.shown else ""


def _run_page(kept: KeptRun, refused: str = "", *, bare: bool = False) -> str:
    bench, facts = benches().get(kept.facts.bench), kept.facts
    task = acts.task_of_run(facts, tools(house()))
    if bench is None or task is None:
        points = points_words(facts.points) if facts.points is not None else ""
        return render_template("benches/changed.html", title=facts.bench, points=points)
    language = words.language()
    return render_template(
        f"benches/{facts.bench}.html",
        frame="benches/bare.html" if bare else "base.html",
        title=bench.CARD.title.in_(language),
        purpose=bench.CARD.purpose.in_(language),
        place="practice",
        bench=facts.bench,
        facts=facts,
        lesson=_lesson(facts.lesson),
        action=url_for("benches.play", public_id=facts.public_id),
        region=_region(kept, task, refused),
    )


def _region(kept: KeptRun, task: Any, refused: str = "") -> Region:
    return region(
        benches()[kept.facts.bench],
        task,
        acts.acts_of_run(kept, task),
        system=cast(System, kept.facts.system),
        key=kept.facts.public_id,
        refused=refused,
    )


def _mine_or_404(public_id: str) -> KeptRun:
    """A run of mine; whoever trains at my site may look at it when it is over, and nobody else knows of it."""
    with reading() as db:
        kept = queries.run(db, public_id)
    if kept is None or not _may_see(kept.facts):
        abort(404)
    return kept


def _may_see(facts: BenchFacts) -> bool:
    if facts.person_id == me().id:
        return True
    looks_on = request.method == "GET" and facts.ended_at is not None and may(me().role, "train")
    return looks_on and facts.site_id == me().site_id


def bench_or_404(bench_id: str) -> Bench:
    """A bench that stands."""
    return benches().get(bench_id) or abort(404)


def _lesson(asked: str | None) -> str | None:
    return asked if asked and house().lessons.find(asked) else None


def _about(bench: Bench, lesson: str | None, refused: tuple[str, ...] = ()) -> str:
    language = words.language()
    with reading() as db:
        best = queries.best_points(db, me().id)
        runs = [one for one in queries.runs_of(db, me().id) if one.bench == bench.CARD.id]
        sheet = my_sheet(db).sheet
    level, *others = bench.options(sheet)
    return render_template(
        "benches/about.html",
        line=bench_line(bench, best),
        level=[
            (one.id, one.label.in_(language), one.more.in_(language) if one.more else "")
            for one in level.options
        ],
        others=others if may(me().role, "train") else (),
        skills=[house().bank.skill(skill).title[language] for skill in bench.CARD.skills],
        runs=[run_line(one) for one in runs],
        lesson=_lesson(lesson),
        trains=may(me().role, "train"),
        refused=refused,
    )


@dataclass(frozen=True)
class RunLine:
    """One run in a list."""

    href: str
    words: str
    person: str
    title: str


def run_line(one: BenchFacts) -> RunLine:
    """A run in the language of this request."""
    if one.ended_at is None:
        said = gettext("goes on")
    elif one.failed:
        said = f"✗ {gettext('Stopped')}"
    else:
        said = f"{'✓' if one.passed else '✗'} {points_words(one.points or 0)}"
    when = moment_words(one.ended_at or one.started_at)
    level = gettext("Level %(level)s") % {"level": one.options["level"]}
    bench = benches().get(one.bench)
    title = bench.CARD.title.in_(words.language()) if bench else one.bench
    href = url_for("benches.run", public_id=one.public_id)
    return RunLine(href, f"{when} · {level} · {said}", one.person, title)
