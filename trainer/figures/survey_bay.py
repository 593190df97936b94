"""Drawings of a surveyed bay: the beams across it with a body between them, a body rolling through a beam."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from trainer.figures.given import Description, Given, Point, Words
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.shapes import head, outlined, post
from trainer.solver.beam import Spans
from trainer.solver.bodies import Body

if TYPE_CHECKING:
    from trainer.figures.paper import Paper

WIDTH = 360.0
_APART = 15.0  # between two labels on one side of the bay
# Where the floor lies under a body that rolls past, and where its tail is.
_GROUND, _TAIL = 120.0, 76.0


@dataclass(frozen=True)
class BeamAcross:
    """One pair seen along the conveyor: its name, and its lens's height on each side of the bay [m]."""

    name: Words
    driver: float
    passenger: float


@dataclass(frozen=True)
class EndView:
    """The bay seen from behind a car, the driver's side on the left.

    width: of the bay [m]; lane_offset: how far off the center line a car may stand, either way [m]
    """

    width: float
    lane_offset: float
    beams: tuple[BeamAcross, ...]
    body: Body
    body_name: Words
    height: float = 270

    def draw(self, paper: Paper, n: Given) -> None:
        """The floor, the body in the middle and where it may stand, each beam with its two heights."""
        lenses = [height for beam in self.beams for height in (beam.driver, beam.passenger)]
        scale = min(190 / self.width, 150 / max(self.body.height, *lenses))
        left, ground = (WIDTH - self.width * scale) / 2, 76.0
        self._body(paper, ground, scale)
        self._lane(paper, n, ground, scale)
        for i, beam in enumerate(self.beams, 1):
            ends = _ends(beam, left, self.width * scale, ground, scale)
            paper.line(ends, "beam", HEAVY, mark=f"beam-{i}")
            for toward, lens in zip((1, -1), ends, strict=True):
                post(paper, lens[0] - toward * 14, ground, lens[1] + 6)
                head(paper, lens, toward)
        self._heights(paper, n, left, ground, scale)
        self._numbers(paper, left, ground, scale)
        paper.across(left, left + self.width * scale, 30, n.length(self.width), "s", mark="width")
        paper.write(n.say("driver", "conductor"), (left, 52), ink="pencil")
        paper.write(n.say("passenger", "pasajero"), (left + self.width * scale, 52), ink="pencil")

    def _body(self, paper: Paper, ground: float, scale: float) -> None:
        middle = WIDTH / 2
        paper.ground(ground)
        for shift in (-self.lane_offset, self.lane_offset):
            shifted = [(middle + (y + shift) * scale, ground + z * scale) for y, z in from_behind(self.body)]
            paper.line([*shifted, shifted[0]], "pencil", THIN, dash=True)
        standing = [(middle + y * scale, ground + z * scale) for y, z in from_behind(self.body)]
        paper.area(standing, "pencil", hatch="//", mark="body")

    def _lane(self, paper: Paper, n: Given, ground: float, scale: float) -> None:
        """The center line, and how far the body may stand off it."""
        middle = WIDTH / 2
        side, top = self.body.width / 2 * scale, ground + self.body.height * scale + 16
        if self.lane_offset:
            said = f"± {n.tape(self.lane_offset)}"
            paper.across(
                middle + side, middle + side + self.lane_offset * scale, top, said, "nes", mark="offset"
            )

    def _heights(self, paper: Paper, n: Given, left: float, ground: float, scale: float) -> None:
        """Each lens's height outside the bay, once where several stand at one height."""
        sides = (("driver", left - 20, "right"), ("passenger", left + self.width * scale + 20, "left"))
        for side, at, align in sides:
            lenses = {
                n.tape(getattr(beam, side)): ground + getattr(beam, side) * scale for beam in self.beams
            }
            rising = sorted(lenses, key=lambda said: lenses[said])
            for said, y in zip(rising, spread(list(lenses.values())), strict=True):
                paper.write(said, (at, y), align, face="numbers")

    def _numbers(self, paper: Paper, left: float, ground: float, scale: float) -> None:
        """Each beam's number over its start on the driver's side; beams that coincide share the place."""
        places: dict[tuple[float, float], list[str]] = {}
        for i, beam in enumerate(self.beams, 1):
            places.setdefault((beam.driver, beam.passenger), []).append(str(i))
        rising = sorted(places)
        wanted = [ground + (driver + (passenger - driver) * 0.1) * scale + 10 for driver, passenger in rising]
        for place, y in zip(rising, _stacked(wanted), strict=True):
            paper.write(",".join(places[place]), (left + 6, y), "left", bold=True)

    def words(self, n: Given) -> Description:
        """The same in words."""
        beams = " ".join(
            n.say(
                f"{i}, {beam.name[0]}: lens {n.tape(beam.driver)} above the floor on the driver's side, "
                f"{n.tape(beam.passenger)} on the passenger's side.",
                f"{i}, {beam.name[1]}: lente a {n.tape(beam.driver)} del piso del lado del conductor y a "
                f"{n.tape(beam.passenger)} del lado del pasajero.",
            )
            for i, beam in enumerate(self.beams, 1)
        )
        return Description(
            n.say("Your beams across the bay", "Tus haces a lo ancho de la bahía"),
            n.say(
                f"The bay seen from behind a car, {n.length(self.width)} wide. In it stands a body, "
                f"{self.body_name[0]}; dashed, where it stands {n.tape(self.lane_offset)} off the middle. {beams}",
                f"La bahía vista desde atrás de un carro, de {n.length(self.width)} de ancho. Adentro hay un "
                f"vehículo, {self.body_name[1]}; punteado, cuando está a {n.tape(self.lane_offset)} del centro. "
                f"{beams}",
            ),
        )


