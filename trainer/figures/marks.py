"""What is drawn on a paper as plain marks, for a page that is printed by other means."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from trainer.figures.given import Point

if TYPE_CHECKING:
    from trainer.figures.plot_paper import PlotPaper

Align = Literal["left", "center", "right"]


@dataclass(frozen=True)
class Stroke:
    """A line through points."""

    points: tuple[Point, ...]
    color: str
    width: float
    dash: bool


@dataclass(frozen=True)
class Shape:
    """A closed shape: outlined where its width is above 0, filled with a color, or hatched (`///`)."""

    points: tuple[Point, ...]
    color: str
    width: float
    fill: str | None
    hatch: str


@dataclass(frozen=True)
class Letters:
    """A line of text; at: the point on its base line that `align` names."""

    text: str
    at: Point
    align: Align
    size: float
    mono: bool
    bold: bool
    color: str


Mark = Stroke | Shape | Letters


@dataclass(frozen=True)
class Print:
    """A drawing as marks in drawing order, in units from its lower left corner, y up."""

    width: float
    height: float
    marks: tuple[Mark, ...]


def marks_of(paper: PlotPaper) -> Print:
    """Everything on a paper that was trimmed, moved so that its lower edge is 0."""
    low, high = paper.axes.get_ylim()
    left, right = paper.axes.get_xlim()
    found: list[Mark] = []
    for artist in sorted(paper.axes.get_children(), key=lambda one: one.get_zorder()):
        kind = type(artist).__name__
        if kind == "Line2D":
            found.append(_stroke(artist, low))
        elif kind in {"Polygon", "Circle"}:
            found.append(_shape(artist, low))
        elif kind == "Text" and artist.get_text():
            found.append(_letters(artist, low))
    return Print(float(right - left), float(high - low), tuple(found))


def _stroke(line: Any, low: float) -> Stroke:
    points = tuple((float(x), float(y - low)) for x, y in line.get_xydata())
    return Stroke(points, _color(line.get_color()), float(line.get_linewidth()), line.is_dashed())


def _shape(patch: Any, low: float) -> Shape:
    outline = patch.get_path().transformed(patch.get_patch_transform()).to_polygons()[0]
    face = patch.get_facecolor()
    return Shape(
        points=tuple((float(x), float(y - low)) for x, y in outline),
        color=_color(patch.get_edgecolor()),
        width=float(patch.get_linewidth()),
        fill=_color(face) if face[3] else None,
        hatch=patch.get_hatch() or "",
    )


def _letters(text: Any, low: float) -> Letters:
    x, y = text.get_position()
    return Letters(
        text=text.get_text(),
        at=(float(x), float(y - low)),
        align=text.get_horizontalalignment(),
        size=float(text.get_fontsize()),
        mono="Mono" in text.get_fontfamily()[0],
        bold=text.get_weight() == "bold",
        color=_color(text.get_color()),
    )


def _color(color: Any) -> str:
    from matplotlib.colors import to_hex  # noqa: PLC0415 - dear to import

    return str(to_hex(color))
