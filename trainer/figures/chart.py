"""A chart's frame: two axes in drawing units, their marks and what they count."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from trainer.figures.given import Point
from trainer.figures.ink import LINE, THIN
from trainer.figures.paper import Paper


@dataclass(frozen=True)
class Frame:
    """A frame from its lower left to its upper right corner, and the greatest value on each axis.

    decades: the upright axis counts powers of ten upwards from 10**decades instead of going from 0
    """

    left: float
    bottom: float
    right: float
    top: float
    most_x: float
    most_y: float
    decades: float | None = None

    def at(self, x: float, y: float) -> Point:
        """Where a pair of values stands on the paper."""
        return self.x(x), self.y(y)

    def x(self, value: float) -> float:
        """Where a value of the level axis stands."""
        return self.left + value / self.most_x * (self.right - self.left)

    def y(self, value: float) -> float:
        """Where a value of the upright axis stands."""
        if self.decades is None:
            share = value / self.most_y
        else:
            share = (math.log10(value) - self.decades) / (math.log10(self.most_y) - self.decades)
        return self.bottom + share * (self.top - self.bottom)

    def draw(self, paper: Paper, across: str, up: str, below: float = 34) -> None:
        """The two axes and what they count."""
        paper.line(
            [(self.left, self.top + 4), (self.left, self.bottom), (self.right + 6, self.bottom)], "ink", LINE
        )
        paper.write(up, (self.left - 4, self.top + 16), "left")
        paper.write(across, (self.right + 6, self.bottom - below), "right")

    def level(self, paper: Paper, value: float, text: str) -> None:
        """A ruled line at a value of the upright axis, its number at the left."""
        paper.line([(self.left, self.y(value)), (self.right, self.y(value))], "rule", THIN)
        paper.write(text, (self.left - 5, self.y(value)), "right", face="numbers", ink="pencil")

    def foot(self, paper: Paper, value: float, top: float, text: str, mark: str | None = None) -> None:
        """A dashed line from the level axis up to a value, its number below."""
        paper.line(
            [(self.x(value), self.bottom), (self.x(value), self.y(top))], "pencil", THIN, dash=True, mark=mark
        )
        paper.label(text, (self.x(value), self.bottom), "s", gap=4)

    def curve(self, paper: Paper, values: list[float], height: Callable[[float], float], mark: str) -> None:
        """A curve through values of the level axis."""
        paper.line([self.at(one, height(one)) for one in values], "beam", 2.4, mark=mark)
