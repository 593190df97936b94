"""Certificates and rosters on paper: Letter, black ink, an embedded font with Spanish accents, a QR code of squares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from trainer.certificates import paper_words as words
from trainer.certificates.facts import CabinetPlace, CertificateHeld
from trainer.exams.scheme import PROGRAMME, Text

if TYPE_CHECKING:
    from fpdf import FPDF

FONT = "DejaVu"
MARGIN = 16.0
QR_SIDE = 36.0
QUIET_ZONE = 4  # modules of white around a QR code, ISO/IEC 18004 (from memory)
ROSTER_SIZES = (10.0, 8.5, 7.0)


@dataclass(frozen=True)
class CertificatePaper:
    """What a printed certificate shows; `address` is its public page."""

    held: CertificateHeld
    title: Text
    scope: Text
    address: str
    issuer_key: str
    log_head: str
    printed_at: datetime


@dataclass(frozen=True)
class RosterLine:
    """One person on the roster: until when they may open it, or in words why not."""

    name: str
    until: datetime | None
    why_not: tuple[str, ...] = ()


@dataclass(frozen=True)
class RosterPaper:
    """The roster of one cabinet at the moment of printing."""

    cabinet: CabinetPlace
    lines: Sequence[RosterLine]
    log_head: str
    printed_at: datetime
    left_out: int = 0


def font_folder() -> Path:
    """Where DejaVu Sans stands: in matplotlib's data, which is not loaded for it. Its licence allows embedding."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise FileNotFoundError("DejaVu Sans comes with matplotlib, and matplotlib is not installed")
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf"


def local_text(moment: datetime, time_zone: str) -> str:
    """A moment by the site's clock, in the one order that no language reads otherwise: 2028-01-05 12:00 (zone)."""
    return f"{moment.astimezone(ZoneInfo(time_zone)):%Y-%m-%d %H:%M} ({time_zone})"


def certificate_pdf(paper: CertificatePaper, language: str) -> bytes:
    """The certificate on one page."""
    held = paper.held
    pdf = _sheet(words.CERTIFICATE.say(language), held.person, paper.printed_at, language)
    _head(pdf, held.site, words.CERTIFICATE.say(language), paper.title.say(language))
    _said(pdf, words.HOLDER.say(language), 11)
    _said(pdf, held.person, 26, bold=True)
    _said(pdf, words.MAY_OPEN.say(language), 11)
    _said(pdf, f"{held.cabinet} · {held.machine}", 16, bold=True)
    pdf.ln(2)
    _said(pdf, paper.scope.say(language), 10)
    pdf.ln(2)
    _facts(pdf, _certificate_facts(paper, language), 9.5)
    pdf.ln(3)
    _qr_with_address(pdf, paper.address, words.LOOK.say(language))
    _caution(pdf, language)
    _said(pdf, PROGRAMME.say(language), 9)
    _foot(pdf, paper.printed_at, held.time_zone, language)
    return bytes(pdf.output())


def _certificate_facts(paper: CertificatePaper, language: str) -> list[tuple[str, str]]:
    held = paper.held
    state = words.STATES[held.state(paper.printed_at)].say(language)
    version = f"{held.scheme}, {words.VERSION.say(language)} {held.scheme_version}"
    facts = [
        (words.STATE, state),
        (words.FROM, local_text(held.effective_at, held.time_zone)),
        (words.UNTIL, local_text(held.expires_at, held.time_zone)),
        (words.SCHEME, version),
        (words.DECIDED, held.decided_by),
        (words.NUMBER, held.public_id),
        (words.KEY, paper.issuer_key),
        (words.LOG_HEAD, paper.log_head),
    ]
    return [(name.say(language), value) for name, value in facts]


def roster_pdf(paper: RosterPaper, language: str) -> bytes:
    """The roster on one page: in smaller type when it is long; who may open it is never left out for room."""
    for size in ROSTER_SIZES:
        pdf = _roster(paper, language, size)
        if pdf.pages_count == 1:
            return bytes(pdf.output())
    may = [line for line in paper.lines if line.until is not None]
    short = replace(paper, lines=may, left_out=len(paper.lines) - len(may))
    return bytes(_roster(short, language, ROSTER_SIZES[-1]).output())


