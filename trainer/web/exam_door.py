"""The way into an exam: what it asks, who has to confirm me, and going on with it in another place."""

from __future__ import annotations

from collections.abc import Sequence

from flask import flash, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse
from wtforms import Form, PasswordField
from wtforms.validators import DataRequired

from trainer.access.refusal import Refused
from trainer.acts import exams as acts
from trainer.acts import invigilating
from trainer.exams.invigilation import ADMITTED, RequestState, state_of
from trainer.exams.scheme import Scheme
from trainer.exams.sitting import Sitting, is_paused
from trainer.records.database import Session
from trainer.records.queries import exams as queries
from trainer.records.queries import sitting as sittings
from trainer.records.queries import trials
from trainer.web import exam_benches, exam_words, words
from trainer.web.callers import address, place, settled_place
from trainer.web.cuts import scheme_now
from trainer.web.house import house, me, now, reading
from trainer.web.open_exams import OpenExam, has_ended, my_exam, tools
from trainer.web.refusals import refusal_page
from trainer.web.words import Later, gettext

Page = tuple[str, int]


class AgainForm(Form):
    """What proves that it is I who go on here."""

    secret = PasswordField(Later("What you sign in with"), [DataRequired(Later("Fill this in."))])


def lobby_page(scheme: Scheme, refused: tuple[str, ...] = (), said: tuple[str, ...] = ()) -> str:
    """What an exam covers, its rules, and whether I may start it now."""
    with reading() as db:
        history = queries.history(db, me().id)
        may = acts.may_start_now(db, scheme, history, me().id, now())
        asked = _asked(db, scheme)
        on_trial = _on_trial(db, scheme, history)
        scheme, standing = scheme_now(db, scheme)
    told = {*may.reasons, *(("exam.not_admitted",) if scheme.invigilated else ())}
    return render_template(
        "examine/lobby.html",
        scheme=scheme,
        cut_words=standing.words,
        may=may,
        asked=asked,
        on_trial=on_trial,
        minutes_on_trial=scheme.minutes_with(on_trial) - scheme.minutes,
        minutes_to_start=int(ADMITTED.total_seconds() // 60),
        reasons=exam_words.say_may_start(may, house().bank, me().time_zone),
        refused=[*exam_words.say_all(key for key in refused if key not in told), *said],
        benches=[exam_benches.bench_title(one.bench) for area in scheme.areas for one in area.benches],
        open_exam=next((one for one in history if one.ended_at is None), None),
    )


def _on_trial(db: Session, scheme: Scheme, history: Sequence[Sitting]) -> int:
    """How many questions on trial I may be asked at the most: said before, so that nobody meets one without a word."""
    waiting = trials.on_trial(db, me().site_id, me().public_id) if scheme.trial_places else []
    had = {slot.question for one in history for slot in acts.paper_of(one).form.slots} if waiting else set()
    asked = [one.question for one in waiting if one.question.id not in had]
    return min(scheme.trial_places, sum(one.skill in scheme.skills for one in asked))


def _asked(db: Session, scheme: Scheme) -> RequestState | None:
    """How my newest request from this browser stands; None where the scheme asks for no invigilator."""
    if not scheme.invigilated:
        return None
    newest = sittings.newest_request(db, me().id, scheme.id, "start")
    return None if newest is None or newest.place != place() else state_of(newest, now())


def start_exam(scheme: Scheme) -> AnyResponse | Page:
    """Start an exam in this browser."""
    started = acts.start(
        house().database,
        member=me(),
        scheme_id=scheme.id,
        tools=tools(house()),
        now=now(),
        place=settled_place(),
        trial="on_trial" in request.form,
    )
    if started.public_id is None:
        said = (started.said.in_(words.language()),) if started.said else ()
        return lobby_page(scheme, started.refused, said), 422
    return redirect(url_for("examine.question", public_id=started.public_id, number=1), 303)


def ask_to_start(scheme: Scheme) -> AnyResponse | Page:
    """Ask an invigilator to let me start here; only what they alone can clear may stand in the way."""
    with reading() as db:
        may = acts.may_start_now(db, scheme, queries.history(db, me().id), me().id, now())
    if not may.allowed:
        return lobby_page(scheme, may.reasons), 422
    invigilating.ask(
        house().database, member=me(), scheme_id=scheme.id, kind="start", place=settled_place(), now=now()
    )
    return redirect(url_for("examine.lobby", scheme_id=scheme.id), 303)


def held_up(exam: OpenExam) -> str | None:
    """The page that stands in place of an open exam which goes on elsewhere, or whose clock stands."""
    sitting = exam.sitting
    if has_ended(sitting):
        return None
    if sitting.place not in (None, place()):
        return _elsewhere(exam, AgainForm())
    if is_paused(sitting, now()):
        return render_template("examine/paused.html", title=exam.title)
    return None


def _elsewhere(exam: OpenExam, form: AgainForm) -> str:
    return render_template("examine/elsewhere.html", refused=(), **_shown(exam, form))


def _shown(exam: OpenExam, form: AgainForm) -> dict[str, object]:
    with reading() as db:
        asked = sittings.newest_request(db, me().id, exam.sitting.scheme, "move")
    waits = asked is not None and asked.place == place() and asked.exam == exam.sitting.public_id
    return {
        "exam": exam, "title": exam.title, "form": form, "watched": is_watched(exam.sitting),
        "by_pin": bool(g.get("by_pin")), "asked": state_of(asked, now()) if asked and waits else None,
        "saved": sum(exam.answered(number) for number in exam.numbers),
        "left": exam_words.time_left(exam.sitting, now()),
    }  # fmt: skip


def is_watched(sitting: Sitting) -> bool:
    """Whether an exam's scheme asks for an invigilator now."""
    scheme = house().schemes.get(sitting.scheme)
    return scheme is not None and scheme.invigilated


def go_on_here(public_id: str) -> AnyResponse | Page | tuple[str, int, dict[str, str]]:
    """Go on with my exam in this browser: an invigilator is asked, or I prove myself again."""
    exam = my_exam(public_id)
    onward = redirect(url_for("examine.resume", public_id=public_id), 303)
    if has_ended(exam.sitting):
        return onward
    if is_watched(exam.sitting):
        invigilating.ask(
            house().database, member=me(), scheme_id=exam.sitting.scheme, kind="move", place=settled_place(),
            exam=public_id, now=now(),
        )  # fmt: skip
        return onward
    form = AgainForm(request.form)
    if not form.validate():
        return _elsewhere(exam, form), 422
    proof = invigilating.Proof(str(form.secret.data), address(), bool(g.get("by_pin")))
    done = invigilating.take_over(
        house().database,
        member=me(),
        exam=public_id,
        place=settled_place(),
        watched=False,
        proof=proof,
        now=now(),
    )
    if isinstance(done, Refused):
        return refusal_page("examine/elsewhere.html", done, **_shown(exam, form))
    flash(gettext("Your exam goes on here now. The other place can only look on."))
    return onward
