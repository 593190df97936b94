"""What a task of the lockout bench is: a machine's energy sources, the points that isolate them, and what happened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from trainer.benches.acts import Option, Pick
from trainer.benches.frame import LEVELS, NoTask
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.quantities.units import partner, unit
from trainer.sites.said import Said
from trainer.sites.sheet import EnergyKind, EnergySource, Machine, SiteSheet, Words
from trainer.solver.electrical import discharge_time
from trainer.solver.energies import returning

Variant = Literal["plain", "test_run", "absent_owner", "group", "shift_change", "comes_back", "dead_tester"]
TesterDies = Literal["", "start", "between"]

ME, MATE, FORMER = "you", "luis", "marta"
CREW = (ME, MATE, FORMER)
NAMES = {ME: Said("you", "tú"), MATE: Said("Luis", "Luis"), FORMER: Said("Marta", "Marta")}

VARIANTS: Mapping[Variant, Said] = {
    "plain": Said("One person, one job", "Una persona, un trabajo"),
    "test_run": Said("A test run in the middle", "Un movimiento de prueba a la mitad"),
    "absent_owner": Said("Somebody's lock was left on", "Quedó puesto el candado de alguien"),
    "group": Said("A group and a lock box", "Un grupo y una caja de candados"),
    "shift_change": Said("Change of shift", "Cambio de turno"),
    "comes_back": Said("Energy that comes back", "Energía que regresa"),
    "dead_tester": Said("A tester that is dead", "Un probador muerto"),
}
# What looks alike from outside: what is hidden in it must not show by how it is set.
ALIKE: frozenset[Variant] = frozenset({"plain", "comes_back", "dead_tester"})
_DRAWN: Mapping[str, tuple[Variant, ...]] = {
    "1": ("plain",),
    "2": ("plain", "test_run", "absent_owner"),
    "3": ("group", "shift_change", "comes_back", "dead_tester"),
}

TESTED: frozenset[EnergyKind] = frozenset({"electric", "stored_charge"})  # proved dead with a tester
FED: frozenset[EnergyKind] = frozenset({"air", "hydraulic", "hot_water", "chemical"})  # a gauge shows them
# What the gauges show at the start and, where energy comes back, then; psi and kPa; common practice, no source.
_PRESSURES: Mapping[EnergyKind, tuple[tuple[float, ...], tuple[float, ...], float, float]] = {
    "air": ((90, 100, 110, 120), (600, 650, 700, 800), 15, 100),
    "hydraulic": ((800, 900, 1000, 1200), (5500, 6000, 7000, 8000), 150, 1000),
    "hot_water": ((40, 50, 60), (300, 350, 400), 12, 80),
    "chemical": ((20, 30, 40), (150, 200, 250), 10, 70),
}


@dataclass(frozen=True)
class Point:
    """Where energy is isolated and a lock goes."""

    id: str
    at: Said
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Source:
    """An energy source as the sheet has it; pressure, creep: what its gauge reads at first and when it rose [Pa]."""

    id: str
    kind: EnergyKind
    what: Said
    release: Said
    point: str
    pressure: float
    creep: float


@dataclass(frozen=True)
class Task:
    """A machine to lock out, and what happens there. live: done for real, so that nothing is taken back.

    left: the point where the absent owner's lock still hangs
    bus, safe, wait: the stored charge's voltage, its limit [V], and how long it drains [s]
    Hidden: leaky (the source that comes back), tester_dies (when the first tester goes silent).
    """

    level: str
    variant: Variant
    system: System
    machine: Said
    sources: tuple[Source, ...]
    points: tuple[Point, ...]
    live: bool
    left: str
    bus: float
    safe: float
    wait: float
    leaky: str
    tester_dies: TesterDies

    def source(self, key: str) -> Source:
        """The source of this id."""
        return next(one for one in self.sources if one.id == key)

    def point(self, key: str) -> Point:
        """The point of this id."""
        return next(one for one in self.points if one.id == key)

    @property
    def ids(self) -> tuple[str, ...]:
        """Names of the sources, as the solver is asked about them."""
        return tuple(one.id for one in self.sources)

    @property
    def coming_back(self) -> tuple[str, ...]:
        """Sources of a kind whose energy can come back."""
        return returning({one.id: one.kind for one in self.sources})

    @property
    def tested(self) -> tuple[str, ...]:
        """Sources that are proved dead with a tester."""
        return tuple(one.id for one in self.sources if one.kind in TESTED)


def options(sheet: SiteSheet) -> tuple[Pick, ...]:
    """What a trainer may fix: level, machine, variant."""
    levels = zip(LEVELS, ("One", "Two", "Three"), ("Uno", "Dos", "Tres"), strict=True)
    machines = [one for one in sheet.machines if any(s.machine == one.id for s in sheet.energy_sources)]
    return (
        Pick("level", Said("Level", "Nivel"), tuple(Option(key, Said(en, es)) for key, en, es in levels)),
        Pick(
            "machine",
            Said("Machine", "Máquina"),
            tuple(Option(one.id, Said(one.name, one.name)) for one in machines),
        ),
        Pick("variant", Said("What happens", "Qué pasa"), tuple(Option(k, v) for k, v in VARIANTS.items())),
    )


def make_task(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> Task:
    """A machine of the site and what happens at it. Raises NoTask where the sheet has no energy that fits."""
    level = fixed["level"]
    variant, machines = _setting(sheet, fixed, stream)
    machine = machines[stream.below("machine", len(machines))]
    sources = _of(sheet, machine.id)
    if level == "1":
        sources = _two(sources, variant, stream)
    points = _points(sources)
    return Task(
        level=level,
        variant=variant,
        system=system,
        machine=Said(machine.name, machine.name),
        sources=tuple(_source(one, points, stream, system) for one in sources),
        points=points,
        # What is hidden is found out by doing it; on paper it could be done and taken back.
        live=level == "3" or variant in ("comes_back", "dead_tester"),
        left=points[stream.below("left", len(points))].id,
        bus=sheet.drive.bus_voltage,
        safe=sheet.drive.safe_voltage,
        wait=_wait(sheet),
        leaky=_leaky(sources, stream) if variant == "comes_back" else "",
        tester_dies=_dies(stream) if variant == "dead_tester" else "",
    )


def _setting(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream) -> tuple[Variant, list[Machine]]:
    """What happens, and at which machines it can: drawn of all that this sheet allows."""
    level, asked = fixed["level"], fixed.get("variant")
    wanted = [one for one in VARIANTS if one == asked] or list(_DRAWN[level])
    found = {
        variant: [one for one in sheet.machines if _fits(_of(sheet, one.id), level, variant)]
        for variant in wanted
    }
    kept = {
        variant: [one for one in machines if fixed.get("machine", one.id) == one.id]
        for variant, machines in found.items()
    }
    can = [variant for variant, machines in kept.items() if machines]
    if not can:
        raise NoTask(_lacking(level, wanted[0]))
    variant = can[stream.below("variant", len(can))]
    return variant, kept[variant]


def _of(sheet: SiteSheet, machine: str) -> tuple[EnergySource, ...]:
    return tuple(one for one in sheet.energy_sources if one.machine == machine)


def _fits(sources: tuple[EnergySource, ...], level: str, variant: Variant) -> bool:
    """Whether a machine with these sources can hold the task."""
    electric = any(one.kind == "electric" for one in sources)
    stored = [one for one in sources if one.kind != "electric"]
    if variant == "comes_back":
        stored = [one for one in stored if one.id in returning({s.id: s.kind for s in stored})]
        return bool(stored) and (electric or level != "1")
    if level == "1":
        return electric and bool(stored)
    return any(one.kind in TESTED for one in sources) if variant == "dead_tester" else bool(sources)


def _lacking(level: str, variant: Variant) -> Said:
    if variant == "comes_back":
        return Said(
            "No machine on the site sheet has energy that can come back, such as air or hot water. Add it under "
            "energy_sources, with the machine's electric supply.",
            "Ninguna máquina de la hoja del sitio tiene energía que pueda regresar, como aire o agua caliente. "
            "Agrégala en energy_sources, junto con la alimentación eléctrica de la máquina.",
        )
    if level == "1":
        return Said(
            "No machine on the site sheet has both an electric source and one of another kind. Add what is missing "
            "under energy_sources.",
            "Ninguna máquina de la hoja del sitio tiene una fuente eléctrica y otra de otro tipo. Agrega en "
            "energy_sources lo que falta.",
        )
    return Said(
        "No machine on the site sheet has an energy source for this. Add the machine's sources under energy_sources.",
        "Ninguna máquina de la hoja del sitio tiene una fuente de energía para esto. Agrega las fuentes de la "
        "máquina en energy_sources.",
    )


def _two(sources: tuple[EnergySource, ...], variant: Variant, stream: Stream) -> tuple[EnergySource, ...]:
    """One electric source and one of another kind."""
    electric = next(one for one in sources if one.kind == "electric")
    others = [one for one in sources if one.kind != "electric"]
    if variant == "comes_back":
        others = [one for one in others if one.id in returning({s.id: s.kind for s in others})]
    return electric, others[stream.below("stored", len(others))]


def _points(sources: tuple[EnergySource, ...]) -> tuple[Point, ...]:
    """The places of isolation, each once: a disconnect can hold off more than one source."""
    held: dict[Said, list[str]] = {}
    for one in sources:
        held.setdefault(_said(one.isolate_at), []).append(one.id)
    return tuple(Point(f"p{i}", at, tuple(ids)) for i, (at, ids) in enumerate(held.items(), 1))


def _source(one: EnergySource, points: tuple[Point, ...], stream: Stream, system: System) -> Source:
    point = next(point for point in points if one.id in point.sources)
    pressure, creep = _pressures(one.kind, stream, system)
    return Source(one.id, one.kind, _said(one.what), _said(one.release), point.id, pressure, creep)


def _pressures(kind: EnergyKind, stream: Stream, system: System) -> tuple[float, float]:
    """What the gauge reads at the start and after energy came back [Pa]; 0 where there is no gauge."""
    if kind not in _PRESSURES:
        return 0.0, 0.0
    us, metric, us_creep, metric_creep = _PRESSURES[kind]
    grid, creep = (us, us_creep) if system == "us" else (metric, metric_creep)
    factor = partner(unit("psi"), system).factor
    return grid[stream.below("pressure", len(grid))] * factor, creep * factor


def _wait(sheet: SiteSheet) -> float:
    """How long the drive's charge drains to its safe voltage [s]."""
    drive = sheet.drive
    if drive.bus_voltage <= drive.safe_voltage:
        return 0.0
    return float(discharge_time(drive.bleed_resistor, drive.capacitor, drive.bus_voltage, drive.safe_voltage))


def _leaky(sources: tuple[EnergySource, ...], stream: Stream) -> str:
    found = returning({one.id: one.kind for one in sources})
    return found[stream.below("leaky", len(found))]


def _dies(stream: Stream) -> TesterDies:
    return "start" if stream.below("dies", 2) else "between"


def _said(words: Words) -> Said:
    return Said(words["en"], words["es"])
