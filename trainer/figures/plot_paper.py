"""Paper that is drawn on by matplotlib: for drawings that stand still."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from trainer.figures.given import Point
from trainer.figures.ink import MEASURED, SIZE, Ink, Theme
from trainer.figures.paper import WIDTH, Paper


@lru_cache(maxsize=4096)
def _width(text: str, size: float, face: str, bold: bool) -> float:
    from matplotlib.font_manager import FontProperties  # noqa: PLC0415 - dear to import
    from matplotlib.textpath import text_to_path  # noqa: PLC0415 - dear to import

    font = FontProperties(family=MEASURED[face], size=size, weight="bold" if bold else "normal")
    return float(text_to_path.get_text_width_height_descent(text, font, ismath=False)[0])


class PlotPaper(Paper):
    """A sheet in the inks of a theme."""

    def __init__(self, height: float, theme: Theme) -> None:
        import matplotlib as mpl  # noqa: PLC0415 - dear to import
        from matplotlib.backends.backend_svg import FigureCanvasSVG  # noqa: PLC0415 - dear to import
        from matplotlib.figure import Figure  # noqa: PLC0415 - dear to import

        super().__init__(height)
        # A shape takes it when it is made, so it must stand before the first one of a process is.
        mpl.rcParams["hatch.linewidth"] = 0.9
        self.theme = theme
        self.figure = Figure(figsize=(WIDTH / 72, height / 72), dpi=72)
        FigureCanvasSVG(self.figure)
        self.axes: Any = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_xlim(0, WIDTH)
        self.axes.set_ylim(0, height)
        self.axes.axis("off")

    def put_line(
        self, points: Sequence[Point], ink: Ink, width: float, *, dash: bool, mark: str | None
    ) -> None:
        """Put down a line through points."""
        xs, ys = zip(*points, strict=True)
        style = (0, (5, 3)) if dash else "-"
        self.axes.plot(
            xs, ys, color=self.theme.color(ink), linewidth=width, linestyle=style, gid=mark,
            solid_capstyle="round", solid_joinstyle="round",
        )  # fmt: skip

    def put_area(
        self, points: Sequence[Point], ink: Ink, width: float, *, hatch: str, fill: bool, mark: str | None
    ) -> None:
        """Put down a closed shape."""
        from matplotlib.patches import Polygon  # noqa: PLC0415 - dear to import

        color = self.theme.color(ink)
        self.axes.add_patch(
            Polygon(
                points, closed=True, edgecolor=color, facecolor=color if fill else "none", hatch=hatch or None,
                linewidth=width, gid=mark, joinstyle="round",
            )
        )  # fmt: skip

    def put_circle(
        self, center: Point, radius: float, ink: Ink, width: float, *, fill: bool, mark: str | None
    ) -> None:
        """Put down a circle."""
        from matplotlib.patches import Circle  # noqa: PLC0415 - dear to import

        color = self.theme.color(ink)
        face = color if fill else "none"
        self.axes.add_patch(
            Circle(center, radius, edgecolor=color, facecolor=face, linewidth=width, gid=mark)
        )

    def put_text(
        self, text: str, at: Point, align: str, *, size: float, face: str, ink: Ink, bold: bool
    ) -> None:
        """Put down a line of text on its base line at `at`."""
        self.axes.text(
            *at, text, fontsize=size, family=MEASURED[face], ha=align, va="baseline",
            color=self.theme.color(ink), weight="bold" if bold else "normal", parse_math=False,
        )  # fmt: skip

    def measure(self, text: str, size: float = SIZE, face: str = "words", bold: bool = False) -> float:
        """How wide a text is in the font it is measured in."""
        return _width(text, size, face, bold)

    def trim(self) -> tuple[float, float]:
        """Cut the sheet to what is drawn, top and bottom; gives the heights of both edges."""
        low, high = super().trim()
        self.axes.set_ylim(low, high)
        self.figure.set_size_inches(WIDTH / 72, (high - low) / 72)
        return low, high
