"""The paper a figure is drawn on: lines, hatched areas, dimensions and labels that keep clear of each other."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import cos, hypot, sin
from typing import Any, NamedTuple

from trainer.figures.given import Point
from trainer.figures.ink import LINE, SIZE, THIN, Ink

WIDTH = 360.0
MARGIN = 4.0
LEADING = 1.25
_TICK = 5.0
_HEAD = 7.0
PERSON = 1.75


class Box(NamedTuple):
    """The room that a text takes, in drawing units from the lower left corner."""

    left: float
    bottom: float
    right: float
    top: float

    def overlap(self, other: Box) -> float:
        """The area that both cover."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.top, other.top) - max(self.bottom, other.bottom)
        return max(wide, 0.0) * max(high, 0.0)

    def moved(self, x: float, y: float) -> Box:
        """The same room elsewhere."""
        return Box(self.left + x, self.bottom + y, self.right + x, self.top + y)


class Paper(ABC):
    """A sheet 360 units wide, y up: one unit is one pixel on a narrow phone.

    What is drawn on it is put down as strokes, shapes, discs and letters; a kind of paper says how.
    """

    def __init__(self, height: float) -> None:
        self.height = height
        self.texts: list[tuple[Box, str]] = []
        self.taken: list[Box] = []
        self._strokes: list[Point] = []
        self._lowest, self._highest = height, 0.0

    @abstractmethod
    def put_line(
        self, points: Sequence[Point], ink: Ink, width: float, *, dash: bool, mark: str | None
    ) -> None:
        """Put down a line through points."""

    @abstractmethod
    def put_area(
        self, points: Sequence[Point], ink: Ink, width: float, *, hatch: str, fill: bool, mark: str | None
    ) -> None:
        """Put down a closed shape."""

    @abstractmethod
    def put_circle(
        self, center: Point, radius: float, ink: Ink, width: float, *, fill: bool, mark: str | None
    ) -> None:
        """Put down a circle."""

    @abstractmethod
    def put_text(
        self, text: str, at: Point, align: str, *, size: float, face: str, ink: Ink, bold: bool
    ) -> None:
        """Put down a line of text on its base line at `at`."""

    @abstractmethod
    def measure(self, text: str, size: float = SIZE, face: str = "words", bold: bool = False) -> float:
        """How wide a text is."""

    def line(
        self,
        points: Iterable[Point],
        ink: Ink = "ink",
        width: float = LINE,
        *,
        dash: bool = False,
        mark: str | None = None,
    ) -> None:
        """A line through points; mark: the id by which it is found again in the drawing."""
        points = list(points)
        self._drawn(points)
        self.put_line(points, ink, width, dash=dash, mark=mark)

    def area(
        self,
        points: Sequence[Point],
        ink: Ink = "ink",
        *,
        hatch: str = "",
        width: float = LINE,
        fill: bool = False,
        mark: str | None = None,
    ) -> None:
        """A closed shape: outlined, hatched (`///`), or filled with its ink."""
        self._drawn([*points, points[0]])
        self.put_area(points, ink, width, hatch=hatch, fill=fill, mark=mark)

    def box(self, left: float, bottom: float, right: float, top: float, ink: Ink = "ink", **how: Any) -> None:
        """A rectangle, drawn as `area` draws."""
        self.area([(left, bottom), (right, bottom), (right, top), (left, top)], ink, **how)

    def circle(
        self,
        center: Point,
        radius: float,
        ink: Ink = "ink",
        *,
        fill: bool = False,
        width: float = LINE,
        mark: str | None = None,
    ) -> None:
        """A circle."""
        around = [(center[0] + radius * cos(t / 3), center[1] + radius * sin(t / 3)) for t in range(20)]
        self._drawn(around)
        self.put_circle(center, radius, ink, width, fill=fill, mark=mark)

    def arrow(self, start: Point, end: Point, ink: Ink = "ink", width: float = THIN) -> None:
        """A line with a head at its end."""
        self.line([start, end], ink, width)
        self._head(start, end, ink)

    def _head(self, start: Point, end: Point, ink: Ink) -> None:
        along = (end[0] - start[0], end[1] - start[1])
        length = (along[0] ** 2 + along[1] ** 2) ** 0.5
        if length == 0:
            return
        x, y = along[0] / length * _HEAD, along[1] / length * _HEAD
        back = (end[0] - x, end[1] - y)
        left, right = (back[0] - y / 3, back[1] + x / 3), (back[0] + y / 3, back[1] - x / 3)
        self.area([end, left, right], ink, width=0.5, fill=True)

    def across(
        self,
        left: float,
        right: float,
        at: float,
        text: str,
        prefer: str = "nsew",
        *,
        ink: Ink = "pencil",
        mark: str | None = None,
    ) -> None:
        """A level dimension at height `at`: ticks at both ends, arrows, its number where there is room."""
        for x in (left, right):
            self.line([(x, at - _TICK), (x, at + _TICK)], ink, THIN)
        self._between((left, at), (right, at), ink, mark)
        self.label(text, ((left + right) / 2, at), prefer, gap=4, reach=(right - left) / 2)

    def upright(
        self,
        bottom: float,
        top: float,
        at: float,
        text: str,
        prefer: str = "ewns",
        *,
        ink: Ink = "pencil",
        mark: str | None = None,
    ) -> None:
        """An upright dimension at `at` from the left, drawn as `across` draws."""
        for y in (bottom, top):
            self.line([(at - _TICK, y), (at + _TICK, y)], ink, THIN)
        self._between((at, bottom), (at, top), ink, mark)
        self.label(text, (at, (bottom + top) / 2), prefer, gap=5, lift=(top - bottom) / 2)

    def _between(self, start: Point, end: Point, ink: Ink, mark: str | None) -> None:
        """The line of a dimension; where it is too short for arrows, they point in from outside."""
        self.line([start, end], ink, THIN, mark=mark)
        length = abs(end[0] - start[0]) + abs(end[1] - start[1])
        if length >= 3 * _HEAD:
            self._head(start, end, ink)
            self._head(end, start, ink)
            return
        step = [(b > a) - (b < a) for a, b in zip(start, end, strict=True)]
        for tip, side in ((start, -1), (end, 1)):
            tail = (tip[0] + side * step[0] * 14, tip[1] + side * step[1] * 14)
            self.arrow(tail, tip, ink)

    def fold(self, text: str, width: float, size: float = SIZE) -> list[str]:
        """The text in lines that are no wider than `width`, cut between words."""
        lines = [""]
        for word in text.split(" "):
            longer = f"{lines[-1]} {word}".strip()
            if lines[-1] and self.measure(longer, size) > width:
                lines.append(word)
            else:
                lines[-1] = longer
        return lines

    def write(
        self,
        text: str,
        at: Point,
        align: str = "center",
        *,
        size: float = SIZE,
        face: str = "words",
        ink: Ink = "ink",
        bold: bool = False,
    ) -> Box:
        """A text of one line, its middle height at `at`, with its left, center or right there."""
        wide = self.measure(text, size, face, bold)
        left = at[0] - {"left": 0.0, "center": wide / 2, "right": wide}[align]
        left = min(max(left, MARGIN), WIDTH - MARGIN - wide)
        box = Box(left, at[1] - size * 0.5, left + wide, at[1] + size * 0.5)
        # Anchored where it was aligned, so that a narrower font of the reader's stays in place.
        x = {"left": box.left, "center": (box.left + box.right) / 2, "right": box.right}[align]
        self.put_text(text, (x, box.bottom + size * 0.14), align, size=size, face=face, ink=ink, bold=bold)
        self.texts.append((box, text))
        self._reach(box.bottom - 2, box.top + 2)
        self.taken.append(box)
        return box

    def lines(self, text: str, at: Point, width: float, align: str = "left", **how: Any) -> float:
        """A text folded to a width, its first line at `at`; gives the height of the next line's middle."""
        x, y = at
        for line in self.fold(text, width, how.get("size", SIZE)):
            self.write(line, (x, y), align, **how)
            y -= how.get("size", SIZE) * LEADING
        return y

    def label(
        self,
        text: str,
        at: Point,
        prefer: str = "nsew",
        *,
        gap: float = 5,
        reach: float = 0,
        lift: float = 0,
        face: str = "numbers",
        ink: Ink = "ink",
        bold: bool = False,
    ) -> Box:
        """A text beside a point: on the first preferred side (n, s, e, w) where it is clear, else where it is clearest.

        reach, lift: half the width and height of what stands at the point, for sides east and west, north and south
        """
        wide, high = self.measure(text, SIZE, face, bold), SIZE
        room = (wide, high, reach, lift)
        places = [self._place(side, at, gap + more, room) for side in prefer for more in (0, 14)]
        crowds = [self._crowded(box) for box in places]
        clear = [box for box, crowd in zip(places, crowds, strict=True) if crowd <= 0.5]
        # Where none is clear, an earlier side may be a little more crowded than a later one.
        ranked = [(crowd + 5 * rank, rank) for rank, crowd in enumerate(crowds)]
        best = clear[0] if clear else places[min(ranked)[1]]
        middle = ((best.left + best.right) / 2, (best.bottom + best.top) / 2)
        return self.write(text, middle, face=face, ink=ink, bold=bold)

    def _place(self, side: str, at: Point, gap: float, room: tuple[float, float, float, float]) -> Box:
        """The room of a label on one side of a point, pushed back onto the sheet."""
        wide, high, reach, lift = room
        x = at[0] + {"n": 0, "s": 0, "e": reach + gap + wide / 2, "w": -reach - gap - wide / 2}[side]
        y = at[1] + {"n": lift + gap + high / 2, "s": -lift - gap - high / 2, "e": 0, "w": 0}[side]
        x = min(max(x, MARGIN + wide / 2), WIDTH - MARGIN - wide / 2)
        y = min(max(y, MARGIN + high / 2), self.height - MARGIN - high / 2)
        return Box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)

    def _crowded(self, box: Box) -> float:
        grown = Box(box.left - 2, box.bottom - 1, box.right + 2, box.top + 1)
        lines = sum(grown.left < x < grown.right and grown.bottom < y < grown.top for x, y in self._strokes)
        return 20 * sum(grown.overlap(other) for other in self.taken) + 2 * lines

    def _drawn(self, points: Sequence[Point]) -> None:
        """Remember a line, point by point, so that labels keep off it."""
        for (x, y), (to_x, to_y) in pairwise(points):
            steps = min(1 + int(hypot(to_x - x, to_y - y) / 3), 400)
            self._strokes += [
                (x + (to_x - x) * i / steps, y + (to_y - y) * i / steps) for i in range(steps + 1)
            ]
        heights = [y for _, y in points]
        self._reach(min(heights) - 2, max(heights) + 2)

    def _reach(self, low: float, high: float) -> None:
        self._lowest, self._highest = min(self._lowest, low), max(self._highest, high)

    def trim(self) -> tuple[float, float]:
        """Cut the sheet to what is drawn, top and bottom; gives the heights of both edges."""
        return self._lowest - MARGIN, self._highest + MARGIN

    def keep_clear(self, left: float, bottom: float, right: float, top: float) -> None:
        """Labels placed later avoid this room."""
        self.taken.append(Box(left, bottom, right, top))

    def ground(self, y: float, left: float = 0, right: float = WIDTH, hatch: bool = True) -> None:
        """The floor: a line, ruled below."""
        self.line([(left, y), (right, y)], "ink", LINE)
        x = left + 4
        while hatch and x < right - 2:
            self.put_line([(x, y), (x - 5, y - 6)], "rule", THIN, dash=False, mark=None)
            x += 9

    def person(self, x: float, ground: float, scale: float, height: float = PERSON) -> None:
        """Somebody 1.75 m tall for scale; scale: drawing units a metre."""
        tall = height * scale
        head = tall * 0.075
        self.circle((x, ground + tall - head), head, "pencil", width=THIN)
        self.line([(x, ground + tall - 2 * head), (x, ground + tall * 0.47)], "pencil", LINE)
        for side in (-1, 1):
            self.line([(x, ground + tall * 0.47), (x + side * tall * 0.08, ground)], "pencil", LINE)
            self.line(
                [(x, ground + tall * 0.8), (x + side * tall * 0.11, ground + tall * 0.5)], "pencil", LINE
            )
        self.keep_clear(x - tall * 0.11, ground, x + tall * 0.11, ground + tall)
