"""The site sheet: the measured facts of one wash, in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

Words = Mapping[str, str]
Mode = Literal["light", "dark"]
EnergyKind = Literal[
    "electric", "air", "hydraulic", "gravity", "spring", "hot_water", "chemical", "stored_charge"
]
ENERGY_KINDS: tuple[EnergyKind, ...] = get_args(EnergyKind)


@dataclass(frozen=True)
class Location:
    """Where the bay stands [rad]; `bearing` is the direction cars travel, clockwise from north."""

    latitude: float
    longitude: float
    bearing: float


@dataclass(frozen=True)
class Bay:
    """The bay [m]: width between the eyes' mounts, how far a car may stand off centre, how far one sees in steam."""

    width: float
    lane_offset: float
    steam_visibility: float


@dataclass(frozen=True)
class Conveyor:
    """Pulses per length [1/m], chain speed [m/s], its tolerance (share), gap and pitch of cars [m], scan [s]."""

    pulses: float
    speed: float
    speed_tolerance: float
    smallest_gap: float
    pitch: float
    scan_time: float


@dataclass(frozen=True)
class EyePair:
    """One emitter and receiver: heights and position [m], lens [m], half-angle [rad], gains, delays [s]."""

    id: str
    name: Words
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
    mode: Mode
    ip_code: str


@dataclass(frozen=True)
class Application:
    """One device: how far past the entry eye [m], how early and late it may run [m], its flow [m³/s]."""

    id: str
    name: Words
    distance: float
    lead: float
    trail: float
    flow: float


@dataclass(frozen=True)
class Wiring:
    """Supply and least voltage at a head [V], its current [A], the cable's length [m] and resistance [Ω/m]."""

    supply: float
    least: float
    head_current: float
    cable_length: float
    cable_resistance: float


@dataclass(frozen=True)
class Drive:
    """The drive in the cabinet: DC bus [V], its capacitor [F], bleed resistor [Ω], voltage taken as discharged [V]."""

    bus_voltage: float
    capacitor: float
    bleed_resistor: float
    safe_voltage: float


@dataclass(frozen=True)
class Machine:
    """A machine that is locked out and certified on."""

    id: str
    name: str


@dataclass(frozen=True)
class Cabinet:
    """A control cabinet and the machine it feeds."""

    id: str
    name: str
    machine: str


@dataclass(frozen=True)
class EnergySource:
    """One energy source of a machine: what it is, where it is isolated, how it is released."""

    id: str
    kind: EnergyKind
    machine: str
    what: Words
    isolate_at: Words
    release: Words


@dataclass(frozen=True)
class Business:
    """Cars an hour [1/s] and a day, days a year, margin a car, call-out and head price [$], head failures [1/s]."""

    cars_per_hour: float
    cars_per_day: float
    days_per_year: float
    margin_per_car: float
    callout_price: float
    head_price: float
    head_failures: float
    head_lead_time: float


@dataclass(frozen=True)
class SiteSheet:
    """One wash."""

    name: str
    time_zone: str
    location: Location
    bay: Bay
    conveyor: Conveyor
    eyes: tuple[EyePair, ...]
    eye_spacing: float
    applications: tuple[Application, ...]
    wiring: Wiring
    drive: Drive
    machines: tuple[Machine, ...]
    cabinets: tuple[Cabinet, ...]
    energy: tuple[EnergySource, ...]
    business: Business

    @property
    def entry_eye(self) -> EyePair:
        """The pair that measures cars: the first of the list."""
        return self.eyes[0]
