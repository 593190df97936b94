"""Examine: the exams there are, one question a screen, the look over before the end, the result."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from flask import (
    Blueprint,
    Response,
    abort,
    current_app,
    flash,
    redirect,
    render_template,
    request,
    url_for,
)
from werkzeug.wrappers import Response as AnyResponse

from trainer.acts import exams as acts
from trainer.exams.paper import instance_of
from trainer.exams.reading_back import ReadBack, gives_away, read_back
from trainer.exams.scheme import Scheme
from trainer.exams.scoring import read_result
from trainer.exams.sitting import GivenAnswer, Receipt, is_up
from trainer.language.draws import Instance
from trainer.language.grading import read_answer
from trainer.language.rendering import FigureRequest, Shown, show
from trainer.quantities.dimensions import Language
from trainer.records.queries import exams as queries
from trainer.web import exam_benches, exam_door, exam_words, rescoring, words
from trainer.web.answers import Typed, parse_answer
from trainer.web.benches import wants_json
from trainer.web.callers import place, prove_caller, proves_caller, unproven
from trainer.web.drawings import Picture, picture, svg
from trainer.web.guards import needs, to_the_door
from trainer.web.house import house, me, now, reading
from trainer.web.open_exams import OpenExam, exam_title, has_ended, my_exam, my_set_exam, tools
from trainer.web.words import gettext

MOST_INSTANCES = 5000
page = Blueprint("examine", __name__, url_prefix="/exams")

Page = tuple[str, int]


@dataclass(frozen=True)
class SlotLine:
    """One question on the look over: answered or not, and what was read; begun: a bench that was not ended."""

    number: int
    answered: bool
    back: ReadBack | None
    begun: bool = False


@page.get("/")
@needs("sit")
def exams() -> str:
    """The exams there are, and those I have sat."""
    with reading() as db:
        history = queries.history(db, me().id)
    schemes = dict(house().schemes)
    return render_template(
        "examine/exams.html",
        schemes=schemes.values(),
        history=exam_words.past_exams(history, schemes),
        open_exam=next((one for one in history if one.ended_at is None), None),
    )


@page.get("/about/<scheme_id>")
@needs("sit")
def lobby(scheme_id: str) -> str:
    """What an exam covers, its rules, and whether I may start it now."""
    return exam_door.lobby_page(_scheme(scheme_id))


@page.post("/about/<scheme_id>")
@needs("sit")
def start(scheme_id: str) -> AnyResponse | Page:
    """Start an exam."""
    return exam_door.start_exam(_scheme(scheme_id))


@page.post("/about/<scheme_id>/ask")
@needs("sit")
def ask(scheme_id: str) -> AnyResponse | Page:
    """Ask an invigilator to let me start."""
    return exam_door.ask_to_start(_scheme(scheme_id))


@page.get("/<public_id>")
@needs("sit")
def resume(public_id: str) -> AnyResponse:
    """Go on where the exam stands: the first question without an answer, else the look over."""
    exam = my_exam(public_id)
    if has_ended(exam.sitting):
        return redirect(url_for("examine.result", public_id=public_id))
    left = [number for number in exam.numbers if not exam.answered(number)]
    if not left:
        return redirect(url_for("examine.review", public_id=public_id))
    return redirect(url_for("examine.question", public_id=public_id, number=left[0]))


@page.post("/<public_id>/here")
@needs("sit")
def here(public_id: str) -> AnyResponse | Page | tuple[str, int, dict[str, str]]:
    """Go on with my exam in this browser."""
    return exam_door.go_on_here(public_id)


@page.get("/<public_id>/<int:number>")
@needs("sit")
def question(public_id: str, number: int) -> str | AnyResponse:
    """One question, with the answer that stands."""
    exam = my_exam(public_id)
    if has_ended(exam.sitting):
        return redirect(url_for("examine.result", public_id=public_id))
    stopped = exam_door.held_up(exam)
    if stopped is not None:
        return stopped
    if exam.is_bench(number):
        return exam_benches.bench_page(exam, number)
    instance = _instance(exam, number)
    if instance is None:
        return exam_benches.changed_page(exam, number)
    given = exam.answers.get(number)
    return _question(exam, number, instance, given.text if given else "", ())


@page.post("/<public_id>/<int:number>")
@proves_caller
@needs("sit")
def save(public_id: str, number: int) -> AnyResponse | Page:
    """Save one answer; the same request again is acknowledged again. The act asks about the session itself."""
    exam = my_set_exam(public_id)
    instance = None if exam.is_bench(number) else _instance(exam, number)
    typed = parse_answer(_shown(exam, number, instance), request.form) if instance else None
    if instance is None or typed is None or not typed.text:
        return _nothing_to_keep(exam, number, instance, typed)
    return _keep(exam, number, instance, typed)


def _nothing_to_keep(
    exam: OpenExam, number: int, instance: Instance | None, typed: Typed | None
) -> AnyResponse | Page:
    """A bench, a question that was changed, or an empty form; an answer that stood may be taken back by one."""
    public_id = exam.sitting.public_id
    if not prove_caller():
        return to_the_door()
    if exam.is_bench(number):
        (why,) = exam_words.say_all(["exam.bench_slot"])
        return exam_benches.bench_page(my_exam(public_id), number, why), 422
    if instance is None or typed is None:
        return exam_benches.changed_page(exam, number), 409
    if not exam.answered(number):
        return _not_saved(
            number, public_id, instance, typed, gettext("There is no answer yet. Give one, then save.")
        )
    return _keep(exam, number, instance, typed)


def _keep(exam: OpenExam, number: int, instance: Instance, typed: Typed) -> AnyResponse | Page:
    public_id = exam.sitting.public_id
    receipt = acts.answer(
        house().database,
        member=me(),
        public_id=public_id,
        slot=number,
        revision=request.form.get("revision", 0, type=int),
        text=typed.text,
        language=_language(),
        now=now(),
        place=place(),
        known=exam.sitting,
        session=unproven(),
    )
    if not receipt.accepted:
        if not prove_caller():
            return to_the_door()
        return _not_saved(number, public_id, instance, typed, receipt)
    return _saved(exam, number, instance, typed)


@page.post("/<public_id>/<int:number>/acts")
@needs("sit")
def act(public_id: str, number: int) -> AnyResponse | Page:
    """Do one act on a bench; the same request again is acknowledged again."""
    return exam_benches.do_act(public_id, number)


@page.get("/<public_id>/<int:number>/drawing")
@needs("sit")
def drawing(public_id: str, number: int) -> Response:
    """The drawing of a question's own numbers."""
    exam = my_exam(public_id)
    instance = _instance(exam, number) or abort(404)
    figure = _figure(instance, show(instance, _language())) or abort(404)
    return svg(figure, _language(), instance.system)


