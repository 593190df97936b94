"""What a search for a better place finds: placements, what each gives, those that nothing beats, the one to choose."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.sites.sheet import EyePair, Head, Side


@dataclass(frozen=True)
class Placement:
    """Where the two heads of a pair stand: heights [m], who takes which place, position along the conveyor [m]."""

    low: float
    high: float
    receiver_side: Side
    high_head: Head
    position: float

    @classmethod
    def of(cls, eye: EyePair) -> Placement:
        """Where a pair stands by the sheet."""
        return cls(eye.low, eye.high, eye.receiver_side, eye.high_head, eye.position)


@dataclass(frozen=True)
class Judged:
    """A placement and what it gives.

    error: worst nose error and worst tail error of one body together, the worst body's [m]; for a profile eye, how far
        nose and tail of what it sees wander as the body stands elsewhere in the lane. Infinite where the placement is
        out of the question: a body is missed, or cut by a hole that no off-delay can bridge, a profile eye tells other
        bodies than today or misses a pickup's bed, or another pair's light holds a receiver lit
    worst: id of the body that sets the error; empty where another pair's light does
    sun: minutes a year with the sun in the receiver's view
    margin: excess gain in the site's steam over the least that must be left there; 1 or more is enough
    """

    placement: Placement
    error: float
    sun: int
    margin: float
    worst: str = ""

    @property
    def possible(self) -> bool:
        """Whether it may be chosen at all."""
        return math.isfinite(self.error)

    @property
    def objectives(self) -> tuple[float, float, float]:
        """What counts, each the less the better."""
        return self.error, float(self.sun), -self.margin

    def beats(self, other: Judged) -> bool:
        """Whether it is as good in everything and better in something."""
        pairs = list(zip(self.objectives, other.objectives, strict=True))
        return all(a <= b for a, b in pairs) and any(a < b for a, b in pairs)


@dataclass(frozen=True)
class Recommended:
    """The placement to choose, and why.

    Of the placements that nothing beats and that have enough light, `rivals` are within `tolerance` [m], one conveyor
    pulse, of the least error, `least` [m]. Chosen is the one with the least sun, and among equals the one that
    changes least; today's placement stays if it is as good as that.
    """

    judged: Judged
    stays: bool
    enough_light: bool
    least: float
    tolerance: float
    rivals: int


@dataclass(frozen=True)
class Found:
    """All that a search finds.

    front: results that nothing beats, the least error first; of placements that give the same, the one that changes
        least
    present: how the pair stands today
    beyond: ids of bodies that are left out, because no placement sees them whole beside those before them
    tried: how many placements were judged
    """

    front: tuple[Judged, ...]
    present: Judged
    recommended: Recommended | None
    beyond: tuple[str, ...]
    tried: int

    @property
    def unbeaten(self) -> bool:
        """Whether nothing beats the way the pair stands today."""
        return self.present.possible and not any(one.beats(self.present) for one in self.front)


@dataclass(frozen=True)
class Progress:
    """How far a search is, 0 to 1; the best of what it knows so far; at the end, all that it found."""

    share: float
    best: Judged | None = None
    found: Found | None = None
