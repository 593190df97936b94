"""`stringline survey`: what the eyes of a wash see and miss, as text, or on paper."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click

from trainer.cli.refusals import RefusedError, clear_refusals
from trainer.quantities.dimensions import Language, System
from trainer.sites import demo_sheet, read_sheet
from trainer.sites.sheet import SiteSheet
from trainer.sites.survey.paper import survey_pdf
from trainer.sites.survey.report import Report
from trainer.sites.survey.survey import survey as survey_of
from trainer.sites.survey.telling import tell

FOUND = 1


@click.command()
@click.argument("site")
@click.option(
    "--pdf", type=click.Path(dir_okay=False, path_type=Path), help="Write the whole survey to this file."
)
@click.option("--language", type=click.Choice(["en", "es"]), default="en", show_default=True)
@click.option("--system", type=click.Choice(["us", "metric"]), default="us", show_default=True)
@click.option("--year", type=click.IntRange(1901, 2099), help="Whose sun counts; this year when not given.")
def survey(site: str, pdf: Path | None, language: Language, system: System, year: int | None) -> None:
    """Survey the bay of SITE, a site sheet's file, or `demo`: what its eyes see and miss, worst first.

    Without --pdf the findings are printed. Exit status: 0 when nothing was found or the PDF was written, 1 when
    findings were printed, 2 when the sheet cannot be read (each fault with its place) or the file cannot be written.
    """
    with clear_refusals():
        sheet = _sheet(site)
        now = datetime.now(UTC)
        found = survey_of(sheet, year or now.astimezone(ZoneInfo(sheet.time_zone)).year)
        report = tell(found, language, system)
        if pdf is not None:
            pdf.write_bytes(survey_pdf(found, language, system, now))
            click.echo(f"{pdf}: {report.verdict}")
            return
    for line in _lines(report):
        click.echo(line)
    if found.findings:
        sys.exit(FOUND)


def _sheet(site: str) -> SiteSheet:
    if site == "demo":
        return demo_sheet()
    path = Path(site)
    try:
        return read_sheet(path.read_text(encoding="utf-8"), path.name)
    except UnicodeDecodeError as error:
        raise RefusedError(f"{site}: this is not UTF-8 text. Save it as UTF-8.") from error


def _lines(report: Report) -> Iterator[str]:
    yield f"{report.site}: {report.verdict}"
    for number, one in enumerate(report.findings, 1):
        yield f"{number}. {one.place}: {one.leads_to}"
        yield f"   {one.what}"
        yield from (f"   → {mend}" for mend in one.mends)
    for caution in report.cautions:
        yield f"[{caution.word}] {caution.text}"