@page.get("/<public_id>/review")
@needs("sit")
def review(public_id: str) -> str | AnyResponse:
    """Look the answers over before the end: what is missing stands first."""
    exam = my_exam(public_id)
    if has_ended(exam.sitting):
        return redirect(url_for("examine.result", public_id=public_id))
    stopped = exam_door.held_up(exam)
    if stopped is not None:
        return stopped
    lines = [_line(exam, number) for number in exam.numbers]
    return render_template(
        "examine/review.html",
        exam=exam,
        title=exam.title,
        lines=lines,
        missing=[line for line in lines if not line.answered],
        doubtful=[line for line in lines if line.back and not line.back.readable],
        left=exam_words.time_left(exam.sitting, now()),
    )


@page.post("/<public_id>/review")
@needs("sit")
def submit(public_id: str) -> AnyResponse | Page:
    """Hand the exam in; a second press finds it closed."""
    done = acts.submit(
        house().database, member=me(), public_id=public_id, tools=tools(house()), now=now(), place=place()
    )
    if done.closed:
        return redirect(url_for("examine.result", public_id=public_id), 303)
    stopped = exam_door.held_up(my_exam(public_id))
    return (stopped, 422) if stopped is not None else abort(404)


@page.get("/<public_id>/result")
@needs("sit")
def result(public_id: str) -> str | AnyResponse:
    """The result by area: what was reached and what to do next, never a key."""
    exam = my_exam(public_id)
    sitting = exam.sitting
    if sitting.result is None:
        if not is_up(sitting, now()):
            return redirect(url_for("examine.resume", public_id=public_id))
        return render_template("examine/closing.html", title=exam_title(sitting))
    scored = read_result(json.loads(sitting.result))
    scheme = house().schemes.get(sitting.scheme)
    return render_template(
        "examine/result.html",
        sitting=sitting,
        title=exam_title(sitting),
        result=scored,
        cut_by_panel=exam.paper.cut_from is not None,
        again=rescoring.of_exam(sitting),
        outcome=exam_words.outcome(sitting.passed),
        areas=exam_words.area_lines(scored, scheme),
        benches=exam_benches.bench_lines(exam),
        on_trial=len(exam.paper.form.slots) - len(exam.paper.form.scored),
        reasons=exam_words.say_all(() if sitting.passed else scored.reasons),
        critical=exam_words.skill_titles(scored.critical_missed, house().bank),
        scheme=scheme,
        ended=exam_words.at_moment(sitting.ended_at, sitting.time_zone) if sitting.ended_at else "",
        valid=exam_words.on_day(sitting.valid_until, sitting.time_zone) if sitting.valid_until else "",
    )


def _scheme(scheme_id: str) -> Scheme:
    return house().schemes.get(scheme_id) or abort(404)


