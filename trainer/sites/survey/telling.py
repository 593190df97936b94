"""The whole survey told to a reader: what is wrong first, then each pair of eyes, then the wash around them."""

from __future__ import annotations

import math

from trainer.quantities.dimensions import Language, System
from trainer.sites.survey.pair_report import pair_section
from trainer.sites.survey.reader import Reader
from trainer.sites.survey.report import Caution, FindingTold, Report
from trainer.sites.survey.results import Finding, Survey
from trainer.sites.survey.saying import say
from trainer.sites.survey.scenes import BAY, survey_scenes
from trainer.sites.survey.site_report import (
    applications_section,
    assumed_section,
    cabinet_section,
    crosstalk_section,
    spares_section,
)

_LEADS_TO = {
    "hurts": ("somebody may be hurt", "alguien puede salir lastimado"),
    "stops": ("the line stops", "se para la línea"),
    "miscounts": (
        "cars are missed, doubled or measured wrong",
        "se pierden, se duplican o se miden mal carros",
    ),
    "costs": ("it costs money", "cuesta dinero"),
}
# Findings that are mended inside a cabinet; whatever is mended at an eye or an arch is mended on the bay floor.
_IN_CABINET = frozenset({"supply", "drive", "conveyor"})
_ON_SHELF = frozenset({"business"})


def tell(survey: Survey, language: Language, system: System) -> Report:
    """The survey in words. Loads no drawing library."""
    to = Reader(language, system)
    drawings = tuple(survey_scenes(survey))
    return Report(
        site=survey.sheet.name,
        title=to.say("Survey of your bay", "Revisión de tu bahía"),
        purpose=to.say(
            "What your eyes see and miss, worked out from your site sheet. The worst stands first.",
            "Qué ven y qué se les escapa a tus fotoceldas, calculado con tu hoja del sitio. Lo peor va primero.",
        ),
        verdict=_verdict(len(survey.findings), to),
        findings=tuple(_told(one, to) for one in survey.findings),
        cautions=_cautions(survey, to),
        bay=BAY,
        sections=(
            *(pair_section(survey, pair, drawings, to) for pair in survey.pairs),
            applications_section(survey, to),
            crosstalk_section(survey, to),
            cabinet_section(survey, to),
            spares_section(survey, to),
            assumed_section(survey, to),
        ),
    )


def _verdict(count: int, to: Reader) -> str:
    if count == 0:
        return to.say("Nothing is wrong by these numbers.", "Con estos números, nada está mal.")
    if count == 1:
        return to.say("One thing to put right.", "Hay una cosa que corregir.")
    return to.say(
        f"{count} things to put right, worst first.", f"Hay {count} cosas que corregir, lo peor primero."
    )


def _told(finding: Finding, to: Reader) -> FindingTold:
    words = say(finding, to.language, to.system)
    return FindingTold(
        finding.key,
        finding.part,
        to.said(finding.place),
        to.say(*_LEADS_TO[finding.severity]),
        words.what,
        words.mends,
    )


def _cautions(survey: Survey, to: Reader) -> tuple[Caution, ...]:
    """What to read before anything is changed, where anything is."""
    parts = {one.part for one in survey.findings}
    found = []
    if parts & _IN_CABINET:
        found.append(Caution("warning", _cabinet(survey, to)))
    if parts - _IN_CABINET - _ON_SHELF:
        found.append(Caution("warning", _floor(to)))
    return tuple(found)


def _cabinet(survey: Survey, to: Reader) -> str:
    wait = to.write(math.ceil(survey.charge.seconds), "s", 0)  # never told shorter than it is
    return to.say(
        f"In the cabinet: live parts and stored charge. Lock out first, wait at least {wait} for the drive, measure "
        "and find it dead, then work. Local codes and licensed practice come first (29 CFR 1910.147, 1910.333; 2015 "
        "edition read).",
        f"En el tablero: partes con voltaje y carga almacenada. Bloquea primero, espera al menos {wait} por el "
        "variador, mide y comprueba que no hay voltaje, y después trabaja. Los códigos locales y el electricista con "
        "licencia van primero (29 CFR 1910.147, 1910.333; edición de 2015 leída).",
    )


def _floor(to: Reader) -> str:
    return to.say(
        "On the bay floor: a conveyor that starts can crush you, spray can burn. Lock out first, then move, aim or set "
        "a head. Local codes and licensed practice come first (29 CFR 1910.147; 2015 edition read).",
        "En el piso de la bahía: un transportador que arranca puede aplastarte, un chorro puede quemarte. Bloquea "
        "primero y después mueve, apunta o ajusta un cabezal. Los códigos locales y el trabajo con licencia van "
        "primero (29 CFR 1910.147; edición de 2015 leída).",
    )
