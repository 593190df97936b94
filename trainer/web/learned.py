"""What a site's people learned: words first, then tables, and forecasts beside what came true."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import cast

from flask import Blueprint, Response, abort, current_app, render_template, url_for

from trainer.figures import describe_scene, draw_scene
from trainer.figures.calibration import CalibrationCurve
from trainer.language.loading import Bank
from trainer.learning.learned import Learned, learned
from trainer.learning.learned_telling import scenes, tell
from trainer.learning.teller import Teller
from trainer.quantities.dimensions import Language, System
from trainer.records.queries.learned import history
from trainer.records.queries.questions import bank_at
from trainer.sites.survey.report import Section
from trainer.web import words
from trainer.web.dates import moment_words
from trainer.web.drawings import Picture, as_picture, asked_theme
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.places import open_to_me

page = Blueprint("learned", __name__)

# Years of many people take a second to read: a page shows what was found in the last minutes, and says when that was.
KEPT_FOR = timedelta(minutes=10)
_NAME = "stringline.learned"


@dataclass(frozen=True)
class Found:
    """What was found of a site, and when."""

    at: datetime
    bank: Bank
    learned: Learned


@page.get("/questions/learning")
@needs("review")
def everything() -> str:
    """Gain, forgetting beside the forecast, time to mastery, and which lesson precedes which slip."""
    found = _found()
    language = words.language()
    exams = {one.id: one.title.say(language) for one in house().schemes.values()}
    sections = tell(found.learned, Teller(language, found.bank, house().lessons, exams))
    drawings = scenes(found.learned)
    return render_template(
        "learned/everything.html", sections=[(one, _pictures(one, drawings, found.at)) for one in sections],
        people=found.learned.people, found_at=moment_words(found.at), statistics=open_to_me("statistics.page"),
    )  # fmt: skip


@page.get("/questions/learning/<name>.svg")
@needs("review")
def drawing(name: str) -> Response:
    """A drawing of the page."""
    scene = scenes(_found().learned).get(name) or abort(404)
    return as_picture(_drawn(scene, asked_theme(), words.language(), me().system))


def _found() -> Found:
    """What is kept of the last minutes, or else what is found now. Eight statements, or five without own questions."""
    kept = cast(dict[int, Found], current_app.extensions.setdefault(_NAME, {}))
    one = kept.get(me().site_id)
    if one is None or not timedelta(0) <= now() - one.at < KEPT_FOR:
        with reading() as db:
            bank = bank_at(db, house().bank, me().site_id, pilots=True)
            past = history(db, me().site_id)
        one = kept[me().site_id] = Found(now(), bank, learned(past, bank, house().lessons, now()))
    return one


def _pictures(section: Section, drawings: dict[str, CalibrationCurve], at: datetime) -> list[Picture]:
    return [_picture(name, drawings[name], at) for name in section.drawings]


def _picture(name: str, scene: CalibrationCurve, at: datetime) -> Picture:
    said = describe_scene(scene, words.language(), me().system)
    light, dark = (
        url_for("learned.drawing", name=name, theme=theme, at=int(at.timestamp()))
        for theme in ("light", "dark")
    )
    return Picture(light, dark, said.title, said.text, "")


@lru_cache(maxsize=32)
def _drawn(scene: CalibrationCurve, theme: str, language: Language, system: System) -> str:
    return draw_scene(scene, theme=theme, language=language, system=system)