def _instance(exam: OpenExam, number: int) -> Instance | None:
    """What was asked under this number; None when the question was changed since. Drawn once, then kept in memory."""
    slot = exam.paper.slot(number) or abort(404)
    question = house().bank.find(slot.question, slot.fingerprint)
    if question is None:
        return None
    known: dict[tuple[str, int, str], Instance] = current_app.extensions.setdefault(
        "stringline.instances", {}
    )
    key = (exam.sitting.public_id, number, question.fingerprint)
    if key not in known:
        drawn = instance_of(exam.paper, slot, house().bank.find, house().key_for("instances"))
        if drawn is None:
            return None
        if len(known) >= MOST_INSTANCES:
            known.clear()
        known[key] = drawn
    return known[key]


def _shown(exam: OpenExam, number: int, instance: Instance) -> Shown:
    """What is shown of an instance, kept in memory: every answer to it is read against that."""
    known: dict[tuple[str, int, str, str], Shown] = current_app.extensions.setdefault("stringline.shown", {})
    key = (exam.sitting.public_id, number, instance.question.fingerprint, _language())
    if key not in known:
        if len(known) >= MOST_INSTANCES:
            known.clear()
        known[key] = show(instance, _language())
    return known[key]


def _figure(instance: Instance, shown: Shown) -> FigureRequest | None:
    return None if shown.figure is None or gives_away(instance, shown.figure) else shown.figure


def _picture(exam: OpenExam, number: int, instance: Instance, shown: Shown) -> Picture | None:
    figure = _figure(instance, shown)
    if figure is None:
        return None

    def address(theme: str) -> str:
        return url_for("examine.drawing", public_id=exam.sitting.public_id, number=number, theme=theme)

    return picture(figure, address, _language(), instance.system)


def _line(exam: OpenExam, number: int) -> SlotLine:
    given = exam.answers.get(number)
    if given is None or not given.text:
        return SlotLine(number, False, None)
    if exam.is_bench(number):
        return _bench_line(exam, number)
    instance = _instance(exam, number)
    if instance is None:
        return SlotLine(number, True, ReadBack(False, gettext("This question was changed.")))
    return SlotLine(number, True, read_back(instance, given))


def _bench_line(exam: OpenExam, number: int) -> SlotLine:
    stands = exam.on_bench(number)
    if stands is None:
        return SlotLine(number, True, ReadBack(False, gettext("This bench was changed.")))
    return SlotLine(number, stands.finished, None, begun=not stands.finished)


def _question(exam: OpenExam, number: int, instance: Instance, text: str, refused: Sequence[str]) -> str:
    shown = show(instance, _language())
    return render_template(
        "examine/question.html",
        exam=exam,
        title=exam.title,
        number=number,
        shown=shown,
        typed=read_answer(instance.question, text) if text else None,
        back=_line(exam, number).back,
        answered=exam.answered(number),
        revision=exam.next_revision(number),
        picture=_picture(exam, number, instance, shown),
        left=exam_words.time_left(exam.sitting, now()),
        following=exam.following(number),
        refused=refused,
    )


def _saved(exam: OpenExam, number: int, instance: Instance, typed: Typed) -> AnyResponse:
    """On to the next question; back to this one when what was typed cannot be counted as it stands."""
    public_id = exam.sitting.public_id
    given = GivenAnswer(number, 1, typed.text, _language())
    readable = not typed.text or read_back(instance, given).readable
    if readable and number == exam.numbers[-1]:
        onward = url_for("examine.review", public_id=public_id)
    else:
        onward = url_for("examine.question", public_id=public_id, number=number + 1 if readable else number)
    said = gettext("Question %(number)s is saved.") % {"number": number}
    if wants_json():
        # The script carries the word to the next page: a cookie written at each answer would slow every one.
        answer = {"saved": True, "next": onward, "said": said}
        return Response(json.dumps(answer, ensure_ascii=False), mimetype="application/json")
    flash(said)
    return redirect(onward, 303)


def _not_saved(
    number: int, public_id: str, instance: Instance, typed: Typed, why: Receipt | str
) -> AnyResponse | Page:
    """The question again as it stands now, with what was typed and the revision that would be next."""
    exam = my_exam(public_id)
    keys = why.reasons if isinstance(why, Receipt) else ()
    reasons = [why] if isinstance(why, str) else exam_words.say_all(keys)
    if wants_json():
        # `again`: the same request may be taken later; `moved`: the page itself has to be loaded anew.
        said = {
            "saved": False,
            "reasons": reasons,
            "revision": exam.next_revision(number),
            "again": keys == ("exam.paused",),
            "moved": "exam.elsewhere" in keys,
        }
        return Response(json.dumps(said, ensure_ascii=False), 422, mimetype="application/json")
    stopped = exam_door.held_up(exam)
    return (stopped or _question(exam, number, instance, typed.text, reasons)), 422


def _language() -> Language:
    return "es" if words.language() == "es" else "en"
