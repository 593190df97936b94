"""A survey printed: Letter or A4, findings first, tables and drawings as vectors, page numbers, the date passed in."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from trainer.figures import print_scene
from trainer.printing.sheets import MARGIN, caution, facts, head, local_text, open_sheets, said, table
from trainer.printing.vectors import drawing_height, place
from trainer.quantities.dimensions import Language, System
from trainer.sites.survey.report import Caution, FindingTold, Report, Section
from trainer.sites.survey.results import Survey
from trainer.sites.survey.scenes import survey_scenes
from trainer.sites.survey.telling import tell

if TYPE_CHECKING:
    from fpdf import FPDF

    from trainer.figures.marks import Print

_BODY = 9.5
_BESIDE = 5.0  # mm between two drawings
_WORDS = {
    "warning": ("WARNING", "ADVERTENCIA"),
    "notice": ("NOTICE", "AVISO"),
}


def survey_pdf(survey: Survey, language: Language, system: System, printed_at: datetime) -> bytes:
    """The survey as a PDF; the same survey at the same moment gives the same bytes."""
    report = tell(survey, language, system)
    drawings = {name: print_scene(scene, language, system) for name, scene in survey_scenes(survey).items()}
    spanish = language == "es"
    printed = f"{'Impreso' if spanish else 'Printed'} {local_text(printed_at, survey.sheet.time_zone)}"
    page = "Página" if spanish else "Page"
    pdf = open_sheets(
        f"{report.title}: {report.site}",
        printed_at,
        language,
        size="A4" if system == "metric" else "Letter",
        foot=lambda number: f"{report.site} · {printed} · {page} {number} / {{nb}}",
    )
    head(pdf, f"{report.site} · {survey.year}", report.title)
    said(pdf, report.purpose, _BODY)
    pdf.ln(2)
    _findings(pdf, report, language)
    _drawings(pdf, [drawings[report.bay]])
    for section in report.sections:
        _section(pdf, section, [drawings[name] for name in section.drawings])
    return bytes(pdf.output())


def _findings(pdf: FPDF, report: Report, language: Language) -> None:
    said(pdf, report.verdict, 13, bold=True)
    pdf.ln(1)
    for number, one in enumerate(report.findings, 1):
        _finding(pdf, number, one)
    for before in report.cautions:
        _caution(pdf, before, language)


def _finding(pdf: FPDF, number: int, one: FindingTold) -> None:
    _keep_together(pdf, 26)
    said(pdf, f"{number}. {one.place}: {one.leads_to}", 10.5, bold=True)
    said(pdf, one.what, _BODY)
    for mend in one.mends:
        said(pdf, f"→ {mend}", _BODY, bold=True)
    pdf.ln(2)


def _caution(pdf: FPDF, one: Caution, language: Language) -> None:
    _keep_together(pdf, 34)
    caution(pdf, _WORDS[one.word][language == "es"], one.text)


def _section(pdf: FPDF, section: Section, drawings: list[Print]) -> None:
    _keep_together(pdf, 120 if drawings else 60)
    pdf.ln(3)
    said(pdf, section.title, 13, bold=True)
    pdf.ln(1)
    facts(pdf, section.facts, _BODY)
    for note in section.notes:
        said(pdf, note, _BODY)
    pdf.ln(1)
    _drawings(pdf, drawings)
    for one in section.tables:
        _keep_together(pdf, 14 + 6.5 * min(len(one.rows), 6))
        said(pdf, one.title, _BODY, bold=True)
        first = 3 if len(one.heads) > 4 else 2
        widths = (first, *(1 for _ in one.heads[1:]))
        table(pdf, one.heads, one.rows, 8.5, widths)


def _drawings(pdf: FPDF, drawings: list[Print]) -> None:
    """Two beside each other, each half as wide as the page; one alone a little wider."""
    inner = pdf.w - 2 * MARGIN
    width = inner * 0.6 if len(drawings) == 1 else (inner - _BESIDE) / 2
    for first in range(0, len(drawings), 2):
        row = drawings[first : first + 2]
        high = max(drawing_height(one, width) for one in row)
        _keep_together(pdf, high + 4)
        top = pdf.get_y()
        for at, one in enumerate(row):
            place(pdf, one, MARGIN + at * (width + _BESIDE), top, width)
        pdf.set_y(top + high + 4)


def _keep_together(pdf: FPDF, high: float) -> None:
    """A new page where so much [mm] would not stand on this one."""
    if pdf.get_y() + high > pdf.h - MARGIN:
        pdf.add_page()
