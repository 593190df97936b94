"""A beam task: a pair of the sheet, the room that walls and posts leave its heads, the vehicles that come."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from trainer.benches.acts import Option, Pick
from trainer.benches.frame import NoTask
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.sites.fleet import taken
from trainer.sites.said import Said
from trainer.sites.sheet import SIDES, BayOpening, EyePair, NamedBody, Side, SiteSheet

_INCH = 0.0254
STEPS: Mapping[System, float] = {"us": 2 * _INCH, "metric": 0.05}  # m; how finely a bracket is set
ANYWHERE = (
    4 * _INCH,
    48 * _INCH,
)  # m; where lenses may hang if the sheet does not say: common practice, no source
MOST_VEHICLES = 20
_FEWEST_HEIGHTS = 3
_ROOM_FOR_POST, _ROOM_FOR_WALL = 10, 16  # heights that a side must have before a post or a wall takes some

_EVERYDAY = ("sedan", "small_hatch", "wagon", "minivan", "compact_suv")
_AWKWARD = ("low_coupe", "suv", "pickup_loaded")
_OTHERS = ("van", "pickup", "pickup_covered", "suv_with_hitch", "sedan_roof_box", "minivan")
_LEVELS = (
    Said("everyday cars, room on both sides", "carros comunes, lugar en los dos lados"),
    Said("awkward vehicles, a short post on one side", "vehículos difíciles, un poste corto de un lado"),
    Said("the whole fleet, a low wall, sun", "toda la flota, un muro bajo, sol"),
)


@dataclass(frozen=True)
class Room:
    """From the lowest to the highest place of a lens on one side [m]; both are on the grid."""

    low: float
    high: float

    def heights(self, step: float) -> tuple[float, ...]:
        """Every place on the grid [m], the lowest first."""
        return tuple(self.low + i * step for i in range(round((self.high - self.low) / step) + 1))


@dataclass(frozen=True)
class Placed:
    """Where both heads hang: heights of the lenses [m], and which side has the receiver."""

    driver: float
    passenger: float
    receiver: Side

    @property
    def rise(self) -> float:
        """How much higher one lens is than the other [m]."""
        return abs(self.driver - self.passenger)


@dataclass(frozen=True)
class Task:
    """One pair to place.

    sheet: the wash with what this task needs of it; eye: the pair as it stands on the sheet
    step: grid of heights [m]; driver, passenger: the room on each side; start: how it hangs at first
    openings: in the wall on the driver's and on the passenger's side, None for a solid one
    """

    level: int
    system: System
    sheet: SiteSheet
    eye: EyePair
    vehicles: tuple[NamedBody, ...]
    step: float
    driver: Room
    passenger: Room
    openings: tuple[BayOpening | None, BayOpening | None]
    start: Placed

    def __hash__(self) -> int:
        """Of what tells tasks apart: a sheet's words are not hashable."""
        ids = tuple(one.id for one in self.vehicles)
        facts = (self.sheet.bay, self.sheet.conveyor, self.sheet.location, self.eye.id, self.openings)
        return hash((self.level, self.step, ids, self.driver, self.passenger, self.start, facts))

    @property
    def sunny(self) -> bool:
        """Whether any sun can come in; only then does it matter which head is the receiver."""
        return self.openings != (None, None)

    def room(self, side: Side) -> Room:
        """Where the head of one side may hang."""
        return self.driver if side == "driver" else self.passenger

    def wall(self, side: Side) -> BayOpening | None:
        """The opening in the wall of one side."""
        return self.openings[SIDES.index(side)]


def options(sheet: SiteSheet) -> tuple[Pick, ...]:
    """The level, and the pair where the sheet has several that see whole vehicles."""
    levels = tuple(Option(str(i), said) for i, said in enumerate(_LEVELS, 1))
    picks = [Pick("level", Said("Level", "Nivel"), levels)]
    pairs = _pairs(sheet)
    if len(pairs) > 1:
        named = tuple(Option(eye.id, Said(eye.name["en"], eye.name["es"])) for eye in pairs)
        picks.append(Pick("eye", Said("Pair of eyes", "Par de ojos"), named))
    return tuple(picks)


