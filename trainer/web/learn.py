"""Learn: today's one thing, lessons with this site's numbers, the words of the trade."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import Blueprint, Response, abort, redirect, render_template, url_for
from flask_wtf import FlaskForm
from werkzeug.wrappers import Response as AnyResponse
from wtforms import TextAreaField
from wtforms.validators import Length, Optional

from trainer.acts import learning as acts
from trainer.acts.exams import may_start_now
from trainer.benches.catalogue import benches as all_benches
from trainer.benches.frame import LEVELS, NoTask
from trainer.certificates.facts import CertificateHeld, runs_out_within
from trainer.exams.sitting import is_open
from trainer.figures.live import Live
from trainer.language.draws import Stream
from trainer.language.lesson_files import BenchUse
from trainer.language.lessons import Block, Lesson, show_lesson
from trainer.language.rendering import FigureRequest
from trainer.language.skills import Term
from trainer.learning.choosing import NextThing, Stage, next_thing
from trainer.quantities.dimensions import Language
from trainer.records.queries import benches as bench_queries
from trainer.records.queries import certifying, exams
from trainer.records.queries import learning as queries
from trainer.sites.survey.reader import Reader
from trainer.web import appeals, practise, rescoring, words
from trainer.web.benches import bench_line, given_line
from trainer.web.cabinet_words import LAPSE_DAYS
from trainer.web.dates import day_words
from trainer.web.drawings import Picture, picture, svg
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.progress import Progress, next_words, plans
from trainer.web.words import Later, gettext

if TYPE_CHECKING:
    from trainer.records.database import Session
    from trainer.sites.sheet import SiteSheet

page = Blueprint("learn", __name__)


class OwnBayForm(FlaskForm):  # type: ignore[misc]
    """What a person found on their own bay."""

    own_bay = TextAreaField(Later("On your own bay"), [Optional(), Length(max=500)])


@dataclass(frozen=True)
class Card:
    """The one next thing: its words, its button and where the button leads."""

    title: str
    why: str
    minutes: int
    label: str = ""
    href: str = ""
    posts: bool = False
    lesson: str | None = None


@page.get("/today")
@needs("learn")
def today() -> str:
    """The one next thing, the string of topics, the certificates held."""
    bank, lessons, language = house().bank, house().lessons, words.language()
    with reading() as db:
        standings = queries.standings(db, me().id)
        read = queries.lessons_read(db, me().id)
        stage = my_stage(db)
        held = certifying.certificates_of(db, me().id)
        given = bench_queries.given_to(db, me().id)
        running, may_appeal = appeals.notices(db)
        rescored = rescoring.notices(db)
    thing = next_thing(plans(lessons, bank), read, standings, stage, now())
    return render_template(
        "learn/today.html",
        card=_card(thing, language),
        topics=Progress(bank, lessons, read, standings, now()).topics(language),
        held=[_held(one) for one in held],
        lapsing=_lapsing(held),
        given=[one for one in map(given_line, given) if not one.passed],
        appeals=running,
        rescored=rescored,
        may_appeal=may_appeal,
    )


def my_stage(db: Session) -> Stage:
    """What lies beyond practice for the person who is signed in, under the scheme that opens a cabinet."""
    scheme = next(one for one in house().schemes.values() if one.opens_cabinet)
    sat = exams.history(db, me().id)
    mine = [one for one in sat if one.scheme == scheme.id]
    signed = certifying.practicals(db, me().site_id)
    return Stage(
        exam_open=any(is_open(one, now()) for one in sat),
        exam_may_start=may_start_now(db, scheme, sat, me().id, now()).allowed,
        exam_passed=any(one.valid_until is not None and now() < one.valid_until for one in mine),
        practical_passed=any(one.passed and one.person_public_id == me().public_id for one in signed),
        certified=any(one.state(now()) == "active" for one in certifying.certificates_of(db, me().id)),
    )


LABELS = {
    "exam_open": (Later("Go on with the exam"), "examine.exams"),
    "review": (Later("Start the review"), "practise.start"),
    "lesson": (Later("Read the lesson"), "learn.lesson"),
    "drill": (Later("Start the drill"), "practise.start"),
    "exam": (Later("See the exam"), "examine.exams"),
}


def _card(thing: NextThing, language: Language) -> Card:
    title, why = next_words(thing, house().lessons, language)
    if thing.kind == "rest" and thing.due_at is not None:
        why = gettext("Everything is proven. The next review is due on %(day)s.") % {
            "day": day_words(thing.due_at)
        }
    if thing.kind not in LABELS:
        return Card(title, why, thing.minutes)
    label, endpoint = LABELS[thing.kind]
    posts = endpoint == "practise.start"
    href = url_for(endpoint, lesson_id=thing.lesson) if thing.kind == "lesson" else url_for(endpoint)
    return Card(title, why, thing.minutes, str(label), href, posts, thing.lesson if posts else None)


@dataclass(frozen=True)
class HeldLine:
    """A certificate that the person holds."""

    href: str
    words: str


def _held(one: CertificateHeld) -> HeldLine:
    state = {
        "active": gettext("counts until %(day)s"),
        "not_yet": gettext("counts later, until %(day)s"),
        "suspended": gettext("suspended"),
        "reduced": gettext("reduced, counts until %(day)s"),
        "expired": gettext("expired on %(day)s"),
        "withdrawn": gettext("withdrawn"),
    }[one.state(now())]
    words_ = f"{one.cabinet}: {state % {'day': day_words(one.expires_at)}}"
    return HeldLine(url_for("prove.certificate", public_id=one.public_id), words_)


def _lapsing(held: Sequence[CertificateHeld]) -> list[HeldLine]:
    """The cabinets whose newest certificate runs out soon, the first one first; what was renewed is not among them."""
    newest = {one.cabinet_id: one for one in reversed(held)}
    soon = (one for one in newest.values() if runs_out_within(one, now(), LAPSE_DAYS))
    return [
        HeldLine(
            url_for("prove.certificate", public_id=one.public_id),
            gettext("Your certificate for %(cabinet)s ends on %(day)s. Begin now: exam, practical, decision.")
            % {"cabinet": one.cabinet, "day": day_words(one.expires_at)},
        )
        for one in sorted(soon, key=lambda one: one.expires_at)
    ]


def _lesson_or_404(lesson_id: str) -> Lesson:
    return house().lessons.find(lesson_id) or abort(404)


@dataclass(frozen=True)
class Text:
    """A stretch of a lesson's text."""

    html: str


