"""Charts of a survey: which delays fit, how the signal falls step by step, what adds up to the length error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given, Point, Words
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.marks import Align
from trainer.quantities.dimensions import PLAIN, TIME
from trainer.quantities.units import unit
from trainer.quantities.writing import write_quantity

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0
_LEAST_GAIN = 1e-3
_NOTHING: Words = ("No pair of delays meets every demand.", "Ningún par de retardos cumple todo.")


@dataclass(frozen=True)
class DelayRegion:
    """On-delay and off-delay that meet every demand [s].

    region: corners (on-delay, off-delay) of what is allowed; none where nothing is
    present: as set now; recommended: what to set, None where nothing fits
    """

    region: tuple[Point, ...]
    present: Point
    recommended: Point | None
    height: float = 290

    def draw(self, paper: Paper, n: Given) -> None:
        """The region hatched, the present setting as a cross, the recommended one as a ring."""
        settings = [self.present, *([self.recommended] if self.recommended else [])]
        known = [point for point in (*self.region, *settings) if all(map(math.isfinite, point))]
        most_on = 1.2 * max([x for x, _ in known] + [0.1])
        most_off = 1.2 * max([y for _, y in known] + [0.1])
        frame = Frame(66, 84, 330, 248, most_on, most_off)
        frame.draw(paper, n.say("on-delay", "retardo a la conexión"), _off_delay(n), below=40)
        self._ends(paper, n, frame)
        if self.region:
            paper.area([frame.at(*point) for point in self.region], "ink", hatch="///", mark="region")
        _cross(paper, frame.at(*self.present))
        if self.recommended is not None:
            paper.circle(frame.at(*self.recommended), 7, width=HEAVY, mark="recommended")
        self._legend(paper, n)

    def _ends(self, paper: Paper, n: Given, frame: Frame) -> None:
        """The region's ends on the axes; where it has none, the present setting's."""
        corners = self.region or (self.present,)
        across = sorted({min(on for on, _ in corners), max(on for on, _ in corners)})
        for value, (at, align) in zip(across, _feet(frame, across), strict=True):
            x = frame.x(value)
            paper.line([(x, frame.bottom), (x, frame.bottom - 5)], "ink", THIN)
            paper.write(_seconds(value, n), (at, frame.bottom - 16), align, face="numbers")
        upwards = sorted({min(off for _, off in corners), max(off for _, off in corners)})
        lowest = frame.bottom
        for value in upwards:
            y = frame.y(value)
            paper.line([(frame.left, y), (frame.left - 5, y)], "ink", THIN)
            paper.write(_seconds(value, n), (frame.left - 8, max(y, lowest)), "right", face="numbers")
            lowest = max(y, lowest) + 15

    def _legend(self, paper: Paper, n: Given) -> None:
        if not self.region:
            paper.write(n.say(*_NOTHING), (WIDTH / 2, 26), bold=True)
        now = f"× {n.say('now', 'ahora')} {_pair(self.present, n)}"
        paper.write(now, (8, 10), "left", face="numbers")
        if self.recommended is not None:
            there = f"○ {n.say('set', 'pon')} {_pair(self.recommended, n)}"
            paper.write(there, (WIDTH - 8, 10), "right", face="numbers")

    def words(self, n: Given) -> Description:
        """The same in words."""
        text = n.say(
            f"On-delay to the right, off-delay upwards. Set now: {_pair(self.present, n)}.",
            f"Retardo a la conexión hacia la derecha, a la desconexión hacia arriba. Ahora: {_pair(self.present, n)}.",
        )
        if not self.region:
            text += " " + n.say(*_NOTHING)
        else:
            (on_least, on_most), (off_least, off_most) = (
                (_seconds(min(ends), n), _seconds(max(ends), n)) for ends in zip(*self.region, strict=True)
            )
            text += n.say(
                f" Hatched is what fits: on-delay {on_least} to {on_most}, off-delay {off_least} to {off_most}.",
                f" Rayado está lo que sirve: a la conexión de {on_least} a {on_most}, a la desconexión de "
                f"{off_least} a {off_most}.",
            )
        if self.recommended is not None:
            text += n.say(f" Set {_pair(self.recommended, n)}.", f" Pon {_pair(self.recommended, n)}.")
        return Description(n.say("Delays that fit", "Retardos que sirven"), text)


def _feet(frame: Frame, across: list[float]) -> list[tuple[float, Align]]:
    """Where the numbers of two ends stand: under their ends, or away from each other where these are close."""
    places = [frame.x(value) for value in across]
    if len(places) == 2 and places[1] - places[0] < 64:
        middle = sum(places) / 2
        return [(middle - 5, "right"), (middle + 5, "left")]
    return [(x, "center") for x in places]


def _off_delay(n: Given) -> str:
    return n.say("off-delay", "retardo a la desconexión")


def _seconds(value: float, n: Given) -> str:
    return n.write(value, TIME, "s", 2)


def _pair(point: Point, n: Given) -> str:
    return f"{_seconds(point[0], n)} / {_seconds(point[1], n)}"


def _cross(paper: Paper, at: Point) -> None:
    x, y = at
    paper.line([(x - 6, y - 6), (x + 6, y + 6)], "ink", HEAVY, mark="present")
    paper.line([(x - 6, y + 6), (x + 6, y - 6)], "ink", HEAVY)


@dataclass(frozen=True)
class Step:
    """One step of a budget: what it is, the excess gain left after it, and what must be left there if anything must."""

    name: Words
    left: float
    required: float | None = None

    @property
    def enough(self) -> bool:
        """Whether as much is left as must be."""
        return self.required is None or self.left >= self.required


@dataclass(frozen=True)
class SignalStaircase:
    """How an excess gain falls, step by step, on a scale of powers of ten, against what must be left."""

    steps: tuple[Step, ...]

    @property
    def height(self) -> float:
        """A row a step."""
        return 80 + 44.0 * len(self.steps)

    def draw(self, paper: Paper, n: Given) -> None:
        """A bar a step, from the top down; what must be left as a dashed upright over its bar."""
        amounts = [amount for step in self.steps for amount in (step.left, step.required or step.left)]
        gains = [max(amount, _LEAST_GAIN) for amount in amounts]
        first = math.floor(math.log10(min([*gains, 1.0]) * 0.99))
        last = math.ceil(math.log10(max([*gains, 10.0]) * 1.01))
        left, right, top = 12.0, 286.0, self.height - 8
        foot = top - 44 * len(self.steps)

        def x(gain: float) -> float:
            return left + (math.log10(max(gain, 10.0**first)) - first) / (last - first) * (right - left)

        for power in range(first, last + 1, 1 + (last - first) // 6):
            paper.line([(x(10.0**power), foot), (x(10.0**power), top)], "rule", THIN)
            paper.label(_times(10.0**power, n), (x(10.0**power), foot), "s", gap=4)
        for i, step in enumerate(self.steps):
            y = top - 44 * i
            paper.write(n.say(*step.name), (left, y - 8), "left")
            paper.box(left, y - 34, x(step.left), y - 18, "beam", hatch="////", mark=f"step-{i}")
            paper.write(_times(step.left, n), (WIDTH - 8, y - 26), "right", face="numbers", bold=True)
            if step.required is not None:
                said = f"{n.say('needs', 'pide')} {_times(step.required, n)}"
                paper.write(said, (WIDTH - 8, y - 8), "right", bold=True)
                at = x(step.required)
                paper.line([(at, y - 40), (at, y - 13)], "ink", HEAVY, dash=True, mark=f"required-{i}")
        paper.write(n.say("excess gain", "ganancia de exceso"), (WIDTH / 2, foot - 30), ink="pencil")

    def words(self, n: Given) -> Description:
        """The same in words."""
        return Description(
            n.say("The signal, step by step", "La señal, paso a paso"),
            n.say("Excess gain after each step: ", "Ganancia de exceso después de cada paso: ")
            + "; ".join(self._step_words(step, n) for step in self.steps)
            + ".",
        )

    def _step_words(self, step: Step, n: Given) -> str:
        said = f"{n.say(*step.name)} {_times(step.left, n)}"
        if step.required is None:
            return said
        needs = n.say("needs", "pide")
        verdict = n.say("enough", "alcanza") if step.enough else n.say("too little", "no alcanza")
        return f"{said} ({needs} {_times(step.required, n)}: {verdict})"


def _times(gain: float, n: Given) -> str:
    """A gain to three figures at most; people set nothing finer."""
    rounded = float(f"{gain:.3g}")
    return write_quantity(rounded, unit("x"), n.language) if rounded >= 0.001 else n.write(0, PLAIN)


@dataclass(frozen=True)
class Share:
    """One part of a length error: the least and greatest it adds [m], measured minus true."""

    name: Words
    least: float
    most: float


@dataclass(frozen=True)
class LengthBudget:
    """What adds up to the error of a counted length; the last bar is their sum."""

    parts: tuple[Share, ...]
    total: Share

    @property
    def height(self) -> float:
        """A row a part."""
        return 70 + 40.0 * (len(self.parts) + 1)

    def draw(self, paper: Paper, n: Given) -> None:
        """A bar a part, from its least to its greatest, about a line at no error."""
        rows = (*self.parts, self.total)
        reach = max([abs(end) for row in rows for end in (row.least, row.most)] + [1e-6])
        middle, half, top = WIDTH / 2, 84.0, self.height - 10
        scale = half / reach
        foot = top - 40 * len(rows)
        for i, row in enumerate(rows):
            y, last = top - 40 * i, row is self.total
            paper.write(n.say(*row.name), (8, y - 10), "left", bold=last)
            low, high = middle + row.least * scale, middle + row.most * scale
            paper.box(
                low, y - 34, max(high, low + 0.5), y - 20, hatch="xxx" if last else "///", mark=f"part-{i}"
            )
            paper.line([(middle, y - 40), (middle, y - 16)], "ink", LINE, mark=f"zero-{i}")
            if row.least != row.most:
                paper.write(_signed(row.least, n), (low - 6, y - 27), "right", face="numbers", bold=last)
            paper.write(
                _signed(row.most, n), (max(high, middle) + 6, y - 27), "left", face="numbers", bold=last
            )
        paper.write(n.say("← too short", "← muy corto"), (middle - 8, foot - 10), "right", ink="pencil")
        paper.write(n.say("too long →", "muy largo →"), (middle + 8, foot - 10), "left", ink="pencil")

    def words(self, n: Given) -> Description:
        """The same in words."""
        parts = "; ".join(_span(row, n) for row in self.parts)
        return Description(
            n.say("What makes the length wrong", "Qué hace fallar el largo"),
            n.say(
                f"Measured minus true length. {parts}. {_span(self.total, n)}.",
                f"Largo medido menos largo real. {parts}. {_span(self.total, n)}.",
            ),
        )


def _span(row: Share, n: Given) -> str:
    ends = dict.fromkeys((_signed(row.least, n), _signed(row.most, n)))
    return f"{n.say(*row.name)}: {n.say(' to ', ' a ').join(ends)}"


def _signed(length: float, n: Given) -> str:
    """A length with its sign, as a tape shows it."""
    said = n.tape(abs(length), 2 if n.system == "us" else 1)
    return said if said.startswith("0\u00a0") else ("−" if length < 0 else "+") + said