def _roster(paper: RosterPaper, language: str, size: float) -> FPDF:
    cabinet = paper.cabinet
    pdf = _sheet(words.ROSTER.say(language), cabinet.name, paper.printed_at, language)
    _head(pdf, cabinet.site, words.ROSTER.say(language), f"{cabinet.name} · {cabinet.machine}")
    may = [
        (line.name, local_text(line.until, cabinet.time_zone))
        for line in paper.lines
        if line.until is not None
    ]
    others = [(line.name, " ".join(line.why_not)) for line in paper.lines if line.until is None]
    for title, head, rows in ((words.MAY, words.UNTIL, may), (words.MAY_NOT, words.WHY_NOT, others)):
        _said(pdf, title.say(language), size + 1.5, bold=True)
        if rows:
            _table(pdf, (words.NAME.say(language), head.say(language)), rows, size)
        elif not paper.left_out or title is words.MAY:
            _said(pdf, words.NOBODY.say(language), size)
    if paper.left_out:
        _said(pdf, words.MORE.say(language).format(count=paper.left_out), size)
    _caution(pdf, language)
    _said(pdf, words.TODAY.say(language), 9)
    _said(pdf, PROGRAMME.say(language), 9)
    _said(pdf, f"{words.LOG_HEAD.say(language)}: {paper.log_head}", 7)
    _foot(pdf, paper.printed_at, cabinet.time_zone, language)
    return pdf


def _sheet(kind: str, about: str, printed_at: datetime, language: str) -> FPDF:
    """An empty page with its fonts, title and language."""
    from fpdf import FPDF  # noqa: PLC0415

    pdf = FPDF(format="Letter", unit="mm")
    pdf.set_margins(MARGIN, MARGIN, MARGIN)
    pdf.set_auto_page_break(True, MARGIN)
    pdf.add_font(FONT, "", font_folder() / "DejaVuSans.ttf")
    pdf.add_font(FONT, "B", font_folder() / "DejaVuSans-Bold.ttf")
    pdf.set_title(f"{kind}: {about}")
    pdf.set_lang("es-US" if language == "es" else "en-US")
    pdf.set_creator("Stringline")
    pdf.set_creation_date(printed_at)
    pdf.add_page()
    return pdf


def _said(pdf: FPDF, text: str, size: float, *, bold: bool = False) -> None:
    pdf.set_font(FONT, "B" if bold else "", size)
    pdf.multi_cell(0, size * 0.5, text, align="L", new_x="LMARGIN", new_y="NEXT")


def _head(pdf: FPDF, site: str, kind: str, title: str) -> None:
    """Where this is from, what it is, and the string between two posts under it."""
    _said(pdf, f"{site} · {kind}", 10)
    _said(pdf, title, 18, bold=True)
    y, left, right = pdf.get_y() + 3, MARGIN, pdf.w - MARGIN
    pdf.set_line_width(0.3)
    pdf.line(left, y, right, y)
    pdf.set_line_width(0.8)
    for post in (left, right):
        pdf.line(post, y - 2, post, y + 2)
    pdf.set_y(y + 5)


def _facts(pdf: FPDF, facts: Sequence[tuple[str, str]], size: float) -> None:
    from fpdf.enums import WrapMode  # noqa: PLC0415

    for name, value in facts:
        top = pdf.get_y()
        pdf.set_font(FONT, "", size)
        pdf.multi_cell(52, size * 0.52, name, align="L", new_x="RIGHT", new_y="TOP")
        pdf.set_xy(MARGIN + 52, top)
        pdf.set_font(FONT, "B", size)
        pdf.multi_cell(
            0, size * 0.52, value, align="L", new_x="LMARGIN", new_y="NEXT", wrapmode=WrapMode.CHAR
        )


