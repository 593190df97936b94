"""Drawings to scale from numbers that are already worked out; saying them in words loads no drawing "
"library."""

from trainer.figures.catalogue import FIGURES, Figure
from trainer.figures.drawing import describe, draw_svg
from trainer.figures.given import Description

__all__ = ["FIGURES", "Description", "Figure", "describe", "draw_svg"]
