"""Survey: what the eyes of this site see and miss, worked out from its sheet; the drawings; the printed paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, render_template, url_for

from trainer.figures import describe_scene, draw_scene
from trainer.figures.scene import Scene
from trainer.quantities.dimensions import Language, System
from trainer.records.queries import people
from trainer.sites.reading import read_sheet
from trainer.sites.survey.paper import survey_pdf
from trainer.sites.survey.report import Section
from trainer.sites.survey.results import Survey
from trainer.sites.survey.scenes import survey_scenes
from trainer.sites.survey.survey import survey
from trainer.sites.survey.telling import tell
from trainer.web import words
from trainer.web.drawings import Picture, as_picture, asked_theme
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.places import open_to_me

if TYPE_CHECKING:
    from trainer.records.queries.people import SavedSheet

page = Blueprint("survey", __name__)


@dataclass(frozen=True)
class Lesson:
    """A lesson that teaches what a finding is about."""

    href: str
    name: str


@dataclass(frozen=True)
class Shown:
    """A section with its drawings as the page shows them, and how many findings are about it."""

    section: Section
    pictures: list[Picture]
    findings: int


@page.get("/survey")
@needs("train")
def bay() -> str:
    """Findings first, worst first; then each pair of eyes and the wash around them."""
    found = _survey()
    report = tell(found, words.language(), me().system)
    scenes = survey_scenes(found)
    parts = [one.part for one in found.findings]
    return render_template(
        "survey/bay.html",
        report=report,
        sheet=url_for("author.sheet") if open_to_me("author.sheet") else None,
        bay=_picture(report.bay, scenes[report.bay]),
        lessons={one.key: _lessons(one.key) for one in report.findings},
        sections=[
            Shown(one, [_picture(name, scenes[name]) for name in one.drawings], parts.count(one.key))
            for one in report.sections
        ],
    )


@page.get("/survey/drawings/<name>.svg")
@needs("train")
def drawing(name: str) -> Response:
    """One drawing of the survey."""
    saved = _saved()
    if name not in survey_scenes(_survey()):
        abort(404)
    return as_picture(_drawn(saved, _year(), name, asked_theme(), (words.language(), me().system)))


@page.get("/survey.pdf")
@needs("train")
def paper() -> Response:
    """The survey as it stands now, on paper."""
    pdf = survey_pdf(_survey(), words.language(), me().system, now())
    return Response(pdf, mimetype="application/pdf")


def _saved() -> SavedSheet:
    with reading() as db:
        return people.sheet_in_force(db, me().site_id) or abort(404)


def _year() -> int:
    """The year whose sun counts: this one, by the site's clock."""
    return now().astimezone(ZoneInfo(me().time_zone)).year


def _survey() -> Survey:
    saved = _saved()
    return _surveyed(saved, _year())


@lru_cache(maxsize=16)
def _surveyed(saved: SavedSheet, year: int) -> Survey:
    return survey(read_sheet(saved.text, f"sheet {saved.version}"), year)


def forget_surveys() -> None:
    """Survey and draw anew what is asked for next."""
    _surveyed.cache_clear()
    _drawn.cache_clear()


@lru_cache(maxsize=256)
def _drawn(saved: SavedSheet, year: int, name: str, theme: str, reader: tuple[Language, System]) -> str:
    language, system = reader
    scene = survey_scenes(_surveyed(saved, year))[name]
    return draw_scene(scene, theme=theme, language=language, system=system)


def _picture(name: str, scene: Scene) -> Picture:
    said = describe_scene(scene, words.language(), me().system)
    light, dark = (url_for("survey.drawing", name=name, theme=theme) for theme in ("light", "dark"))
    return Picture(light, dark, said.title, said.text, "")


# The skill that each kind of finding is about; its lesson is offered beside the finding.
SKILLS: Mapping[str, str] = {
    "safe_voltage": "lockout.wet_limits",
    "signal_dirty": "sensing.lens_dirt",
    "signal_steam": "sensing.fog_and_film",
    "enclosure": "mounting.ip_code",
    "supply_low": "parts.read_label",
    "shelf_short": "parts.shelf_stock",
    "sun": "mounting.out_of_sun",
    "crosstalk": "sensing.neighbours_apart",
    "missed": "sensing.smallest_object",
    "missed_under": "mounting.beam_heights",
    "missed_over": "mounting.beam_heights",
    "beam_late": "mounting.beam_heights",
    "bed_unseen": "measuring.profile",
    "walkers": "delays.on_delay",
    "splits": "delays.off_delay",
    "joins": "delays.off_delay",
    "nose_late": "delays.on_delay",
    "never_counts": "delays.on_delay",
    "edges_late": "delays.on_delay",
    "blurs": "delays.length_correction",
    "no_delays": "delays.window",
    "no_delay": "delays.window",
    "pulses_lost": "measuring.pulse_rate",
    "comes_on_late": "measuring.place_application",
    "nose_bare": "measuring.place_application",
    "tail_bare": "measuring.place_application",
}


def _lessons(key: str) -> list[Lesson]:
    """The lesson of the skill that a finding is about."""
    found = house().lessons.of_skill(SKILLS[key])
    language = words.language()
    return [Lesson(url_for("learn.lesson", lesson_id=one.id), one.title(language)) for one in found[:1]]
