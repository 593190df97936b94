"""Placing: what to change about a pair of eyes; the search runs beside the pages and may be stopped."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, current_app, flash, redirect, render_template, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.figures import describe_scene, draw_scene
from trainer.figures.placing_front import FrontPlane
from trainer.quantities.dimensions import Language, System
from trainer.sites.placing.search import search
from trainer.sites.placing.telling import before_moving, front_scene, tell_best, tell_found, tell_room
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.sites.survey.reader import Reader
from trainer.web import words
from trainer.web.drawings import Picture, as_picture, asked_theme
from trainer.web.guards import needs
from trainer.web.house import house, me, my_sheet, now, reading
from trainer.web.places import open_to_me
from trainer.web.searches import Running, Searches
from trainer.web.words import gettext

page = Blueprint("placing", __name__)
_NAME = "stringline.searches"
page.record_once(lambda setup: setup.app.extensions.setdefault(_NAME, Searches()))


@dataclass(frozen=True)
class Pair:
    """A pair of my site, and the sheet that it stands in."""

    eye: EyePair
    sheet: SiteSheet
    version: int


@page.get("/survey/<eye>/change")
@needs("train")
def change(eye: str) -> str:
    """What to change about this pair: nothing yet, how far the search is, or what it found."""
    pair = _pair(eye)
    running, to = _running(pair), _reader()
    shown = running.shown if running else None
    found = shown.found if shown else None
    return render_template(
        "placing/change.html",
        eye=pair.eye,
        name=pair.eye.name[words.language()],
        sheet=url_for("author.sheet") if open_to_me("author.sheet") else None,
        measure=url_for("measure.overview") if open_to_me("measure.overview") else None,
        room=tell_room(pair.eye, pair.eye.may_stand, to) if pair.eye.may_stand else None,
        shown=shown,
        best=tell_best(shown.best, to) if shown and shown.best else "",
        told=tell_found(pair.sheet, pair.eye, found, to) if found else None,
        moves=bool(found and found.recommended and not found.recommended.stays),
        caution=before_moving(to),
        picture=_picture(running, front_scene(pair.eye, found), pair) if running and found else None,
    )


@page.post("/survey/<eye>/change")
@needs("train")
def look(eye: str) -> AnyResponse:
    """Begin to look for a better place; an earlier search of mine for this pair ends."""
    pair = _pair(eye)
    if pair.eye.may_stand is None:
        abort(404)
    year = now().astimezone(ZoneInfo(me().time_zone)).year
    begun = _searches().begin(
        (me().id, eye),
        (pair.version, year),
        lambda: search(pair.sheet, pair.eye, year),
        now(),
        house().beside,
    )
    if not begun:
        flash(gettext("Other people are searching just now. Try again in a minute."))
    return redirect(url_for("placing.change", eye=eye), 303)


@page.post("/survey/<eye>/change/stop")
@needs("train")
def stop(eye: str) -> AnyResponse:
    """Stop my search for this pair; nothing of it is kept."""
    running = _running(_pair(eye))
    if running:
        running.stop()
    return redirect(url_for("placing.change", eye=eye), 303)


@page.get("/survey/<eye>/change/drawing.svg")
@needs("train")
def drawing(eye: str) -> Response:
    """The drawing of what my search found."""
    pair = _pair(eye)
    running = _running(pair)
    found = running.shown.found if running else None
    if found is None:
        abort(404)
    return as_picture(_drawn(front_scene(pair.eye, found), asked_theme(), words.language(), me().system))


@lru_cache(maxsize=32)
def _drawn(scene: FrontPlane, theme: str, language: Language, system: System) -> str:
    return draw_scene(scene, theme=theme, language=language, system=system)


def _picture(running: Running, scene: FrontPlane, pair: Pair) -> Picture:
    said = describe_scene(scene, words.language(), me().system)
    light, dark = (
        url_for("placing.drawing", eye=pair.eye.id, theme=theme, search=running.number)
        for theme in ("light", "dark")
    )
    return Picture(light, dark, said.title, said.text, "")


def _searches() -> Searches:
    found: Searches = current_app.extensions[_NAME]
    return found


def _running(pair: Pair) -> Running | None:
    """My search for this pair; none that reads an older sheet."""
    found = _searches().of((me().id, pair.eye.id), now())
    return found if found is not None and found.sheet == pair.version else None


def _pair(eye: str) -> Pair:
    with reading() as db:
        sheet = my_sheet(db)
    found = next((one for one in sheet.sheet.eyes if one.id == eye), None)
    return Pair(found or abort(404), sheet.sheet, sheet.version)


def _reader() -> Reader:
    return Reader(words.language(), me().system)
