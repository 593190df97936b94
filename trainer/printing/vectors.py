"""Drawings on a sheet as lines, shapes and letters: sharp at any size, their words can be searched."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import floor
from typing import TYPE_CHECKING

from trainer.figures.given import Point
from trainer.figures.marks import Letters, Print, Shape, Stroke
from trainer.printing.sheets import FONT, NUMBERS, font_folder

if TYPE_CHECKING:
    from fpdf import FPDF

# A hatch of one stroke has a line every so many units; of two, every half of it.
_HATCH, _HATCH_WIDTH = 24.0, 0.6
_POINT = 72 / 25.4
_Onto = Callable[[Sequence[Point]], list[Point]]


def drawing_height(drawing: Print, width: float) -> float:
    """How high [mm] a drawing stands that is so wide [mm]."""
    return drawing.height * width / drawing.width


def place(pdf: FPDF, drawing: Print, left: float, top: float, width: float) -> None:
    """Draw it with its upper left corner at a place on the sheet [mm]."""
    scale = width / drawing.width
    bottom = top + drawing.height * scale

    def at(points: Sequence[Point]) -> list[Point]:
        return [(left + x * scale, bottom - y * scale) for x, y in points]

    for mark in drawing.marks:
        if isinstance(mark, Letters):
            _letters(pdf, mark, at([mark.at])[0], scale)
        elif isinstance(mark, Shape):
            _shape(pdf, mark, at, scale)
        else:
            _stroke(pdf, mark, at(mark.points), scale)
    pdf.set_draw_color(0)
    pdf.set_text_color(0)
    pdf.set_fill_color(255)  # a table fills its cells with what was filled last
    pdf.set_dash_pattern()


def _stroke(pdf: FPDF, mark: Stroke, points: list[Point], scale: float) -> None:
    pdf.set_draw_color(mark.color)
    pdf.set_line_width(mark.width * scale)
    if mark.dash:
        pdf.set_dash_pattern(dash=5 * mark.width * scale, gap=3 * mark.width * scale)
    else:
        pdf.set_dash_pattern()
    pdf.polyline(points)


def _shape(pdf: FPDF, mark: Shape, at: _Onto, scale: float) -> None:
    pdf.set_dash_pattern()
    pdf.set_draw_color(mark.color)
    if mark.fill is not None:
        pdf.set_fill_color(mark.fill)
        pdf.polygon(at(mark.points), style="F")
    for down in ("/", "\\") if "x" in mark.hatch else (mark.hatch[:1],) if mark.hatch else ():
        pdf.set_line_width(_HATCH_WIDTH * scale)
        for line in hatch_lines(mark.points, _HATCH / len(mark.hatch), falling=down == "\\"):
            (from_x, from_y), (to_x, to_y) = at(line)
            pdf.line(from_x, from_y, to_x, to_y)
    if mark.width:
        pdf.set_line_width(mark.width * scale)
        pdf.polygon(at(mark.points), style="D")


def hatch_lines(
    points: Sequence[Point], apart: float, *, falling: bool = False
) -> Iterator[tuple[Point, Point]]:
    """Slanted lines inside any closed shape, by the even-odd rule; apart: from one to the next, measured level."""
    side = -1.0 if falling else 1.0
    corners = [(side * x, y) for x, y in points]
    offsets = [x - y for x, y in corners]
    number = floor(min(offsets) / apart) + 1
    while number * apart < max(offsets):
        crossings = sorted(_crossings(corners, number * apart))
        for start, end in zip(crossings[::2], crossings[1::2], strict=False):
            yield (side * (start + number * apart), start), (side * (end + number * apart), end)
        number += 1


def _crossings(corners: Sequence[Point], offset: float) -> Iterator[float]:
    """The heights at which the line x = y + offset crosses the shape's edges."""
    for (x, y), (to_x, to_y) in zip(corners, [*corners[1:], corners[0]], strict=True):
        before, after = x - y - offset, to_x - to_y - offset
        if (before < 0) != (after < 0):
            yield y + (to_y - y) * before / (before - after)


def _letters(pdf: FPDF, mark: Letters, at: Point, scale: float) -> None:
    _with_numbers(pdf)
    pdf.set_font(NUMBERS if mark.mono else FONT, "B" if mark.bold else "", mark.size * scale * _POINT)
    pdf.set_text_color(mark.color)
    wide = pdf.get_string_width(mark.text)
    pdf.text(at[0] - {"left": 0.0, "center": wide / 2, "right": wide}[mark.align], at[1], mark.text)


def _with_numbers(pdf: FPDF) -> None:
    """The face of numbers, added when the first drawing asks for it."""
    if f"{NUMBERS.lower()}" not in pdf.fonts:
        pdf.add_font(NUMBERS, "", font_folder() / "DejaVuSansMono.ttf")
        pdf.add_font(NUMBERS, "B", font_folder() / "DejaVuSansMono-Bold.ttf")