@page.route("/lessons/<lesson_id>", methods=["GET", "POST"])
@needs("learn")
def lesson(lesson_id: str) -> AnyResponse | str | tuple[str, int]:
    """A lesson with this site's numbers; reading it on leads to its drill."""
    one = _lesson_or_404(lesson_id)
    form = OwnBayForm()
    if form.validate_on_submit():
        own_bay = (form.own_bay.data or "").strip()
        acts.read_lesson(house().database, member=me(), lesson=one.id, own_bay=own_bay, now=now())
        if not any(house().bank.of_skill(skill) for skill in one.skills):
            return redirect(url_for("learn.today"), 303)
        return practise.begin(one.id)
    with reading() as db:
        in_force = my_sheet(db)
        noted = queries.lessons_read(db, me().id).get(one.id)
    language = words.language()
    shown = show_lesson(one, in_force.values, language, me().system)
    blocks = [_block(block, i, one.id, in_force.sheet) for i, block in enumerate(shown.blocks)]
    html = render_template(
        "learn/lesson.html",
        shown=shown,
        blocks=blocks,
        topic=next(topic.title[language] for topic in house().bank.topics if topic.id == one.topic),
        own_bay=form.own_bay.data or (noted.own_bay if noted else ""),
        benches=[
            bench_line(bench, {})
            for bench in all_benches().values()
            if set(bench.CARD.skills) & set(one.skills)
        ],
        shows_bench=any(isinstance(block, BenchStill) for block in blocks),
        practisable=any(house().bank.of_skill(skill) for skill in one.skills),
        form=form,
    )
    return (html, 422) if form.is_submitted() else html


@dataclass(frozen=True)
class BenchStill:
    """A bench as it stands at the start of a task."""

    id: str
    caption: str
    drawings: tuple[Live, ...]


def _bench(block: BenchUse, lesson_id: str, sheet: SiteSheet) -> BenchStill | None:
    """The same task for everybody who reads the lesson; None where this site's sheet allows none."""
    bench = all_benches().get(block.name)
    if bench is None:
        return None
    stream = Stream(house().key_for("benches"), f"lesson|{lesson_id}|{block.name}")
    try:
        task = bench.make_task(sheet, {"level": LEVELS[0]}, stream, me().system)
    except NoTask:
        return None
    shown = bench.show(task, (), Reader(words.language(), me().system))
    return BenchStill(block.name, block.caption, shown.drawings)


def _block(block: Block, number: int, lesson_id: str, sheet: SiteSheet) -> Text | Picture | BenchStill | None:
    if isinstance(block, BenchUse):
        return _bench(block, lesson_id, sheet)
    if isinstance(block, FigureRequest):

        def address(theme: str) -> str:
            return url_for("learn.drawing", lesson_id=lesson_id, number=number, theme=theme)

        return picture(block, address, words.language(), me().system)
    return Text(block.html)


@page.get("/lessons/<lesson_id>/drawings/<int:number>.svg")
@needs("learn")
def drawing(lesson_id: str, number: int) -> Response:
    """One drawing of a lesson, with this site's numbers."""
    one = _lesson_or_404(lesson_id)
    with reading() as db:
        values = my_sheet(db).values
    blocks = show_lesson(one, values, words.language(), me().system).blocks
    block = blocks[number] if number < len(blocks) else None
    if not isinstance(block, FigureRequest):
        abort(404)
    return svg(block, words.language(), me().system)


@dataclass(frozen=True)
class TermLine:
    """A word of the trade with its partner in the other language."""

    id: str
    word: str
    other: str
    other_language: Language
    meaning: str


@page.get("/glossary")
@needs("learn")
def glossary() -> str:
    """The words of the trade, in order of the alphabet."""
    language = words.language()
    other: Language = "en" if language == "es" else "es"
    lines = [_term(one, language, other) for one in house().bank.glossary.values()]
    return render_template("learn/glossary.html", terms=sorted(lines, key=lambda line: line.word.casefold()))


def _term(one: Term, language: Language, other: Language) -> TermLine:
    return TermLine(one.id, one.term[language], one.term[other], other, one.meaning[language])