def _ends(beam: BeamAcross, left: float, wide: float, ground: float, scale: float) -> list[Point]:
    return [(left, ground + beam.driver * scale), (left + wide, ground + beam.passenger * scale)]


def from_behind(body: Body) -> list[Point]:
    """A body's outline seen along the conveyor: its underside left to right, its top back again [y, z in m]."""
    blocks = {
        (one.from_y, one.to_y, min(z for _, z in one.profile), max(z for _, z in one.profile))
        for one in body.pieces
    }
    cuts = sorted({edge for block in blocks for edge in block[:2]})
    lower: list[Point] = []
    upper: list[Point] = []
    for start, end in pairwise(cuts):
        here = [block for block in blocks if block[0] <= start and end <= block[1]]
        low, high = min(one[2] for one in here), max(one[3] for one in here)
        lower += [(start, low), (end, low)]
        upper += [(start, high), (end, high)]
    return lower + upper[::-1]


def spread(wanted: list[float], apart: float = _APART) -> list[float]:
    """Heights of labels, lowest first, near where they are wanted and at least so far apart."""
    placed = _stacked(sorted(wanted), apart)
    # Pushed up only, the top ones would drift: half of the push goes down again.
    push = max((y - w for y, w in zip(placed, sorted(wanted), strict=True)), default=0.0) / 2
    return [y - push for y in placed]


def _stacked(wanted: list[float], apart: float = _APART) -> list[float]:
    """Heights in the same order, each no lower than wanted and clear of the one before."""
    placed: list[float] = []
    for height in wanted:
        placed.append(max(height, placed[-1] + apart) if placed else height)
    return placed


