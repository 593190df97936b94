"""Write questions: begin from a need, type the situation, see beside it what a learner will see, give it to be read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from flask import Blueprint, abort, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.access.refusal import Refused
from trainer.acts import questions as acts
from trainer.acts.pictures import keep_photo
from trainer.acts.sentences import SENTENCES
from trainer.documents import DocumentError
from trainer.figures import FIGURES
from trainer.language.drafting.figures import HIDE, hides_of, inputs_of, titles
from trainer.language.drafting.languages import without_words
from trainer.language.drafting.sketch import KINDS_OF_PAGE, Sketch, new_text, sketch_of, with_sketch
from trainer.language.drafting.spotted import Spotted, spotted
from trainer.language.loading import content_folder
from trainer.language.names import LANGUAGES
from trainer.language.own import own_name
from trainer.language.skills import Skill
from trainer.quantities.dimensions import Language
from trainer.quantities.units import partner
from trainer.quantities.writing import write_quantity
from trainer.records.queries import questions as queries
from trainer.records.queries.questions import Done, OwnOne
from trainer.sites import VALUES
from trainer.web import sketches, words
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.previews import Preview, preview
from trainer.web.words import Later, gettext

if TYPE_CHECKING:
    from trainer.language.questions import Question

page = Blueprint("writing", __name__)

LONGEST = 60_000  # characters of a file
LANGUAGE_NAMES: Mapping[Language, Later] = {"en": Later("English"), "es": Later("Spanish")}
KINDS = (
    ("number", Later("A number, worked out with the site's or with drawn numbers")),
    ("choice", Later("One right choice of several")),
    ("several", Later("Every right one of several")),
)
UNITS = [
    "ft",
    "in",
    "ft in",
    "s",
    "ms",
    "min",
    "ft/min",
    "in/s",
    "gal",
    "V",
    "mA",
    "A",
    "ohm",
    "deg",
    "%",
    "x",
    "1",
]


@page.get("/questions/need")
@needs("author")
def need() -> str:
    """Where to begin: what people shall be able to do."""
    bank = house().bank
    many = {skill: len(bank.of_skill(skill)) for skill in bank.skills}
    return render_template("writing/need.html", topics=bank.topics, many=many)


@dataclass(frozen=True)
class Family:
    """A question that is there already: its id, its text, its level, how people do on it."""

    id: str
    ask: str
    level: int
    done: Done


@page.route("/questions/need/<skill_id>", methods=["GET", "POST"])
@needs("author")
def beginning(skill_id: str) -> AnyResponse | str | tuple[str, int]:
    """What is asked about a skill already; copy one of it, or begin with a situation of one's own."""
    skill = house().bank.skills.get(skill_id) or abort(404)
    refused: tuple[str, ...] = ()
    if request.method == "POST":
        said = request.form.get("name", "").strip() or request.form.get("situation", "")
        name = own_name(skill.id.partition(".")[0], said)
        done = acts.begin(house().database, member=me(), name=name, text=_first_text(skill, name), now=now())
        if not done.refused:
            return redirect(url_for("writing.write", name=name), 303)
        refused = done.refused
    html = render_template(
        "writing/beginning.html", skill=skill, families=_families(skill), refused=said_of(refused), sent=request.form,
        kinds=KINDS,
    )  # fmt: skip
    return (html, 422) if refused else html


def _first_text(skill: Skill, name: str) -> str:
    copied = house().bank.find(request.form.get("copy", ""))
    if copied is not None:
        return _copy_of(copied, name)
    typed = request.form.get("situation", "").replace("\r\n", "\n").strip()[:LONGEST]
    ask = {str(language): typed if language == words.language() else "" for language in LANGUAGES}
    kind = request.form.get("kind", "number")
    return new_text(name, Sketch(skill=skill.id, ask=ask, kind=kind if kind in KINDS_OF_PAGE else "number"))


def _copy_of(question: Question, name: str) -> str:
    """The file of a built-in question under another name: its own words and comments, version 1."""
    text = (content_folder() / question.file).read_text(encoding="utf-8")
    return _with_line(_with_line(text, "id", name), "version", "1")


def _with_line(text: str, key: str, value: str) -> str:
    lines = text.split("\n")
    return "\n".join(f"{key}: {value}" if line.startswith(f"{key}:") else line for line in lines)


