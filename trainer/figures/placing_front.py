"""The places of a pair that nothing beats: error against sun and against light, with today's place among them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given, Point, Words
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.quantities.units import unit
from trainer.quantities.writing import write_number, write_quantity

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0
Counts = Literal["sun", "margin"]
_PANEL = 218.0
_FOOT = 40.0
_ROOM = 26.0  # between two points that both carry their number
_UP: dict[Counts, Words] = {
    "sun": ("minutes of sun a year", "minutos de sol al año"),
    "margin": ("light left over what is needed", "luz que queda entre la necesaria"),
}


@dataclass(frozen=True)
class FrontPoint:
    """What a placement gives: error [m], minutes of sun a year, light over the least that is needed."""

    error: float
    sun: float
    margin: float


@dataclass(frozen=True)
class FrontPlane:
    """What nothing beats, numbered from 1 as given.

    present: today's; its error is infinite where it is out of the question; chosen: number of the recommended one, 0
    for today's, None for none
    error_name: what the error is
    """

    points: tuple[FrontPoint, ...]
    present: FrontPoint
    chosen: int | None
    error_name: Words

    @property
    def panels(self) -> tuple[Counts, ...]:
        """What is drawn against the error: the sun where there is any, the light where it differs; never nothing."""
        shown = [*self.points, self.present]
        sun = any(one.sun for one in shown)
        light = len({one.margin for one in shown}) > 1
        return (*(("sun",) if sun else ()), *(("margin",) if light or not sun else ()))

    @property
    def height(self) -> float:
        """A panel for each."""
        return _FOOT + _PANEL * len(self.panels)

    def draw(self, paper: Paper, n: Given) -> None:
        """A frame for each panel, a dot for each point, today's as a cross, a ring around the recommended one."""
        for at, counts in enumerate(reversed(self.panels)):
            self._panel(paper, n, counts, _FOOT + _PANEL * at)
        paper.write(f"× {n.say('now', 'ahora')}", (8, 10), "left")
        if self.chosen is not None:
            paper.write(f"○ {n.say('recommended', 'recomendado')}", (WIDTH - 8, 10), "right")

    def _panel(self, paper: Paper, n: Given, counts: Counts, foot: float) -> None:
        shown = [*self.points, *([self.present] if math.isfinite(self.present.error) else [])]
        values = [_value(one, counts) for one in shown]
        most_x, most_y = 1.15 * max([one.error for one in shown] + [1e-3]), 1.15 * max([*values, 1e-3])
        frame = Frame(58, foot + 46, WIDTH - 20, foot + _PANEL - 34, most_x, most_y)
        frame.draw(paper, n.say(*self.error_name), n.say(*_UP[counts]))
        for value in _apart(sorted({0.0, *values}), 0.12 * most_y):
            frame.level(paper, value, _said(value, counts, n))
        for error in _apart(sorted({0.0, *(one.error for one in shown)}), 0.27 * most_x):
            paper.line([(frame.x(error), frame.bottom), (frame.x(error), frame.bottom - 4)], "ink", THIN)
            paper.write(n.tape(error), (frame.x(error), frame.bottom - 13), face="numbers")
        for number, one in enumerate(self.points, 1):
            at = frame.at(one.error, _value(one, counts))
            paper.circle(at, 3, fill=True, mark=f"{counts}-{number}")
            if number == self.chosen:
                paper.circle(at, 7, width=HEAVY, mark=f"{counts}-chosen")
        if math.isfinite(self.present.error):
            self._today(paper, frame.at(self.present.error, _value(self.present, counts)), counts)
        self._number(paper, [frame.at(one.error, _value(one, counts)) for one in self.points])

    def _number(self, paper: Paper, places: list[Point]) -> None:
        """Numbers beside the points: the recommended one's, the first's, and where there is room for more."""
        order = sorted(range(len(places)), key=lambda i: (i + 1 != self.chosen, i))
        numbered: list[Point] = []
        for i in order:
            if all(math.dist(places[i], other) >= _ROOM for other in numbered):
                numbered.append(places[i])
                paper.label(str(i + 1), places[i], "nesw", gap=7, bold=i + 1 == self.chosen)

    def _today(self, paper: Paper, at: Point, counts: Counts) -> None:
        x, y = at
        paper.line([(x - 6, y - 6), (x + 6, y + 6)], "ink", LINE, mark=f"{counts}-present")
        paper.line([(x - 6, y + 6), (x + 6, y - 6)], "ink", LINE)
        if self.chosen == 0:
            paper.circle(at, 9, width=HEAVY, mark=f"{counts}-chosen")

    def words(self, n: Given) -> Description:
        """The same in words."""
        title = n.say("Places that nothing beats", "Lugares que nada supera")
        name = n.say(*self.error_name)
        each = "; ".join(f"{number}: {_point(one, n)}" for number, one in enumerate(self.points, 1))
        if math.isfinite(self.present.error):
            now = n.say(f"Now: {_point(self.present, n)}.", f"Ahora: {_point(self.present, n)}.")
        else:
            now = n.say(
                "As it stands now it does not do its work and has no place here.",
                "Como está ahora no cumple y no tiene lugar aquí.",
            )
        text = n.say(
            f"To the right: {name}. Each place with its error, its minutes of sun a year and its light over what is "
            f"needed. {each}. {now}",
            f"Hacia la derecha: {name}. Cada lugar con su error, sus minutos de sol al año y su luz entre la "
            f"necesaria. {each}. {now}",
        )
        if self.chosen:
            text += n.say(f" Recommended: {self.chosen}.", f" Recomendado: {self.chosen}.")
        elif self.chosen == 0:
            text += n.say(" Recommended: as it is now.", " Recomendado: como está ahora.")
        return Description(title, text)


def _value(one: FrontPoint, counts: Counts) -> float:
    return one.sun if counts == "sun" else one.margin


def _said(value: float, counts: Counts, n: Given) -> str:
    if counts == "sun":
        return write_number(round(value), n.language)
    return write_quantity(round(value, 2), unit("x"), n.language)


def _point(one: FrontPoint, n: Given) -> str:
    return f"{n.tape(one.error)}, {_said(one.sun, 'sun', n)} min, {_said(one.margin, 'margin', n)}"


def _apart(values: list[float], gap: float) -> list[float]:
    """Of values in order, those whose numbers have room: the first, the last, and what is a gap away from all kept."""
    kept = values[:1]
    for value in values[1:]:
        last = value == values[-1]
        if last and len(kept) > 1 and value - kept[-1] < gap:
            kept.pop()
        if value - kept[-1] >= gap:
            kept.append(value)
    return kept
