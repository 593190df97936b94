"""The inks of a drawing, for paper that is light or dark, and its type."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Ink = Literal["ink", "pencil", "rule", "beam"]


@dataclass(frozen=True)
class Theme:
    """Colors of one theme; drawings lie on `paper` or on `sheet` and paint neither.

    rule is for what may be missed (a ruled ground, a grid); everything that tells something is ink, pencil or beam.
    """

    paper: str
    sheet: str
    ink: str
    pencil: str
    rule: str
    beam: str

    def color(self, ink: Ink) -> str:
        """The color of an ink."""
        return {"ink": self.ink, "pencil": self.pencil, "rule": self.rule, "beam": self.beam}[ink]


THEMES: Mapping[str, Theme] = {
    "light": Theme("#fbfaf6", "#ffffff", "#1d2730", "#52606b", "#d6d3c8", "#6a3fb5"),
    "dark": Theme("#12181d", "#1a2229", "#ebe8df", "#a9b5be", "#3b464f", "#b99df2"),
}

# For paper that is printed: everything black, but what may be missed.
BLACK = Theme("#ffffff", "#ffffff", "#000000", "#000000", "#cfcfcf", "#000000")

# Drawn and measured in the fonts that matplotlib carries, which are wider than most; shown in the reader's own.
MEASURED = {"words": "DejaVu Sans", "numbers": "DejaVu Sans Mono"}
SHOWN = {
    "words": "system-ui, -apple-system, 'Segoe UI', Roboto, 'Liberation Sans', Arial, sans-serif",
    "numbers": "ui-monospace, 'Cascadia Mono', 'SF Mono', Menlo, Consolas, 'Liberation Mono', monospace",
}
SIZE, LARGE = 12.5, 15.0
THIN, LINE, HEAVY = 1.0, 1.6, 2.6
