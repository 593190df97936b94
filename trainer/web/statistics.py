"""How the questions hold up: which misbehave and why, what to do, and how far exams can be trusted."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.acts import statistics as acts
from trainer.acts.exams import ExamTools
from trainer.exams.question_review import Review, Reviewed
from trainer.exams.review_reasons import chosen_words, why
from trainer.exams.review_telling import DECISIONS, VERDICTS, figure_rows, how_right, scheme_lines
from trainer.language.loading import Bank
from trainer.language.questions import ChoiceTask, NumberTask, Question
from trainer.learning.teller import Teller
from trainer.records.database import Session
from trainer.records.queries import measuring, people
from trainer.records.queries import questions as question_queries
from trainer.records.queries import statistics as queries
from trainer.records.queries.statistics import Flag
from trainer.web import words
from trainer.web.dates import moment_words
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.words import gettext
from trainer.web.writing import said_of

page = Blueprint("statistics", __name__)

AT_ONCE = 5000  # answers; a look at these takes a second or two, and one at ten times as many half a minute
LONGEST_ASK = 90  # letters of a question's text that name it in a list


@page.get("/questions/statistics", endpoint="page")
@needs("review")
def everything() -> str:
    """Which questions misbehave, and how far exams can be trusted, as the newest look saw it."""
    with reading() as db:
        seen = queries.newest_review(db, me().site_id)
        open_flags = [one for one in queries.flags(db, me().site_id) if one.decision is None]
        fresh = queries.new_answers(db, me().site_id, seen.at if seen else None)
        bank = _bank(db)
    to = _teller(bank)
    found = _by_verdict(seen, bank, to) if seen else {}
    schemes = [
        (house().schemes[one.scheme].title.say(to.language), scheme_lines(one, to))
        for one in (seen.schemes if seen else ())
        if one.scheme in house().schemes
    ]
    return render_template(
        "statistics/everything.html", seen=seen, at=moment_words(seen.at) if seen else "", fresh=fresh,
        flags=[(one, _ask(bank.find(one.question), to), _told(one, bank, to)) for one in open_flags],
        by_verdict=found, verdicts=VERDICTS, schemes=schemes, to=to,
    )  # fmt: skip


@page.post("/questions/statistics")
@needs("review")
def look_now() -> Response:
    """Look at every question now; where there are many answers, beside the pages."""
    here = house()
    tools = ExamTools(here.bank, here.schemes, here.key_for("instances"), here.site_values, here.sheet)
    site_id, at = me().site_id, now()

    def look() -> None:
        acts.look_over_questions(here.database, site_id=site_id, tools=tools, now=at)

    with reading() as db:
        many = queries.new_answers(db, site_id, None) > AT_ONCE
    if many:
        here.beside(look)
        flash(gettext("The questions are being looked at. Open this page again in a minute."))
    else:
        look()
        flash(gettext("Looked at every question."))
    return redirect(url_for("statistics.page"), 303)


@page.route("/questions/statistics/<name>", methods=["GET", "POST"])
@needs("review")
def question(name: str) -> Response | str | tuple[str, int]:
    """Every figure of one question, what was flagged about it, and the decision."""
    refused: tuple[str, ...] = ()
    if request.method == "POST":
        refused = acts.decide(
            house().database, member=me(), flag_id=request.form.get("flag", 0, type=int),
            decision=request.form.get("decision", ""), note=request.form.get("note", ""), now=now(),
        )  # fmt: skip
        if not refused:
            flash(gettext("Decided."))
            return redirect(url_for("statistics.question", name=name), 303)
    with reading() as db:
        seen = queries.newest_review(db, me().site_id)
        flags = [one for one in queries.flags(db, me().site_id) if one.question == name]
        bank = _bank(db)
        asked = bank.find(name) or abort(404)
        proven = _proven(db, asked)
    to = _teller(bank)
    reviewed = next((one for one in (seen.questions if seen else ()) if one.question == name), None)
    html = render_template(
        "statistics/question.html", name=name, ask=_ask(asked, to, whole=True), asked=asked, one=reviewed, to=to,
        rows=figure_rows(reviewed, to) if reviewed else [], chosen=_chosen(reviewed, asked, to),
        flags=[(one, _told(one, bank, to), moment_words(one.raised_at)) for one in flags],
        why=[why(reason, to, _options(asked, to)) for reason in reviewed.judgement.judged.reasons] if reviewed else [],
        verdicts=VERDICTS, decisions=DECISIONS, refused=said_of(refused), note=request.form.get("note", ""),
        at=moment_words(seen.at) if seen else "", proven=proven, skill=bank.skills[asked.skill].title[to.language],
    )  # fmt: skip
    return (html, 422) if refused else html


def _proven(db: Session, asked: Question) -> str:
    """What the audit with the numbers in force says of a question. Five statements at most.

    The audit keeps what it found, so a text that is newer than it was never looked at.
    """
    sheet = people.sheet_in_force(db, me().site_id)
    checked = measuring.sheet_check(db, me().site_id, sheet.version) if sheet else None
    own = question_queries.own_question(db, me().site_id, asked.id)
    text = own.text(asked.version) if own else None
    if checked is None or (text is not None and text.at > checked.checked_at):
        return gettext("Not checked with the numbers of this site yet.")
    parts = {
        "version": checked.sheet_version,
        "when": moment_words(checked.checked_at),
        "generator": checked.generator,
    }
    if checked.fingerprints.get(asked.id) == asked.fingerprint:
        said = gettext(
            "Does not hold with sheet version %(version)s: checked %(when)s by generator %(generator)s."
        )
    else:
        said = gettext(
            "Nothing was found against it with sheet version %(version)s: all were checked %(when)s by generator "
            "%(generator)s."
        )
    return said % parts


def _bank(db: Session) -> Bank:
    return question_queries.asked_at(db, house().bank, me().site_id)


def _teller(bank: Bank) -> Teller:
    return Teller(words.language(), bank, house().lessons, {})


def _by_verdict(
    seen: Review, bank: Bank, to: Teller
) -> Mapping[str, list[tuple[Reviewed, str, str, list[str]]]]:
    """Each question with how it is asked, how many have it right, and why it is flagged; the worst first."""
    found: dict[str, list[tuple[Reviewed, str, str, list[str]]]] = {verdict: [] for verdict in VERDICTS}
    for one in seen.questions:
        asked = bank.find(one.question)
        reasons = one.judgement.judged.reasons
        known = _options(asked, to) if asked and reasons else {}
        told = [why(reason, to, known)[0] for reason in reasons]
        found[one.judgement.judged.verdict].append((one, _ask(asked, to), how_right(one, to), told))
    return found


def _told(flag: Flag, bank: Bank, to: Teller) -> list[tuple[str, str]]:
    asked = bank.find(flag.question)
    known = _options(asked, to) if asked else {}
    return [why(reason, to, known) for reason in flag.reasons]


def _ask(asked: Question | None, to: Teller, *, whole: bool = False) -> str:
    """How a question is asked, drawn numbers as dots; the beginning of it in a list."""
    text = to.plain(asked.ask) if asked else ""
    return text if whole or len(text) <= LONGEST_ASK else text[:LONGEST_ASK].rsplit(" ", 1)[0] + " …"


def _options(asked: Question, to: Teller) -> dict[str, str]:
    """What can be chosen, in words: options, and slips by why they are wrong."""
    task = asked.task
    if isinstance(task, ChoiceTask):
        return {one.id: to.plain(one.text) for one in task.options}
    if isinstance(task, NumberTask):
        return {one.id: to.plain(one.because) for one in task.slips}
    return {}


def _chosen(reviewed: Reviewed | None, asked: Question, to: Teller) -> list[tuple[str, int, str, str]]:
    if reviewed is None:
        return []
    known = _options(asked, to)
    return [
        (chosen_words(one.name, to, known), one.people, to.hundred(one.lower), to.hundred(one.upper))
        for one in reviewed.judgement.figures.chosen
    ]
