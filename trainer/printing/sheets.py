"""A PDF's sheets: an embedded font with Spanish letters, the string under the title, tables, cautions, feet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from fpdf import FPDF

Size = Literal["Letter", "A4"]
# What stands at the foot of a page, given its number.
Foot = Callable[[int], str]

FONT, NUMBERS = "DejaVu", "DejaVuMono"
MARGIN = 16.0
_NAMES = 52.0  # mm for the names of facts


def font_folder() -> Path:
    """Where DejaVu Sans stands: in matplotlib's data, which is not loaded for it. Its licence allows embedding."""
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise FileNotFoundError("DejaVu Sans comes with matplotlib, and matplotlib is not installed")
    return Path(found.origin).parent / "mpl-data" / "fonts" / "ttf"


def local_text(moment: datetime, time_zone: str) -> str:
    """A moment by the site's clock, in the one order that no language reads otherwise: 2028-01-05 12:00 (zone)."""
    return f"{moment.astimezone(ZoneInfo(time_zone)):%Y-%m-%d %H:%M} ({time_zone})"


def open_sheets(
    title: str, printed_at: datetime, language: str, *, size: Size = "Letter", foot: Foot | None = None
) -> FPDF:
    """A PDF with its first page, its fonts, title and language; `foot` is printed on every page."""
    from fpdf import FPDF  # noqa: PLC0415 - dear to import

    class Sheets(FPDF):
        """Writes a foot on every page."""

        def footer(self) -> None:
            if foot is not None:
                self.set_y(self.h - MARGIN + 4)
                said(self, foot(self.page_no()), 8)

    pdf = Sheets(format=size, unit="mm")
    pdf.set_margins(MARGIN, MARGIN, MARGIN)
    pdf.set_auto_page_break(True, MARGIN)
    pdf.add_font(FONT, "", font_folder() / "DejaVuSans.ttf")
    pdf.add_font(FONT, "B", font_folder() / "DejaVuSans-Bold.ttf")
    pdf.set_title(title)
    pdf.set_lang("es-US" if language == "es" else "en-US")
    pdf.set_creator("Stringline")
    pdf.set_creation_date(printed_at)
    pdf.add_page()
    return pdf


def said(pdf: FPDF, text: str, size: float, *, bold: bool = False) -> None:
    """A paragraph over the whole width."""
    pdf.set_font(FONT, "B" if bold else "", size)
    pdf.multi_cell(0, size * 0.5, text, align="L", new_x="LMARGIN", new_y="NEXT")


def head(pdf: FPDF, above: str, title: str) -> None:
    """Where this is from and what it is, its title, and the string between two posts under it."""
    said(pdf, above, 10)
    said(pdf, title, 18, bold=True)
    y, left, right = pdf.get_y() + 3, MARGIN, pdf.w - MARGIN
    pdf.set_line_width(0.3)
    pdf.line(left, y, right, y)
    pdf.set_line_width(0.8)
    for post in (left, right):
        pdf.line(post, y - 2, post, y + 2)
    pdf.set_y(y + 5)


def facts(pdf: FPDF, pairs: Sequence[tuple[str, str]], size: float) -> None:
    """Names and what they are, a line each."""
    from fpdf.enums import WrapMode  # noqa: PLC0415 - dear to import

    for name, value in pairs:
        top = pdf.get_y()
        pdf.set_font(FONT, "", size)
        if top + 4 * size * 0.52 > pdf.h - MARGIN:  # a name and its value stand on one page
            pdf.add_page()
            top = pdf.get_y()
        pdf.multi_cell(_NAMES - 2, size * 0.52, name, align="L", new_x="LMARGIN", new_y="NEXT")
        below = pdf.get_y()
        pdf.set_xy(MARGIN + _NAMES, top)
        pdf.set_font(FONT, "B", size)
        pdf.multi_cell(
            0, size * 0.52, value, align="L", new_x="LMARGIN", new_y="NEXT", wrapmode=WrapMode.CHAR
        )
        pdf.set_y(max(below, pdf.get_y()))


def table(
    pdf: FPDF,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    size: float,
    widths: Sequence[int] | None = None,
) -> None:
    """A table with rules between its rows; its heads stand again on the next page."""
    pdf.set_font(FONT, "", size)
    pdf.set_line_width(0.2)
    with pdf.table(
        col_widths=tuple(widths) if widths else None,
        line_height=size * 0.5,
        text_align="LEFT",
        borders_layout="HORIZONTAL_LINES",
        padding=0.6,
    ) as drawn:
        for cells in (heads, *rows):
            line = drawn.row()
            for cell in cells:
                line.cell(cell)
    pdf.ln(3)


def caution(pdf: FPDF, word: str, text: str) -> None:
    """The signal word with the safety alert symbol, as ANSI Z535 and ISO 3864 set them, in black for print."""
    top = pdf.get_y() + 1
    pdf.set_xy(MARGIN + 14, top + 2)
    pdf.set_left_margin(MARGIN + 14)
    pdf.set_right_margin(MARGIN + 3)
    said(pdf, word, 13, bold=True)
    said(pdf, text, 9)
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
