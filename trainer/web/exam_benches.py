"""A bench in an exam: its page, one act on it, and what may be said of it once the exam is over."""

from __future__ import annotations

from dataclasses import dataclass

from flask import abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.acts.exam_benches import OnBench, bench_act
from trainer.benches.acts import Unreadable
from trainer.benches.catalogue import benches
from trainer.web import exam_words, words
from trainer.web.bench_page import Region, points_words, region, typed_act
from trainer.web.benches import region_json, wants_json
from trainer.web.callers import place
from trainer.web.house import house, me, now
from trainer.web.open_exams import OpenExam, my_exam, tools
from trainer.web.words import gettext


@dataclass(frozen=True)
class BenchLine:
    """A bench of an exam that is over: what it is called and what was reached on it."""

    number: int
    title: str
    words: str


def bench_page(exam: OpenExam, number: int, refused: str = "") -> str:
    """The page of the bench under a number, with what was done on it so far."""
    stands = exam.on_bench(number)
    if stands is None:
        return changed_page(exam, number)
    return _page(exam, number, stands, _region(exam, number, stands, refused))


def changed_page(exam: OpenExam, number: int) -> str:
    """What stands in the place of a question or bench that was changed while the exam was open."""
    slot = exam.paper.slot(number)
    counts = slot is None or not slot.pilot
    return render_template("examine/changed.html", exam=exam, title=exam.title, counts=counts)


def do_act(public_id: str, number: int) -> AnyResponse | tuple[str, int]:
    """Do one act on the bench under a number; the same again changes nothing."""
    exam = my_exam(public_id)
    if not exam.is_bench(number):
        abort(404)
    stands = exam.on_bench(number)
    if stands is None:
        return changed_page(exam, number), 409
    typed = typed_act(stands.bench, stands.task, request.form, exam.paper.system)
    if isinstance(typed, Unreadable):
        return _answer(exam, number, typed.why.in_(words.language()), 422)
    played = bench_act(
        house().database,
        member=me(),
        public_id=public_id,
        slot=number,
        number=request.form.get("number", 0, type=int),
        act=typed,
        language=words.language(),
        tools=tools(house()),
        now=now(),
        place=place(),
    )
    refused = exam_words.say_all(played.reasons)
    if played.said is not None:
        refused.append(played.said.in_(words.language()))
    return _answer(my_exam(public_id), number, " ".join(refused), 200 if played.accepted else 422)


def _answer(exam: OpenExam, number: int, refused: str, status: int) -> AnyResponse | tuple[str, int]:
    """The bench after an act: its region for script, a page or a redirect for a form."""
    stands = exam.on_bench(number)
    if stands is None:
        return changed_page(exam, number), 409
    shown = _region(exam, number, stands, refused)
    if wants_json():
        return region_json(_page(exam, number, stands, shown, bare=True), _said(shown), status)
    if status == 200:
        return redirect(url_for("examine.question", public_id=exam.sitting.public_id, number=number), 303)
    return _page(exam, number, stands, shown), status


def _said(shown: Region) -> str:
    """What is spoken after an act; of the last one, that it is done and nothing more."""
    if shown.refused or shown.shown is None:
        return shown.refused
    return gettext("This bench is done.") if shown.closed else shown.shown.said


def _region(exam: OpenExam, number: int, stands: OnBench, refused: str) -> Region:
    return region(
        stands.bench,
        stands.task,
        stands.acts,
        system=exam.paper.system,
        key=f"{exam.sitting.public_id}/{number}",
        refused=refused,
        closed=stands.finished,
    )


def _page(exam: OpenExam, number: int, stands: OnBench, shown: Region, *, bare: bool = False) -> str:
    card, public_id = stands.bench.CARD, exam.sitting.public_id
    following = exam.following(number)
    onward = (
        url_for("examine.question", public_id=public_id, number=following)
        if following
        else url_for("examine.review", public_id=public_id)
    )
    return render_template(
        f"benches/{card.id}.html",
        frame="benches/bare.html" if bare else "examine/bench.html",
        title=gettext("Question %(number)s of %(of)s") % {"number": number, "of": len(exam.numbers)},
        purpose=card.purpose.in_(words.language()),
        place="exam",
        bench=card.id,
        action=url_for("examine.act", public_id=public_id, number=number),
        region=shown,
        exam=exam,
        number=number,
        following=following,
        onward=onward,
        left=exam_words.time_left(exam.sitting, now()),
    )


def bench_lines(exam: OpenExam) -> list[BenchLine]:
    """The benches of an exam that is over, each with its points; what would have been right stays unsaid."""
    return [
        BenchLine(slot.number, bench_title(slot.bench), _reached(exam, slot.number))
        for slot in exam.paper.form.slots
        if slot.bench is not None
    ]


def bench_title(bench_id: str) -> str:
    """What a bench is called in the language of this request; one that is gone keeps its id."""
    bench = benches().get(bench_id)
    return bench.CARD.title.in_(words.language()) if bench else bench_id


def _reached(exam: OpenExam, number: int) -> str:
    given = exam.answers.get(number)
    if given is None:
        return gettext("not begun")
    stands = exam.on_bench(number)
    if stands is None:
        return gettext("was changed, so it counts neither way")
    if not stands.finished:
        return gettext("not finished, so it is not right")
    score = stands.bench.score(stands.task, stands.acts)
    if score.failed is not None:
        return f"✗ {gettext('Stopped')}"
    return f"{'✓' if score.passed else '✗'} {points_words(score.points)}"
