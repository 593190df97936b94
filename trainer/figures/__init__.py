"""Drawings to scale from numbers that are already worked out; saying them in words loads no drawing "
"library."""

from trainer.figures.catalogue import FIGURES, Figure
from trainer.figures.drawing import describe, describe_scene, draw_scene, draw_svg, print_scene
from trainer.figures.given import Description
from trainer.figures.scene import Scene

__all__ = [
    "FIGURES", "Description", "Figure", "Scene", "describe", "describe_scene", "draw_scene", "draw_svg", "print_scene",
]  # fmt: skip
