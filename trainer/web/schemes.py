"""Schemes: what an exam rests on, its frozen version, its cut, how alike its forms are, what tries do; the matrix."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, flash, redirect, render_template, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.acts import exams as exam_acts
from trainer.acts import schemes as acts
from trainer.exams.blueprint import blueprint
from trainer.exams.comparing import CURVE_LIMIT, PASS_LIMIT, Scale, Target, average_target, form_target
from trainer.exams.matrix import matrix as matrix_of
from trainer.exams.overlap import BESIDE_LIMIT, EXPOSED, OWN_LIMIT
from trainer.exams.paper import Paper
from trainer.exams.reporting import PLACES, curve_of_paper, curve_of_target, report, shares_beside
from trainer.exams.retakes import inflation
from trainer.exams.scheme import Scheme
from trainer.exams.versions import fingerprint
from trainer.figures import describe_scene, draw_scene
from trainer.figures.form_curves import FormCurves
from trainer.quantities.dimensions import Language, System
from trainer.records.database import Session
from trainer.records.queries import exams as exam_queries
from trainer.records.queries import schemes as queries
from trainer.web import words
from trainer.web.cuts import CutNow, scheme_now
from trainer.web.dates import date_words, moment_words
from trainer.web.drawings import Picture, as_picture, asked_theme
from trainer.web.exam_words import say_all, skill_titles
from trainer.web.guards import needs
from trainer.web.house import house, me, now, reading
from trainer.web.places import open_to_me
from trainer.web.refusals import reasons
from trainer.web.words import gettext

page = Blueprint("schemes", __name__)
MOST_CURVES = 30
MOST_RATES = 12
LIMITS = {
    "curve": CURVE_LIMIT,
    "passing": PASS_LIMIT,
    "own": OWN_LIMIT,
    "beside": BESIDE_LIMIT,
    "exposed": EXPOSED,
}


@dataclass(frozen=True)
class Forms:
    """The forms of a scheme's version at my site, and what they are held against."""

    scheme: Scheme
    standing: CutNow
    papers: tuple[Paper, ...]
    scale: Scale
    target: Target


@page.get("/schemes")
@needs("train")
def everything() -> str:
    """Every scheme with its cut, and whether its version is frozen."""
    with reading() as db:
        lines = [
            (scheme_now(db, one), queries.frozen(db, me().site_id, one.id, one.version))
            for one in house().schemes.values()
        ]
        waiting = queries.open_panels_of(db, me().id)
    return render_template(
        "schemes/everything.html",
        lines=lines,
        waiting=waiting,
        schemes=house().schemes,
        fingerprint=fingerprint,
    )


@page.get("/schemes/matrix")
@needs("train")
def matrix() -> str:
    """Every skill with its lessons, its questions and its exams."""
    found = matrix_of(house().bank, house().lessons, tuple(house().schemes.values()))
    return render_template(
        "schemes/matrix.html",
        found=found,
        topics=house().bank.topics,
        rows={row.skill: row for row in found.rows},
        lessons=house().lessons.by_id,
        schemes=house().schemes,
    )


@page.get("/schemes/<scheme_id>")
@needs("train")
def scheme(scheme_id: str) -> str:
    """What the exam rests on, and how it holds."""
    return _page(_scheme(scheme_id), [])


@page.post("/schemes/<scheme_id>/freeze")
@needs("decide")
def freeze(scheme_id: str) -> AnyResponse | tuple[str, int]:
    """Freeze today's version."""
    one = _scheme(scheme_id)
    refused = acts.freeze_scheme(house().database, by=me(), scheme=one, now=now())
    if refused is not None:
        return _page(one, reasons(refused)), 422
    flash(gettext("Frozen. From now on any change needs a new version."))
    return redirect(url_for("schemes.scheme", scheme_id=scheme_id), 303)


@page.get("/schemes/<scheme_id>/curve.svg")
@needs("train")
def curve(scheme_id: str) -> Response:
    """The expected score of the target and of the newest forms."""
    with reading() as db:
        forms = _forms(db, _scheme(scheme_id))
    return as_picture(_drawn(_curves(forms), asked_theme(), words.language(), me().system))


def _scheme(scheme_id: str) -> Scheme:
    return house().schemes.get(scheme_id) or abort(404)


def _page(one: Scheme, refused: list[str]) -> str:
    with reading() as db:
        forms = _forms(db, one)
        frozen = queries.frozen_versions(db, me().site_id, one.id)
        panels = queries.panels(db, me().site_id, one.id)
        against = acts.version_reasons(db, one, me(), now())
    today = now().astimezone(ZoneInfo(me().time_zone)).date()
    scheme_ = forms.scheme
    return render_template(
        "schemes/scheme.html",
        scheme=scheme_, standing=forms.standing, rows=blueprint(one), frozen=frozen, panels=panels, refused=refused,
        held=next((line for line in frozen if line.version == one.version), None), against=say_all(against),
        stale=one.analysis is not None and one.analysis.is_stale(today), digest=fingerprint(one),
        may_decide=open_to_me("panels.panel"), picture=_picture(one.id, _curves(forms)), report=report(forms.papers),
        forms=forms, most_rates=MOST_RATES, titles=_titles(forms), moment=moment_words, day=date_words,
        limits=LIMITS,
        tries=inflation(shares_beside(scheme_.cut, scheme_.items), scheme_.items, scheme_.cut, scheme_.tries.most),
        skills=lambda names: skill_titles(names, house().bank),
    )  # fmt: skip


def _titles(forms: Forms) -> dict[str, str]:
    """For each question that was asked: the skill it asks."""
    asked = {slot.question: slot.skill for paper in forms.papers for slot in paper.form.slots}
    return {name: skill_titles((skill,), house().bank)[0] for name, skill in asked.items()}


def _forms(db: Session, one: Scheme) -> Forms:
    scheme_, standing = scheme_now(db, one)
    sat = [
        sitting
        for sitting in exam_queries.site_history(db, me().site_id)
        if (sitting.scheme, sitting.scheme_version) == (one.id, one.version)
    ]
    papers = tuple(exam_acts.paper_of(sitting) for sitting in sat)
    find = house().bank.find
    if standing.panel is None:
        scale = Scale(find, {})
        return Forms(
            scheme_, standing, papers, scale, average_target(scheme_, house().bank, scale, at=PLACES)
        )
    reference = acts.reference_of(standing.panel)
    scale = Scale(find, acts.ratings_of(standing.panel, reference))
    return Forms(scheme_, standing, papers, scale, form_target(scheme_, reference.form, scale, at=PLACES))


def _curves(forms: Forms) -> FormCurves:
    return FormCurves(
        places=PLACES,
        target=curve_of_target(forms.target),
        forms=tuple(curve_of_paper(paper, forms.scale) for paper in forms.papers[:MOST_CURVES]),
        cut=forms.scheme.cut,
        items=forms.scheme.items,
    )


def _picture(scheme_id: str, scene: FormCurves) -> Picture:
    said = describe_scene(scene, words.language(), me().system)
    light, dark = (
        url_for("schemes.curve", scheme_id=scheme_id, theme=theme, forms=len(scene.forms))
        for theme in ("light", "dark")
    )
    return Picture(
        light, dark, said.title, said.text, gettext("Heavy: the target. Thin: forms that were set.")
    )


@lru_cache(maxsize=32)
def _drawn(scene: FormCurves, theme: str, language: Language, system: System) -> str:
    return draw_scene(scene, theme=theme, language=language, system=system)