def _families(skill: Skill) -> list[Family]:
    asked = house().bank.of_skill(skill.id)
    with reading() as db:
        done = queries.done_on(db, me().site_id, [one.id for one in asked])
    return [Family(one.id, _plain_ask(one), one.level, done.get(one.id, Done(0, 0))) for one in asked]


def _plain_ask(question: Question) -> str:
    parts = question.ask[words.language()].parts
    return "".join(part if isinstance(part, str) else "…" for part in parts)


@page.route("/questions/write/<name>", methods=["GET", "POST"])
@needs("author")
def write(name: str) -> AnyResponse | str | tuple[str, int]:
    """The fields of a question, what its buttons do to them, and beside them what a learner will see."""
    one = mine(name)
    text, refused = one.newest.text, tuple[str, ...]()
    wrong_photo: tuple[str, ...] = ()
    sketch = _sketch_of(text)
    if sketch is None:
        return redirect(url_for("writing.file", name=name), 303)
    if request.method == "POST":
        sketch = _pressed(one, sketches.sketch_from(request.form, sketch))
        sketch, wrong_photo = _with_photo(sketch)
        text = _versioned(with_sketch(text, sketch), one)
        if (go := request.form.get("go")) in ("save", "read") and not wrong_photo:
            refused = _save(one, text)
            if not refused:
                return redirect(
                    url_for("writing.write" if go == "save" else "reviewing.read", name=name), 303
                )
    html = _write_page(one, sketch, text, refused, wrong_photo)
    return (html, 422) if refused or wrong_photo else html


def _with_photo(sketch: Sketch) -> tuple[Sketch, tuple[str, ...]]:
    """The sketch with the photo that was sent along, if one was, or why it cannot be kept."""
    sent = request.files.get("picture")
    if sent is None or not sent.filename:
        return sketch, ()
    kept = keep_photo(house().database, member=me(), data=sent.read(), now=now())
    if isinstance(kept, Refused):
        return sketch, kept.reasons
    return sketches.with_photo(sketch, kept), ()


def _sketch_of(text: str) -> Sketch | None:
    """The fields of a file; None for one that was saved by hand and is no YAML."""
    try:
        return sketch_of(text)
    except DocumentError:
        return None


def _save(one: OwnOne, text: str) -> tuple[str, ...]:
    done = acts.save(
        house().database, member=me(), name=one.name, text=text, seen=request.form.get("seen", ""), now=now()
    )
    if not done.refused:
        flash(gettext("Saved. Nobody is asked it before it is in use."))
    return done.refused


def _pressed(one: OwnOne, sketch: Sketch) -> Sketch:
    """What the button that was pressed does to the fields: take numbers, drop a row, take a suggestion."""
    sent = request.form
    if "take" in sent:
        sketch = _with_taken(sketch)
    if "drop" in sent:
        sketch = sketches.without(sketch, sent["drop"])
    if "slip" in sent:
        offers = _beside(one, with_sketch(one.newest.text, sketch)).offers
        offer = next((offer.one for offer in offers if offer.one.id == sent["slip"]), None)
        sketch = sketches.with_suggestion(sketch, offer) if offer else sketch
    return sketches.with_site_values(sketch)


def _with_taken(sketch: Sketch) -> Sketch:
    takes = []
    for at, number in enumerate(_spotted(sketch)):
        what = request.form.get(f"spot{at}", "keep")
        if what == "drawn":
            takes.append(sketches.Take(number))
        elif what in (*number.matches, *number.others):
            takes.append(sketches.Take(number, what))
    return sketches.taken(sketch, words.language(), takes)


def _spotted(sketch: Sketch) -> tuple[Spotted, ...]:
    language = words.language()
    with reading() as db:
        return spotted(sketch.ask[language], my_sheet(db).values, language)


def _beside(one: OwnOne, text: str) -> Preview:
    with reading() as db:
        values, photos = my_sheet(db).values, queries.photos_at(db, me().site_id)
    return preview(_versioned(text, one), one.name, next_version(one), values, photos)