def make_task(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> Task:
    """The pair, the room, the vehicles and the walls of a stream. Raises NoTask."""
    level = int(fixed["level"])
    eye = _pair(sheet, fixed.get("eye"), stream)
    step = STEPS[system]
    driver, passenger = _rooms(_whole_room(eye, step), step, level, stream)
    openings = _openings(eye, step, stream) if level == 3 else (None, None)
    receiver = SIDES[stream.below("receiver", 2)] if openings != (None, None) else eye.receiver_side
    return Task(
        level, system, _needed(sheet), eye, _vehicles(sheet, level, stream), step, driver, passenger, openings,
        _start(driver, passenger, receiver, level),
    )  # fmt: skip


def _pairs(sheet: SiteSheet) -> tuple[EyePair, ...]:
    """Pairs that must see every vehicle whole: a profile eye need not."""
    return tuple(eye for eye in sheet.eyes if eye.purpose != "profile")


def _pair(sheet: SiteSheet, wanted: str | None, stream: Stream) -> EyePair:
    pairs = [eye for eye in _pairs(sheet) if wanted in (None, eye.id)]
    if not pairs:
        raise NoTask(
            Said(
                "The sheet has no pair that measures or counts vehicles. Add one, or mend its purpose.",
                "La hoja no tiene ningún par que mida o cuente vehículos. Agrega uno o corrige para qué sirve.",
            )
        )
    return pairs[stream.below("eye", len(pairs))]


def _whole_room(eye: EyePair, step: float) -> Room:
    stand = eye.may_stand
    lowest, highest = (stand.lowest, stand.highest) if stand else ANYWHERE
    room = Room(math.ceil(lowest / step - 1e-6) * step, math.floor(highest / step + 1e-6) * step)
    if room.high - room.low < (_FEWEST_HEIGHTS - 1.5) * step:
        raise NoTask(
            Said(
                f"{eye.name['en']}: its heads have no room to be moved up and down. Widen it under may_stand.",
                f"{eye.name['es']}: sus cabezales no tienen lugar para subir y bajar. Amplíalo en may_stand.",
            )
        )
    return room


def _rooms(whole: Room, step: float, level: int, stream: Stream) -> tuple[Room, Room]:
    """What is left on each side: all at level 1; on one of them a short post at level 2, a wall below at level 3."""
    count = round((whole.high - whole.low) / step) + 1
    first = whole
    if level == 2 and count >= _ROOM_FOR_POST:
        first = replace(whole, high=whole.low + (4 + stream.below("post", 4)) * step)
    if level == 3 and count >= _ROOM_FOR_WALL:
        first = replace(whole, low=whole.low + (5 + stream.below("wall", 5)) * step)
    return (first, whole) if stream.below("side", 2) else (whole, first)


def _start(driver: Room, passenger: Room, receiver: Side, level: int) -> Placed:
    """Both heads too high; at level 2, where a short post keeps one of them low, both too low."""
    end = "low" if level == 2 else "high"
    return Placed(getattr(driver, end), getattr(passenger, end), receiver)


def _openings(eye: EyePair, step: float, stream: Stream) -> tuple[BayOpening | None, BayOpening | None]:
    """One in each wall: the sheet's own where it has one, in the wall that the receiver looks at today."""
    found = [_opening(side, step, stream) for side in SIDES]
    if eye.opening is not None:
        found[1 - SIDES.index(eye.receiver_side)] = eye.opening
    return found[0], found[1]


def _opening(side: Side, step: float, stream: Stream) -> BayOpening:
    """A door or a window: from the floor or a sill to above the heads."""
    sill = 6 * stream.below(f"sill.{side}", 3) * step
    return BayOpening(sill, 48 * step, 24 * step, (24 + 24 * stream.below(f"reach.{side}", 3)) * step)


def _vehicles(sheet: SiteSheet, level: int, stream: Stream) -> tuple[NamedBody, ...]:
    """The task's vehicles, in the order of the fleet."""
    there = taken(sheet)[:MOST_VEHICLES]
    if not there:
        raise NoTask(
            Said(
                "The sheet turns every vehicle away. Shorten its list turned_away.",
                "La hoja rechaza todos los vehículos. Acorta su lista turned_away.",
            )
        )
    if level == 3:
        return there
    known = {one.id for one in there}
    wanted = (*_AWKWARD, *stream.shuffled(_OTHERS)[:2]) if level == 2 else stream.shuffled(_EVERYDAY)[:3]
    chosen = known.intersection(wanted) or {one.id for one in there[:3]}
    return tuple(one for one in there if one.id in chosen)


def _needed(sheet: SiteSheet) -> SiteSheet:
    """The sheet without what no placement of a pair depends on."""
    return replace(
        sheet, applications=(), machines=(), cabinets=(), energy_sources=(), bodies=(), turned_away=(),
        assumed=(), warnings=(),
    )  # fmt: skip
