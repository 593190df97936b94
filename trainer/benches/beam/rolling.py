"""One vehicle that rolls past the beam, seen from the side, and the trace that the eye draws of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from trainer.benches.beam.passing import ONCE, Fates, detected, fates_of, places
from trainer.benches.beam.task import Placed, Task
from trainer.benches.beam.told import FATES, lane_place, off
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.figures.paper import WIDTH
from trainer.figures.shapes import outlined
from trainer.sites.sheet import NamedBody
from trainer.sites.survey.reader import Reader
from trainer.solver.beam import beam_height
from trainer.solver.detection import Detection

ROLL, HOLD = 6.5, 1.0  # s
_CLEAR = 0.5  # m before the nose and behind the tail
_BEAM_AT, _CAR = 178.0, 150.0
_LEFT, _RIGHT = 34.0, 326.0
_BASE, _HIGH = 54.0, 12.0  # the trace: where it stands, how tall it is
_SLICE = 10.0


@dataclass(frozen=True)
class Pass:
    """One vehicle past one placement, and the place in the lane at which it goes worst."""

    task: Task
    placed: Placed
    vehicle: NamedBody

    @cached_property
    def found(self) -> Detection:
        """What the pair makes of it at every place in the lane, shape (1, places)."""
        driver, passenger = (np.array([one]) for one in (self.placed.driver, self.placed.passenger))
        return detected(self.task, driver, passenger, self.vehicle)

    @cached_property
    def fates(self) -> Fates:
        """How the passes end, at every place in the lane."""
        return np.asarray(fates_of(self.task, self.found)[0])

    @cached_property
    def worst(self) -> int:
        """The place where the pass goes wrong, or errs most; of several the one nearest to the middle."""
        errors = np.abs(self.found.nose_error[0]) + np.abs(self.found.tail_error[0])
        wrong = np.round(np.nan_to_num(errors) + 100.0 * (self.fates != ONCE), 3)
        aside = np.abs(places(self.task))
        return int(np.lexsort((aside, -wrong))[0])

    @property
    def fate(self) -> int:
        """How it ends there."""
        return int(self.fates[self.worst])

    @property
    def nose(self) -> float:
        """Error of the nose there [m], positive late; NaN where it is not seen."""
        return float(self.found.nose_error[0, self.worst])

    @property
    def tail(self) -> float:
        """Error of the tail there [m], negative early; NaN where it is not seen."""
        return float(self.found.tail_error[0, self.worst])

    @property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Where the beam is blocked there: how far the nose is past it, from and to [m]."""
        return self.found.dark.spans(0, self.worst)

    @property
    def heights(self) -> tuple[float, float]:
        """Height of the beam at the vehicle's two sides there [m]."""
        bay, middle = self.task.sheet.bay.width, float(places(self.task)[self.worst])
        half = self.vehicle.body.width / 2
        low, high = (
            float(
                beam_height(
                    self.placed.passenger,
                    self.placed.driver,
                    bay,
                    min(max(bay / 2 + middle + side, 0.0), bay),
                )
            )
            for side in (-half, half)
        )
        return min(low, high), max(low, high)

    def sentence(self, to: Reader) -> str:
        """What the pass came to, with its numbers."""
        name, there = self.vehicle.name[to.language], lane_place(self.task, self.worst, to)
        text = f"{name[:1].upper()}{name[1:]}, {there}: {to.said(FATES[self.fate])}."
        if not np.isfinite(self.nose):
            return text
        nose, tail = off(self.nose, to), off(self.tail, to)
        return text + to.say(f" Nose {nose}, tail {tail}.", f" Trompa {nose}, cola {tail}.")


def roll(one: Pass, to: Reader, name: str) -> Live:
    """The vehicle rolls past the beam while the trace below it fills."""
    return _Roll(one, to, LivePaper(330, name, seconds=ROLL + HOLD)).drawn()