def _table(pdf: FPDF, heads: tuple[str, str], rows: Sequence[tuple[str, str]], size: float) -> None:
    pdf.set_font(FONT, "", size)
    pdf.set_line_width(0.2)
    with pdf.table(
        col_widths=(2, 5),
        line_height=size * 0.5,
        text_align="LEFT",
        borders_layout="HORIZONTAL_LINES",
        padding=0.6,
    ) as table:
        for cells in (heads, *rows):
            line = table.row()
            for cell in cells:
                line.cell(cell)
    pdf.ln(3)


def _qr_with_address(pdf: FPDF, address: str, look: str) -> None:
    """The QR code, drawn as squares so that it stays sharp, with its address beside it in words."""
    from fpdf.enums import WrapMode  # noqa: PLC0415

    top = pdf.get_y()
    _qr(pdf, address, MARGIN, top)
    pdf.set_xy(MARGIN + QR_SIDE + 4, top + 8)
    pdf.set_font(FONT, "", 9.5)
    pdf.multi_cell(0, 5, look, align="L", new_x="LEFT", new_y="NEXT")
    pdf.multi_cell(0, 5, address, align="L", wrapmode=WrapMode.CHAR)
    pdf.set_y(top + QR_SIDE + 2)


def _qr(pdf: FPDF, address: str, x: float, y: float) -> None:
    import segno  # noqa: PLC0415

    modules = [list(row) for row in segno.make_qr(address, error="m").matrix]
    side = QR_SIDE / (len(modules) + 2 * QUIET_ZONE)
    pdf.set_fill_color(0)
    for row, line in enumerate(modules):
        for first, length in _runs(line):
            pdf.rect(
                x + (first + QUIET_ZONE) * side, y + (row + QUIET_ZONE) * side, length * side, side, style="F"
            )


def _runs(line: Sequence[int]) -> list[tuple[int, int]]:
    """Where dark modules stand side by side: first and how many. One square for them leaves no hairlines."""
    runs: list[tuple[int, int]] = []
    for at, dark in enumerate(line):
        if dark and runs and sum(runs[-1]) == at:
            runs[-1] = (runs[-1][0], runs[-1][1] + 1)
        elif dark:
            runs.append((at, 1))
    return runs


def _caution(pdf: FPDF, language: str) -> None:
    """The signal word with the safety alert symbol, as ANSI Z535 and ISO 3864 set them, in black for print."""
    top = pdf.get_y() + 1
    pdf.set_xy(MARGIN + 14, top + 2)
    pdf.set_left_margin(MARGIN + 14)
    pdf.set_right_margin(MARGIN + 3)
    _said(pdf, words.WARNING.say(language), 13, bold=True)
    _said(pdf, words.CAUTION.say(language), 9)
    pdf.set_left_margin(MARGIN)
    pdf.set_right_margin(MARGIN)
    bottom = pdf.get_y() + 2
    pdf.set_line_width(0.6)
    pdf.rect(MARGIN, top, pdf.w - 2 * MARGIN, bottom - top)
    _alert_symbol(pdf, MARGIN + 3, top + 3)
    pdf.set_xy(MARGIN, bottom + 2)


def _alert_symbol(pdf: FPDF, x: float, y: float) -> None:
    pdf.set_fill_color(0)
    pdf.polygon([(x, y + 7.5), (x + 8.6, y + 7.5), (x + 4.3, y)], style="F")
    pdf.set_fill_color(255)
    pdf.polygon([(x + 3.8, y + 2.6), (x + 4.8, y + 2.6), (x + 4.6, y + 5.2), (x + 4, y + 5.2)], style="F")
    pdf.rect(x + 3.85, y + 5.6, 0.9, 0.9, style="F")


def _foot(pdf: FPDF, printed_at: datetime, time_zone: str, language: str) -> None:
    page = f"{words.PAGE.say(language)} {pdf.page_no()} / {{nb}}"
    text = f"{words.PRINTED.say(language)} {local_text(printed_at, time_zone)} · {page}"
    pdf.set_auto_page_break(False)
    pdf.set_y(pdf.h - MARGIN + 4)
    _said(pdf, text, 8)
