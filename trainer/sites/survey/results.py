"""What a survey of one wash holds: numbers in SI, findings worst first; no layout.

Lengths that lie along a vehicle count from its true nose backwards. Bay axes: x along the travel, 0 at the entry eye, y
towards the driver's side, 0 at the center line, z up from the floor.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.quantities.units import Unit
from trainer.sites.said import Said
from trainer.sites.sheet import Application, EyePair, SiteSheet
from trainer.solver.beam import Spans
from trainer.solver.bodies import Body

Severity = Literal["hurts", "stops", "miscounts", "costs"]
# Worst first: somebody may be hurt; the line stops; cars are missed, doubled or measured wrong; money runs off.
SEVERITIES: tuple[Severity, ...] = ("hurts", "stops", "miscounts", "costs")

Setting = tuple[float, float]
Place3 = tuple[float, float, float]


@dataclass(frozen=True)
class Amount:
    """An SI value and the unit in which people in the US read it; `partner` gives the metric one."""

    value: float
    unit: Unit


@dataclass(frozen=True)
class Change:
    """One field of the sheet to change, as `eyes.exit.on_delay`, and what it should say."""

    field: str
    value: Amount | str


@dataclass(frozen=True)
class Mend:
    """One way to put a finding right, worked out.

    key: a key of `sentences.MENDS`; changes: what the sheet says once it is done, all of them together; none where no
    number of the sheet mends it; numbers: those its sentence writes
    """

    key: str
    changes: tuple[Change, ...]
    numbers: Mapping[str, Amount]


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong. `saying.say` gives its words.

    key: what kind, a key of `sentences.FINDINGS`; severity: what it leads to
    part: id of the eye pair or application, or `supply`, `drive`, `conveyor`, `business`; place: its name
    found, limit: the number behind it and what it should keep to
    numbers, names: every number and word its sentences write, by the name they use
    mends: ways to put it right, the first to be preferred; each alone is enough
    """

    key: str
    severity: Severity
    part: str
    place: Said
    found: Amount
    limit: Amount
    numbers: Mapping[str, Amount]
    names: Mapping[str, Said]
    mends: tuple[Mend, ...]


@dataclass(frozen=True)
class BodySeen:
    """What one pair makes of one body over every place in the lane where it may stand.

    own: whether it is the site's own vehicle, not the catalogue's
    turned_away: whether the wash does not take it; then nothing about it is a finding
    seen: at every lane offset; missed_at: the offset nearest the center line at which it is not [m], None where seen
    passes_under, passes_over: at some offset the beam runs below or above all that stands in its way
    nose_error, tail_error: the one farthest from 0 over all offsets [m]: how far the true nose or tail is past the beam
        when the eye says so; positive is late; NaN where the body is never seen
    nose_pulses, tail_pulses: the same in conveyor pulses
    nose_ends, tail_ends, length_ends: least and greatest error of nose, tail, and measured minus true length, from the
        beam alone [m]; NaN where the body is never seen
    cuts: most separate parts that the beam sees the body in, before any delay; 0 where it is never seen
    hole: longest travel within it for which the beam is clear [m]
    bridge: longest hole that the off-delay must bridge, so that it stays one car [m]; a part so short that it passes
        for somebody walking needs no bridge
    part: what it blocks at one go, at the offset where that is least [m]
    counted: most cars that the pair with its present delays makes of it, from the slowest to the fastest chain
    blocked: on the center line, where the beam is blocked, as distances behind the true nose [m]
    """

    id: str
    name: Said
    own: bool
    turned_away: bool
    body: Body
    seen: bool
    missed_at: float | None
    passes_under: bool
    passes_over: bool
    nose_error: float
    tail_error: float
    nose_pulses: float
    tail_pulses: float
    nose_ends: tuple[float, float]
    tail_ends: tuple[float, float]
    length_ends: tuple[float, float]
    cuts: int
    hole: float
    bridge: float
    part: float
    counted: int
    blocked: Spans


@dataclass(frozen=True)
class ErrorPart:
    """One part of a length error: what it is and the least and greatest it adds, measured minus true [m]."""

    key: str
    name: Said
    least: float
    most: float

    @property
    def spread(self) -> float:
        """How far its two ends are apart [m]: what cannot be corrected by a fixed number."""
        return self.most - self.least

    @property
    def size(self) -> float:
        """The end farther from 0 [m], without sign."""
        return max(abs(self.least), abs(self.most))


@dataclass(frozen=True)
class LengthSurvey:
    """How wrong a counted length may be: its parts, the largest of them, and their sum."""

    parts: tuple[ErrorPart, ...]
    largest: ErrorPart
    total: ErrorPart


