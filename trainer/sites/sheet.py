"""The site sheet: the measured facts of one wash, all numbers in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.documents import Fault
from trainer.quantities.dimensions import Language
from trainer.solver.bodies import Body

Words = Mapping[Language, str]
Side = Literal["driver", "passenger"]
Operate = Literal["light", "dark"]
Head = Literal["emitter", "receiver"]
Purpose = Literal["measure", "profile", "presence"]
Environment = Literal["clean", "slightly_dirty", "moderately_dirty", "very_dirty"]
EnergyKind = Literal[
    "electric", "air", "hydraulic", "gravity", "spring", "hot_water", "chemical", "stored_charge"
]

SIDES: tuple[Side, ...] = ("driver", "passenger")
OPERATES: tuple[Operate, ...] = ("light", "dark")
HEADS: tuple[Head, ...] = ("emitter", "receiver")
PURPOSES: tuple[Purpose, ...] = ("measure", "profile", "presence")
ENVIRONMENTS: tuple[Environment, ...] = ("clean", "slightly_dirty", "moderately_dirty", "very_dirty")
ENERGY_KINDS: tuple[EnergyKind, ...] = (
    "electric", "air", "hydraulic", "gravity", "spring", "hot_water", "chemical", "stored_charge",
)  # fmt: skip

# What a sheet takes for a fact that nobody has measured yet; each one taken is listed in `SiteSheet.assumed`.
NOSE_ERROR = 6 * 0.0254  # m; common practice, no source
WALKER_DEPTH = 0.5214  # m; the deepest of 747 people with what they carried, body ellipses observed in Delhi
WALKER_SPEED = 3.0 * 0.3048  # m/s; the slowest that MUTCD 2009, 4E.06, plans a crossing for
ENVIRONMENT: Environment = "moderately_dirty"
SERVICE_LEVEL = 0.95  # common practice, no source
PROFILE_FROM = 40 * 0.0254  # m; a pair whose lower lens is higher looks over bumpers and hoods


@dataclass(frozen=True)
class Location:
    """Where the wash stands; bearing: the compass heading of a car on the conveyor, clockwise from north."""

    latitude: float
    longitude: float
    bearing: float


@dataclass(frozen=True)
class Bay:
    """The entry end of the bay; lane_offset: how far off the center line a car may stand."""

    width: float
    lane_offset: float
    visibility_steam: float


@dataclass(frozen=True)
class Conveyor:
    """The chain, its pulses, the cars on it, the controller that counts; tolerance: a share, either way.

    nose_error: how far the nose may be past the beam when the eye reports it; walker_depth, walker_speed: of the
    person who blocks a beam longest by walking through it, front to back and how fast
    """

    speed: float
    tolerance: float
    pulses_per_length: float
    smallest_gap: float
    pitch: float
    scan_time: float
    input_filter: float
    nose_error: float = NOSE_ERROR
    walker_depth: float = WALKER_DEPTH
    walker_speed: float = WALKER_SPEED

    @property
    def cars_per_time(self) -> float:
        """Cars a second when the line is full."""
        return self.speed / self.pitch


@dataclass(frozen=True)
class BayOpening:
    """A door, a window or the open end in the wall behind an emitter, as its receiver sees it.

    sill, head: heights of its lower and upper edge above the floor; before, after: how far it reaches along the
    conveyor before and after the emitter, negative where it does not reach the emitter
    """

    sill: float
    head: float
    before: float
    after: float


@dataclass(frozen=True)
class StandingRoom:
    """Where the heads of a pair may stand: heights above the floor, positions along the conveyor."""

    lowest: float
    highest: float
    from_position: float
    to_position: float


@dataclass(frozen=True)
class EyePair:
    """One emitter and its receiver. position: along the conveyor from the entry eye, forward positive.

    purpose: measure (its length is used), profile (tells tall from low, need not see every body whole) or presence (it
    counts cars); half_angle: of the emitter's cone; view_half_angle: of the receiver's field of view
    opening: None for a solid wall behind the emitter; may_stand: None where nothing may be moved
    """

    id: str
    name: Words
    receiver_side: Side
    high_head: Head
    low: float
    high: float
    position: float
    lens_diameter: float
    half_angle: float
    reference_gain: float
    reference_distance: float
    excess_gain: float
    on_delay: float
    off_delay: float
    operate: Operate
    enclosure: str
    purpose: Purpose
    view_half_angle: float
    environment: Environment = ENVIRONMENT
    opening: BayOpening | None = None
    may_stand: StandingRoom | None = None


def usual_purpose(place: int, low: float) -> Purpose:
    """What a pair is for where the sheet does not say: its place in the list from 0, its lower lens's height [m]."""
    if place == 0:
        return "measure"
    return "profile" if low > PROFILE_FROM else "presence"


@dataclass(frozen=True)
class Application:
    """A device downstream of the entry eye; lead before the nose, trail behind the tail.

    wheels: whether it works on the wheels alone; it then runs once for each axle, lead before and trail behind it
    """

    id: str
    name: Words
    distance: float
    lead: float
    trail: float
    flow: float
    wheels: bool = False


@dataclass(frozen=True)
class Supply:
    """The DC supply of the eyes and the cable to the farthest head; length is one way."""

    voltage: float
    tolerance: float
    least_voltage: float
    head_current: float
    gauge: float
    length: float
    resistance_per_length: float


@dataclass(frozen=True)
class Drive:
    """The conveyor drive's stored charge; safe_voltage: what it must fall to before anybody reaches in."""

    capacitor: float
    bus_voltage: float
    bleed_resistor: float
    safe_voltage: float


@dataclass(frozen=True)
class Business:
    """What an hour down costs and what stands on the shelf; money in dollars.

    service_level: chance that the shelf lasts until the next delivery; spares_on_shelf: None where nobody has counted
    """

    cars_per_day: float
    days_per_year: float
    margin_per_car: float
    call_out: float
    head_price: float
    solution_price: float
    head_count: float
    failures_per_year: float
    lead_time: float
    service_level: float = SERVICE_LEVEL
    spares_on_shelf: float | None = None


@dataclass(frozen=True)
class Machine:
    """A machine on which a practical is observed."""

    id: str
    name: str


@dataclass(frozen=True)
class Cabinet:
    """A control cabinet and the machine that it steers."""

    id: str
    name: str
    machine: str


@dataclass(frozen=True)
class EnergySource:
    """One energy that can hurt somebody at a machine: what it is, where it is isolated, how it is released."""

    id: str
    kind: EnergyKind
    machine: str
    what: Words
    isolate_at: Words
    release: Words


@dataclass(frozen=True)
class NamedBody:
    """A vehicle with its name in both languages."""

    id: str
    name: Words
    body: Body


@dataclass(frozen=True)
class SiteSheet:
    """One wash. eyes: the first pair measures the car; warnings: readable, but hardly as it should be.

    bodies: the site's own vehicles, beside the catalogue's; turned_away: ids of those that the wash does not take
    assumed: fields that the sheet does not give and for which a default stands, as `eyes.entry.environment`
    """

    name: str
    time_zone: str
    location: Location
    bay: Bay
    conveyor: Conveyor
    eyes: tuple[EyePair, ...]
    applications: tuple[Application, ...]
    supply: Supply
    drive: Drive
    business: Business
    machines: tuple[Machine, ...]
    cabinets: tuple[Cabinet, ...]
    energy_sources: tuple[EnergySource, ...]
    bodies: tuple[NamedBody, ...] = ()
    turned_away: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    warnings: tuple[Fault, ...] = ()

    @property
    def entry_eye(self) -> EyePair:
        """The pair that measures the car."""
        return self.eyes[0]