@dataclass(frozen=True)
class SideView:
    """A body that rolls to the right through one beam, and where the beam is blocked.

    beam_low, beam_high: least and greatest height of the beam where a body may stand [m]
    blocked: where it is blocked, as distances behind the true nose [m]
    nose_error, tail_error: how late the eye sees the nose, and how late it lets go of the tail [m]; NaN where unseen
    """

    body: Body
    body_name: Words
    beam_low: float
    beam_high: float
    blocked: Spans
    nose_error: float
    tail_error: float
    height: float = 260

    def draw(self, paper: Paper, n: Given) -> None:
        """The body over its trace, with the two errors."""
        scale = min(258 / self.body.length, 132 / max(self.body.height, self.beam_high))
        ground, tail = _GROUND, _TAIL
        nose = tail + self.body.length * scale
        paper.ground(ground)
        outlined(paper, self.body, (nose, ground), scale)
        for i, y in enumerate((self.beam_low, self.beam_high)):
            paper.line(
                [(44, ground + y * scale), (nose + 20, ground + y * scale)], "beam", LINE, mark=f"beam-{i}"
            )
        self._beam_height(paper, n, ground, scale)
        paper.write(
            n.say(*self.body_name), ((tail + nose) / 2, ground + self.body.height * scale + 14), ink="pencil"
        )
        self._trace(paper, n, nose, scale)

    def _beam_height(self, paper: Paper, n: Given, ground: float, scale: float) -> None:
        highest = ground + self.beam_high * scale
        for y in (ground, highest):
            paper.line([(31, y), (41, y)], "pencil", THIN)
        paper.line([(36, ground), (36, highest)], "pencil", THIN, mark="beam-height")
        said = [n.tape(self.beam_high)]
        if round(self.beam_high - self.beam_low, 4):
            said = [n.tape(self.beam_low), *said]
        for i, text in enumerate(said[::-1]):
            paper.write(text, (4, highest + 14 + 14 * (len(said) - 1 - i)), "left", face="numbers")

    def _trace(self, paper: Paper, n: Given, nose: float, scale: float) -> None:
        base, top = _GROUND - 42, _GROUND - 26
        tail = nose - self.body.length * scale
        for x in (tail, nose):
            paper.line([(x, _GROUND), (x, base - 26)], "pencil", THIN, dash=True)
        paper.line([(44, base), (nose + 20, base)], "ink", LINE)
        for i, (first, last) in enumerate(self.blocked):
            paper.box(
                nose - last * scale,
                base,
                nose - first * scale,
                top,
                "beam",
                hatch="////",
                mark=f"blocked-{i}",
            )
        if not self.blocked:
            paper.write(
                n.say("the beam stays clear", "el haz queda libre"), ((tail + nose) / 2, base - 16), bold=True
            )
            return
        first, last = self.blocked[0][0], self.blocked[-1][1]
        self._error(paper, n, (nose, nose - first * scale), self.nose_error, "nose")
        self._error(paper, n, (tail, nose - last * scale), self.tail_error, "tail")
        legend = n.say("hatched: beam blocked, car in the middle", "rayado: haz cortado, carro al centro")
        paper.write(legend, (WIDTH / 2, 8), ink="pencil")

    def _error(self, paper: Paper, n: Given, ends: Point, error: float, mark: str) -> None:
        paper.across(min(ends), max(ends), _GROUND - 64, _late(error, n), "s", mark=mark)

    def words(self, n: Given) -> Description:
        """The same in words."""
        between = n.tape(self.beam_low)
        if round(self.beam_high - self.beam_low, 4):
            between += f"{n.say(' to ', ' a ')}{n.tape(self.beam_high)}"
        return Description(
            n.say(f"How the beam sees {self.body_name[0]}", f"Cómo ve el haz a {self.body_name[1]}"),
            n.say(
                f"{self.body_name[0].capitalize()} from the side, nose to the right, rolling through a beam "
                f"{between} above the floor. ",
                f"{self.body_name[1].capitalize()} de lado, con la trompa a la derecha, pasa por un haz a "
                f"{between} del piso. ",
            )
            + self._seen_words(n),
        )

    def _seen_words(self, n: Given) -> str:
        if not self.blocked:
            return n.say("The beam stays clear: the eye does not see it.", "El haz queda libre: no lo ve.")
        spans = "; ".join(
            f"{n.length(first)}{n.say(' to ', ' a ')}{n.length(last)}" for first, last in self.blocked
        )
        return n.say(
            f"The beam is blocked {spans} behind the true nose. The nose switches {_late(self.nose_error, n)}; "
            f"the tail clears {_late(self.tail_error, n)}.",
            f"El haz se corta de {spans} detrás de la trompa real. La trompa cambia {_late(self.nose_error, n)}; "
            f"la cola libera {_late(self.tail_error, n)}.",
        )


def _late(error: float, n: Given) -> str:
    """An error in words: late, early, or none that can be shown."""
    if abs(error) < 0.0005:
        return n.say("on time", "a tiempo")
    return f"{n.tape(abs(error), 2)} " + (n.say("late", "tarde") if error > 0 else n.say("early", "antes"))
