"""The site sheet: the measured facts of one wash, all numbers in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.documents import Fault
from trainer.quantities.dimensions import Language

Words = Mapping[Language, str]
Side = Literal["driver", "passenger"]
Operate = Literal["light", "dark"]
Head = Literal["emitter", "receiver"]
EnergyKind = Literal[
    "electric", "air", "hydraulic", "gravity", "spring", "hot_water", "chemical", "stored_charge"
]

SIDES: tuple[Side, ...] = ("driver", "passenger")
OPERATES: tuple[Operate, ...] = ("light", "dark")
HEADS: tuple[Head, ...] = ("emitter", "receiver")
ENERGY_KINDS: tuple[EnergyKind, ...] = (
    "electric", "air", "hydraulic", "gravity", "spring", "hot_water", "chemical", "stored_charge",
)  # fmt: skip


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
    """The chain, its pulses, the cars on it, the controller that counts; tolerance: a share, either way."""

    speed: float
    tolerance: float
    pulses_per_length: float
    smallest_gap: float
    pitch: float
    scan_time: float
    input_filter: float

    @property
    def cars_per_time(self) -> float:
        """Cars a second when the line is full."""
        return self.speed / self.pitch


@dataclass(frozen=True)
class EyePair:
    """One emitter and its receiver. position: along the conveyor from the entry eye, forward positive."""

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


@dataclass(frozen=True)
class Application:
    """A device downstream of the entry eye; lead before the nose, trail behind the tail."""

    id: str
    name: Words
    distance: float
    lead: float
    trail: float
    flow: float


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
    """What an hour down costs and what stands on the shelf; money in dollars."""

    cars_per_day: float
    days_per_year: float
    margin_per_car: float
    call_out: float
    head_price: float
    solution_price: float
    head_count: float
    failures_per_year: float
    lead_time: float


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
class SiteSheet:
    """One wash. eyes: the first pair measures the car; warnings: readable, but hardly as it should be."""

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
    warnings: tuple[Fault, ...] = ()

    @property
    def entry_eye(self) -> EyePair:
        """The pair that measures the car."""
        return self.eyes[0]