@page.post("/questions/write/<name>/look")
@needs("author")
def look(name: str) -> str:
    """What stands beside the fields as they are now; nothing is saved."""
    one = mine(name)
    sketch = sketches.sketch_from(request.form, _sketch_of(one.newest.text) or abort(404))
    sketch = sketches.with_site_values(sketch)
    beside = _beside(one, with_sketch(one.newest.text, sketch))
    return render_template("writing/live.html", beside=beside, spots=_spotted(sketch), values=VALUES)


@page.route("/questions/write/<name>/file", methods=["GET", "POST"])
@needs("author")
def file(name: str) -> AnyResponse | str | tuple[str, int]:
    """The file itself, for whoever would rather write it by hand."""
    one, refused = mine(name), tuple[str, ...]()
    text = one.newest.text
    if request.method == "POST":
        sent = request.files.get("upload")
        whole = (
            sent.read().decode("utf-8", "replace") if sent and sent.filename else request.form.get("text", "")
        )
        text = whole.replace("\r\n", "\n")[:LONGEST]
        refused = _save(one, text)
        if not refused:
            return redirect(url_for("writing.file", name=name), 303)
    html = render_template(
        "writing/file.html", one=one, name=name, text=text, beside=_beside(one, text), refused=said_of(refused),
        by_fields=_sketch_of(one.newest.text) is not None, seen=_seen(one),
    )  # fmt: skip
    return (html, 422) if refused else html


def _seen(one: OwnOne) -> str:
    """The fingerprint of the text that the person began from: a page that was sent must not take a later one for it."""
    return request.form.get("seen", one.newest.fingerprint)


def mine(name: str) -> OwnOne:
    """A question of my site, or 404."""
    with reading() as db:
        return queries.own_question(db, me().site_id, name) or abort(404)


def next_version(one: OwnOne) -> int:
    """The number that a save gives: the open draft's, or the next."""
    return one.life.newest + (0 if one.life.open else 1)


def _versioned(text: str, one: OwnOne) -> str:
    """The text with the version that a save gives it."""
    return _with_line(text, "version", str(next_version(one)))


def _write_page(
    one: OwnOne, sketch: Sketch, text: str, refused: tuple[str, ...], wrong_photo: tuple[str, ...]
) -> str:
    language = words.language()
    empty = replace(Sketch(), kind=sketch.kind)
    return render_template(
        "writing/write.html", one=one, name=one.name, sketch=sketch, empty=empty, beside=_beside(one, text),
        spots=_spotted(sketch), refused=said_of(refused), skill=house().bank.skills.get(sketch.skill), units=UNITS,
        kinds=KINDS, site_lines=_site_lines(), values=VALUES,
        languages=sorted(LANGUAGE_NAMES.items(), key=lambda pair: pair[0] != language),
        missing={one: frozenset(without_words(sketch, one)) for one in LANGUAGES}, seen=_seen(one),
        wrong_photo=said_of(wrong_photo), titles=titles(language), fed=_fed(sketch), hides=_hides(sketch),
    )  # fmt: skip


def _fed(sketch: Sketch) -> list[tuple[str, str, bool]]:
    """Every number that the figure takes: its name, its calculation, and whether the figure cannot do without."""
    fed, figure = dict(sketch.fed), FIGURES.get(sketch.figure)
    return (
        [(name, fed.get(name, ""), name in figure.inputs) for name in inputs_of(sketch.figure)]
        if figure
        else []
    )


def _hides(sketch: Sketch) -> list[tuple[str, str, bool]]:
    """What the figure can write as `?`: the field, the number's name, and whether it does."""
    fed = dict(sketch.fed)
    return [(one, one.removeprefix(HIDE), fed.get(one, "0") != "0") for one in hides_of(sketch.figure)]


def _site_lines() -> list[tuple[str, str]]:
    """Every value of my site's sheet: its name, and what it is with its number."""
    language, system = words.language(), me().system
    with reading() as db:
        values = my_sheet(db).values
    return [
        (
            name,
            f"{row.meaning[language]}: {write_quantity(values[name], partner(row.unit, system), language)}",
        )
        for name, row in VALUES.items()
        if name in values
    ]


def said_of(refused: tuple[str, ...]) -> list[str]:
    """Reasons in words."""
    return [SENTENCES[key].say(words.language()) for key in refused]