@dataclass(frozen=True)
class DelaySurvey:
    """Which delays meet this pair's demands, and the present ones.

    walker: longest time for which somebody walking through blocks the beam [s]; None where the pair need not tell
        people from cars
    bridge: longest hole in a body that must stay one [m]; gap: shortest gap between two cars [m]
    nose_error: how far the nose may be past the beam [m]; beam_late: how much of that the beam itself takes [m]
    region: corners (on-delay, off-delay) of all delays that meet every demand [s]; none where nothing does
    present, recommended: (on-delay, off-delay) [s]; recommended: the present one where it does, else near to it and
        within the region; None where that is empty
    broken: kinds of demand that the present delays do not meet, as solver.delays.DEMANDS; holds: none is
    conflict: kinds of demand that cannot hold together; none where the region is not empty
    """

    walker: float | None
    bridge: float
    gap: float
    nose_error: float
    beam_late: float
    region: tuple[Setting, ...]
    present: Setting
    recommended: Setting | None
    broken: tuple[str, ...]
    conflict: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether the present delays meet every demand."""
        return not self.broken


@dataclass(frozen=True)
class SignalStep:
    """One step down from the signal of a clean pair: what took light, and the excess gain left after it."""

    key: str
    name: Said
    left: float


@dataclass(frozen=True)
class SignalSurvey:
    """How much light is left.

    steps: from a clean pair at this distance, to what was measured, to a steamy day
    required: excess gain that the surroundings ask of the measured pair in clear air; least: what must be left in steam
    in_clear, in_steam: what is left [excess gain]
    """

    steps: tuple[SignalStep, ...]
    required: float
    least: float
    in_clear: float
    in_steam: float


@dataclass(frozen=True)
class SunSurvey:
    """When the sun stands in the receiver's field of view.

    calendar: minutes in the year, 12 rows (January first) of 24 local hours, through the opening; total: their sum
    open_sky: minutes a year if there were no wall at all
    azimuth, elevation: where the receiver looks [rad], clockwise from north and above the horizon
    first, last: the earliest and latest minute of the day with the sun, as minutes after local midnight; None where
        there is none
    """

    calendar: tuple[tuple[int, ...], ...]
    total: int
    open_sky: int
    azimuth: float
    elevation: float
    first: int | None
    last: int | None

    @property
    def months(self) -> tuple[int, ...]:
        """Months with sun in the receiver, 1 to 12."""
        return tuple(month for month, row in enumerate(self.calendar, 1) if any(row))


@dataclass(frozen=True)
class EnclosureSurvey:
    """What the IP code of the heads promises: tight to dust, to strong jets, to immersion."""

    code: str
    dust_tight: bool
    stands_jets: bool


@dataclass(frozen=True)
class PairSurvey:
    """One pair of eyes.

    emitter, receiver: where the lenses stand in bay axes [m]; length: of the beam [m]
    bodies: the site's own first, then the catalogue's
    measures: its length errors; None for a pair whose length is not used
    """

    eye: EyePair
    name: Said
    emitter: Place3
    receiver: Place3
    length: float
    bodies: tuple[BodySeen, ...]
    measures: LengthSurvey | None
    delays: DelaySurvey
    signal: SignalSurvey
    sun: SunSurvey
    enclosure: EnclosureSurvey


@dataclass(frozen=True)
class CrosstalkSurvey:
    """One pair's light in another pair's receiver.

    emitter_of, receiver_of: ids of the two pairs; spacing: between the two heads [m]
    margin: how far the receiver stands outside the light [rad]; below 0 each head stands in the other's cone
    gain: excess gain that this light alone gives; from 1 up it holds the receiver lit
    """

    emitter_of: str
    receiver_of: str
    spacing: float
    margin: float
    gain: float

    @property
    def lit(self) -> bool:
        """Whether the light alone holds the receiver lit, so that it misses cars."""
        return self.gain >= 1


@dataclass(frozen=True)
class Window:
    """When a device goes on and off for one body: whole pulses since the nose met the entry eye's beam."""

    body: str
    name: Said
    on_pulse: int
    off_pulse: int


@dataclass(frozen=True)
class ApplicationSurvey:
    """One device: its windows, and what it sprays beside the cars.

    windows: a window a body; a device for wheels has one for each axle, front first, unless they run together
    wasted_car, wasted_year: solution that misses the cars, the mean of the vehicles taken [m³]; cost_year: its price
        [usd]
    """

    application: Application
    name: Said
    windows: tuple[Window, ...]
    wasted_car: float
    wasted_year: float
    cost_year: float


@dataclass(frozen=True)
class SparesSurvey:
    """Heads to hold for the wash as a whole.

    needed: least stock for the service level; on_shelf: None where nobody has counted; reached: chance with it
    demand: failures expected in the lead time
    """

    needed: int
    on_shelf: int | None
    reached: float | None
    service_level: float
    demand: float


@dataclass(frozen=True)
class SupplySurvey:
    """Voltage at the farthest head: at the supply's lowest, less the drop in the cable [V], and the least it needs."""

    lowest: float
    drop: float
    at_head: float
    least: float


@dataclass(frozen=True)
class ChargeSurvey:
    """How long the drive stays dangerous after it is switched off [s], from bus voltage to the safe one [V]."""

    seconds: float
    bus_voltage: float
    safe_voltage: float


@dataclass(frozen=True)
class Survey:
    """All of it, for the sun of one year. findings: worst first.

    pulse_rate: pulses a second at the chain's speed; pulse_limit: below which the controller surely counts every one
    """

    sheet: SiteSheet
    year: int
    findings: tuple[Finding, ...]
    pairs: tuple[PairSurvey, ...]
    crosstalk: tuple[CrosstalkSurvey, ...]
    applications: tuple[ApplicationSurvey, ...]
    spares: SparesSurvey
    supply: SupplySurvey
    charge: ChargeSurvey
    pulse_rate: float
    pulse_limit: float

    @property
    def assumed(self) -> tuple[str, ...]:
        """Fields of the sheet that are not measured, for which a stated default stands."""
        return self.sheet.assumed