@dataclass(frozen=True)
class _Roll:
    one: Pass
    to: Reader
    paper: LivePaper

    @property
    def long(self) -> float:
        """Length of the vehicle [m]."""
        return self.one.vehicle.body.length

    @property
    def scale(self) -> float:
        """Of the vehicle that stands over its trace, drawing units a metre."""
        return (_RIGHT - _LEFT) / self.long

    @property
    def floor(self) -> float:
        """Where the standing vehicle stands."""
        return _BASE + _HIGH + 10

    def moment(self, past: float) -> float:
        """When the nose is so far past the beam [s]."""
        return ROLL * (past + _CLEAR) / (self.long + 2 * _CLEAR)

    def at(self, past: float) -> float:
        """Where on the trace the beam is when the nose is so far past it."""
        return _RIGHT - past * self.scale

    def drawn(self) -> Live:
        """Trace, standing vehicle, rolling vehicle, from below."""
        self._trace()
        self._standing()
        self._rolling(self.floor + self.one.vehicle.body.height * self.scale + 30)
        name = self.one.vehicle.name
        title = self.to.say(f"Rolled past: {name['en']}", f"Pasó: {name['es']}")
        return self.paper.finish(title, self.one.sentence(self.to))

    def _trace(self) -> None:
        paper, to = self.paper, self.to
        paper.line([(8, _BASE), (WIDTH - 8, _BASE)], "ink", LINE)
        for first, last in self.one.spans:
            self._block(first, last)
        with paper.during([(ROLL, ROLL + HOLD)]):
            self._errors()
        said = to.say("full bar: beam blocked", "barra llena: haz cortado")
        paper.write(said, (WIDTH / 2, 8), ink="pencil")

    def _block(self, first: float, last: float) -> None:
        """A blocked stretch in slices, each seen once the vehicle has rolled so far."""
        count = max(1, round((last - first) * self.scale / _SLICE))
        ends = np.linspace(first, last, count + 1).tolist()
        for start, end in pairwise(ends):
            with self.paper.during([(self.moment(end), ROLL + HOLD)]):
                corners = (self.at(end), _BASE, self.at(start), _BASE + _HIGH)
                self.paper.box(*corners, "beam", fill=True, width=0.5)

    def _errors(self) -> None:
        """How far the ends of the trace are from the true ones."""
        one, to, paper = self.one, self.to, self.paper
        if not one.spans:
            paper.write(to.said(FATES[one.fate]), (WIDTH / 2, _BASE - 16), bold=True)
            return
        sides = (("nose", one.nose, _RIGHT, 0.0, "right"), ("tail", one.tail, _LEFT, self.long, "left"))
        for mark, error, edge, true, align in sides:
            x = self.at(true + error)
            paper.line([(edge, _BASE - 12), (x, _BASE - 12)], "ink", HEAVY, mark=mark)
            for tick in (edge, x):
                paper.line([(tick, _BASE - 17), (tick, _BASE - 7)], "ink", THIN)
            said = to.say(*{"nose": ("nose", "trompa"), "tail": ("tail", "cola")}[mark])
            paper.write(f"{said} {off(error, to)}", (WIDTH - 6 if align == "right" else 6, _BASE - 28), align)

    def _standing(self) -> None:
        """The vehicle over its trace, with the beam's heights at its two sides."""
        paper, floor = self.paper, self.floor
        for x in (_LEFT, _RIGHT):
            paper.line([(x, _BASE - 6), (x, floor + 26)], "pencil", THIN, dash=True)
        paper.ground(floor, 8, WIDTH - 8, hatch=False)
        outlined(paper, self.one.vehicle.body, (_RIGHT, floor), self.scale)
        low, high = (floor + z * self.scale for z in self.one.heights)
        if high - low > 2:
            paper.box(8, low, WIDTH - 8, high, "beam", width=THIN)
        else:
            paper.line([(8, low), (WIDTH - 8, low)], "beam", LINE)

    def _rolling(self, floor: float) -> None:
        """The vehicle on its way through the beam, which is seen end on over the vehicle's width."""
        paper, scale = self.paper, _CAR / self.long
        track = [(self.moment(past), past * scale, 0.0) for past in (-_CLEAR, self.long + _CLEAR)]
        paper.ground(floor)
        with paper.rolling(track):
            outlined(paper, self.one.vehicle.body, (_BEAM_AT, floor), scale)
        low, high = (floor + z * scale for z in self.one.heights)
        paper.line([(_BEAM_AT, low - 1), (_BEAM_AT, max(high, low) + 1)], "beam", 4.0, mark="beam")
        top = floor + max(self.one.vehicle.body.height * scale, high - floor) + 16
        paper.line([(_BEAM_AT, floor), (_BEAM_AT, top - 8)], "beam", THIN, dash=True)
        blocked = [(self.moment(first), self.moment(last)) for first, last in self.one.spans]
        for words, otherwise in (
            (("beam blocked", "haz cortado"), False),
            (("beam clear", "haz libre"), True),
        ):
            with paper.during(blocked, otherwise=otherwise):
                paper.write(self.to.say(*words), (_BEAM_AT, top + 2), bold=not otherwise, ink="beam")
