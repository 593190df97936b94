"""What a recording of one eye holds: the vehicles, people and spray that passed it, and the numbers they keep to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trainer.quantities.dimensions import System
from trainer.sites.said import Said

EventKind = Literal["car", "person", "cart", "spray"]
STEP = 0.05  # s; what a delay is set in: common practice, no source
Block = tuple[int, int]


@dataclass(frozen=True)
class Facts:
    """What is known before the recording runs, and what nothing in it exceeds [SI].

    walker_depth, walker_speed: of the slowest person; cart: how long somebody with a cart blocks the beam, 0: nobody
    usual_speed: of the chain by the sheet; speed: as it runs in this recording
    hole: longest hole in one vehicle, 0: none has one; other_hole: the longest in the vehicle of the practice part
    gap: smallest from one vehicle to the next
    rolled: gap of vehicles that were rolled up closer than that, 0: none were
    nose_error: how late a nose may be declared; beam_late: what the beam itself takes of it at most
    counts: how many cars, people, carts among them, bursts of spray, vehicles with a hole, close pairs, rolled pairs
    """

    usual_speed: float
    speed: float
    tolerance: float
    scan: float
    input_filter: float
    walker_depth: float
    walker_speed: float
    cart: float
    hole: float
    other_hole: float
    gap: float
    rolled: float
    nose_error: float
    beam_late: float
    cars: int
    people: int
    carts: int
    sprays: int
    holed: int
    pairs: int
    rolled_pairs: int

    @property
    def walker(self) -> float:
        """Longest time that a person without a cart blocks the beam [s]."""
        return self.walker_depth / self.walker_speed

    @property
    def nose_left(self) -> float:
        """What beam and input filter leave of the nose's allowance on the fastest chain [m]; may be none."""
        return self.nose_error - self.beam_late - self.input_filter * self.fast

    @property
    def slow(self) -> float:
        """Slowest chain [m/s]."""
        return self.speed * (1 - self.tolerance)

    @property
    def fast(self) -> float:
        """Fastest chain [m/s]."""
        return self.speed * (1 + self.tolerance)


@dataclass(frozen=True)
class Event:
    """One thing that blocked the beam, as somebody who stood there wrote it down.

    blocks: by readings from the start of the recording: the first that was blocked, the first that was clear
    nose: when a car's true nose was at the beam [s]; speed: of the chain then [m/s]; both 0 where it is no car
    holed: whether light comes through the car; close: whether it follows the car before it closely
    """

    kind: EventKind
    name: Said
    blocks: tuple[Block, ...]
    nose: float = 0.0
    speed: float = 0.0
    holed: bool = False
    close: bool = False


@dataclass(frozen=True)
class Stretch:
    """A part of the recording: its end in readings from the start of all, and what passed in it, in order."""

    end: int
    events: tuple[Event, ...]


@dataclass(frozen=True)
class Task:
    """A recording in two parts; the rest is hidden until the end. on_most, off_most: what the delays go to [s]."""

    level: int
    eye: Said
    system: System
    facts: Facts
    practice: Stretch
    rest: Stretch
    start: tuple[float, float]
    on_most: float
    off_most: float

    @property
    def events(self) -> tuple[Event, ...]:
        """Everything that passed."""
        return (*self.practice.events, *self.rest.events)
