"""The bay seen from behind a car, to scale: walls, where the heads may hang, the beam, a vehicle where it may stand."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from trainer.benches.beam.playing import PLACE
from trainer.benches.beam.task import Placed, Task
from trainer.figures.given import Point
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.live import Live, LivePaper, Pull
from trainer.figures.paper import WIDTH
from trainer.figures.shapes import head
from trainer.figures.survey_bay import from_behind
from trainer.quantities.units import partner, unit
from trainer.sites.said import Said
from trainer.sites.sheet import SIDES, NamedBody, Side
from trainer.sites.survey.reader import Reader

_GROUND = 58.0
_BAY, _TALL = 196.0, 150.0  # at most so wide and so tall
_BEHIND = 16.0  # from a lens back to its wall
_SHORT: dict[Side, Said] = {"driver": Said("driver", "conductor"), "passenger": Said("passenger", "pasajero")}


@dataclass(frozen=True)
class EndView:
    """The pair as it is placed, and a vehicle in the middle of the lane; best: another placement, drawn beside it."""

    task: Task
    placed: Placed
    vehicle: NamedBody
    reader: Reader
    best: Placed | None = None

    def drawn(self, name: str) -> Live:
        """The view, with heads to pull unless it compares two placements."""
        paper = LivePaper(_GROUND + _TALL + 40, name)
        self._vehicle(paper)
        for side in SIDES:
            self._side(paper, side)
        if self.best is None:
            self._to_pull(paper)
        else:
            self._compared(paper, self.best)
        self._below(paper)
        title = self.reader.say("The bay from behind a car", "La bahía vista desde atrás de un carro")
        return paper.finish(title, self._words())

    @cached_property
    def _scale(self) -> float:
        """Drawing units a metre."""
        bodies = [one.body.height for one in self.task.vehicles]
        tallest = max(self.task.driver.high, self.task.passenger.high, *bodies)
        return min(_BAY / self.task.sheet.bay.width, _TALL / tallest)

    def _x(self, y: float) -> float:
        """Across: the driver's side, positive, on the left, as one sits in a car."""
        return WIDTH / 2 - y * self._scale

    def _up(self, height: float) -> float:
        return _GROUND + height * self._scale

    def _lens(self, placed: Placed, side: Side) -> Point:
        sign = 1 if side == "driver" else -1
        return self._x(sign * self.task.sheet.bay.width / 2), self._up(getattr(placed, side))

    def _vehicle(self, paper: LivePaper) -> None:
        left, right = (self._lens(self.placed, side)[0] for side in SIDES)
        paper.ground(_GROUND, left, right)
        body, reach = self.vehicle.body, self.task.sheet.bay.lane_offset
        for shift in (-reach, reach) if reach else ():
            outline = [(self._x(y + shift), self._up(z)) for y, z in from_behind(body)]
            paper.line([*outline, outline[0]], "rule", THIN)
        paper.area(
            [(self._x(y), self._up(z)) for y, z in from_behind(body)], "pencil", hatch="//", width=THIN
        )

    def _side(self, paper: LivePaper, side: Side) -> None:
        """A wall with its opening, what takes room from below, and from where to where the head may hang."""
        outward = -1 if side == "driver" else 1
        lens, room = self._lens(self.placed, side)[0], self.task.room(side)
        wall = lens + outward * _BEHIND
        for bottom, end in self._solid(side):
            paper.area(_corners(wall, wall + outward * 5, bottom, end), "ink", hatch="///", width=THIN)
        if room.low > min(self.task.driver.low, self.task.passenger.low):
            block = _corners(lens - outward * 6, wall, _GROUND, self._up(room.low) - 8)
            paper.area(block, "ink", hatch="///", width=LINE)
        self._room(paper, side, wall + outward * 9)

    def _solid(self, side: Side) -> list[Point]:
        """From where to where upwards a wall is closed [drawing units]."""
        top, opening = _GROUND + _TALL + 14, self.task.wall(side)
        if opening is None:
            return [(_GROUND, top)]
        parts = (_GROUND, self._up(opening.sill)), (self._up(opening.head), top)
        return [part for part in parts if part[1] - part[0] > 1]

    def _room(self, paper: LivePaper, side: Side, at: float) -> None:
        """A line from the lowest to the highest place of a lens, with both numbers."""
        room = self.task.room(side)
        low, high = self._up(room.low), self._up(room.high)
        paper.line([(at, low), (at, high)], "pencil", LINE)
        out, align = (-4, "right") if side == "driver" else (4, "left")
        for y, height, nudge in ((low, room.low, -1), (high, room.high, 1)):
            paper.line([(at - 4, y), (at + 4, y)], "pencil", LINE)
            # In words' letters, which are narrower: "48 pulg" has to stand between the edge and the line.
            paper.write(self.reader.tape(height), (at + out * 1.75, y + 5 * nudge), align, ink="pencil")

    def _to_pull(self, paper: LivePaper) -> None:
        """The beam, tied to both heads, which can be pulled up and down."""
        ends = (self._lens(self.placed, "driver"), self._lens(self.placed, "passenger"))
        paper.tied(ends, ("driver", "passenger"), "beam", HEAVY, mark="beam")
        shown = partner(unit("in"), self.reader.system).factor
        for side, lens in zip(SIDES, ends, strict=True):
            with paper.handle(PLACE, lens, y=Pull(side, self._scale * shown), name=side):
                head(paper, lens, 1 if side == "driver" else -1, mark=side)

    def _compared(self, paper: LivePaper, best: Placed) -> None:
        """Yours dashed, the best solid, each with its number on its line."""
        paper.line([self._lens(best, side) for side in SIDES], "beam", HEAVY, mark="best")
        paper.line([self._lens(self.placed, side) for side in SIDES], "ink", LINE, dash=True, mark="yours")
        for side, toward in zip(SIDES, (1, -1), strict=True):
            head(paper, self._lens(best, side), toward)
            paper.circle(self._lens(self.placed, side), 4, width=LINE)

    def _below(self, paper: LivePaper) -> None:
        """Under each head: its side, what it is, how high its lens is."""
        for side, x, align in zip(SIDES, (6.0, WIDTH - 6), ("left", "right"), strict=True):
            name = self.reader.said(_SHORT[side])
            paper.write(f"{name}: {self._role(self.placed, side)}", (x, _GROUND - 20), align)
            height = self.reader.tape(getattr(self.placed, side))
            paper.write(height, (x, _GROUND - 36), align, face="numbers", bold=True)
        if self.best is not None:
            for side, x, align in zip(SIDES, (6.0, WIDTH - 6), ("left", "right"), strict=True):
                paper.write(
                    self.reader.tape(getattr(self.best, side)),
                    (x, _GROUND - 52),
                    align,
                    face="numbers",
                    ink="beam",
                )
            paper.write(self.reader.say("yours (dashed)", "el tuyo (punteado)"), (WIDTH / 2, _GROUND - 36))
            paper.write(self.reader.say("the best", "el mejor"), (WIDTH / 2, _GROUND - 52), ink="beam")

    def _role(self, placed: Placed, side: Side) -> str:
        if placed.receiver == side:
            return self.reader.say("receiver", "receptor")
        return self.reader.say("emitter", "emisor")

    def _words(self) -> str:
        to, placed = self.reader, self.placed
        text = to.say(
            f"The bay, {to.write(self.task.sheet.bay.width, 'ft')} wide, with a "
            f"{self.vehicle.name['en']} in the middle. "
            f"The beam runs from {to.tape(placed.driver)} on the driver's side to {to.tape(placed.passenger)} on the "
            "passenger's side.",
            f"La bahía, de {to.write(self.task.sheet.bay.width, 'ft')} de ancho, con este vehículo en medio: "
            f"{self.vehicle.name['es']}. El haz va de {to.tape(placed.driver)} del lado del conductor a "
            f"{to.tape(placed.passenger)} del lado del pasajero.",
        )
        if self.best is None:
            return text
        driver, passenger = to.tape(self.best.driver), to.tape(self.best.passenger)
        return text + to.say(f" The best: {driver} and {passenger}.", f" El mejor: {driver} y {passenger}.")


def _corners(left: float, right: float, bottom: float, top: float) -> list[Point]:
    return [(left, bottom), (right, bottom), (right, top), (left, top)]
