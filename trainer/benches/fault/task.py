"""The task: one eye of the site, the symptom somebody saw, what may be wrong there, and what every test would say."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from trainer.benches.acts import Option, Pick
from trainer.benches.fault.faults import hypotheses, label, weight
from trainer.benches.fault.loop import PAIRS, SAYS, SYMPTOMS, Loop, Symptom, can_make, parts_of
from trainer.benches.fault.loop_tests import TESTS, TOLD
from trainer.benches.frame import LEVELS, NoTask
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.sites.said import Said
from trainer.sites.sheet import EnergySource, EyePair, Operate, SiteSheet, Words
from trainer.solver.diagnosis import Policy, best_policy, fault_table
from trainer.solver.electrical import decode_ip, discharge_time, voltage_drop

STOPS = 100  # chances are told as so many of a hundred stops
_EASY = ("look", "signal", "cover", "clean", "aim", "plug", "swap")
_LEAST_GAIN: Mapping[Symptom, float] = {"always": 1.2, "never": 1.2, "flickers": 2.0, "long": 4.0}
_HIGH = 1.5  # m; a lens above it needs a ladder
_DIRT = {"clean": 0.4, "slightly_dirty": 0.7, "moderately_dirty": 1.0, "very_dirty": 1.8}
_PREPARING, _EACH_SOURCE = 10.0, 3.0  # min of a lockout: common practice, no source
_LONGEST_ISOLATION = 60.0


@dataclass(frozen=True)
class Readings:
    """What meters show on this loop [SI]: gains, voltages, and resistances with the far end bridged."""

    full: float
    weak: tuple[float, ...]
    better: tuple[float, ...]
    volts: float
    low: float
    least: float
    ohms: float
    short: float
    cable: float


@dataclass(frozen=True)
class Money:
    """What standing still costs: cars that would have come [1/s], the margin of one, a call-out, a head [$]."""

    car_rate: float
    margin: float
    call_out: float
    head: float


@dataclass(frozen=True)
class FaultTask:
    """One loop with a hidden fault.

    hypotheses: what may be wrong, by id; chances: of a hundred stops with this symptom, 0 where it cannot make it
    tests: by id; minutes of each; outcomes[test][hypothesis]: the key of what it says
    isolation: minutes of locking out, verifying and giving back; 0 where no test needs it
    hidden: the place of what is really wrong
    """

    level: int
    system: System
    eye: Said
    neighbor: Said | None
    cabinet: str
    isolate_at: tuple[Said, ...]
    operate: Operate
    symptom: Symptom
    hypotheses: tuple[str, ...]
    chances: tuple[int, ...]
    tests: tuple[str, ...]
    minutes: tuple[float, ...]
    outcomes: tuple[tuple[str, ...], ...]
    isolation: float
    readings: Readings
    money: Money
    hidden: int

    def said(self, test: str) -> str:
        """The key of what a test says here."""
        return self.outcomes[self.tests.index(test)][self.hidden]

    def code(self, test: int, hypothesis: int) -> int:
        """What a test says under a hypothesis, as the solver's whole number."""
        return list(TOLD[self.tests[test]]).index(self.outcomes[test][hypothesis])

    @property
    def policy(self) -> Policy:
        """The exact best search of this task."""
        return _policy(replace(self, hidden=0))


@lru_cache(maxsize=16)
def _policy(task: FaultTask) -> Policy:
    """Worked out once a table: what is hidden is no part of it."""
    table = fault_table(
        task.chances,
        task.minutes,
        [[task.code(test, one) for one in range(len(task.hypotheses))] for test in range(len(task.tests))],
        [place for place, test in enumerate(task.tests) if TESTS[test].after_isolation],
        task.isolation,
    )
    return best_policy(table)


def options(sheet: SiteSheet) -> tuple[Pick, ...]:
    """What a trainer may fix: the level, the fault that is there, the eye."""
    levels = tuple(Option(one, Said(f"Level {one}", f"Nivel {one}")) for one in LEVELS)
    known = hypotheses(3, len(sheet.eyes) > 1)
    return (
        Pick("level", Said("Level", "Nivel"), levels),
        Pick("fault", Said("Fault", "Falla"), tuple(Option(one, label(one)) for one in known)),
        Pick("eye", Said("Eye", "Ojo"), tuple(Option(one.id, _name(one.name)) for one in sheet.eyes)),
    )


def make_task(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> FaultTask:
    """A loop of the site with one of the faults that can make the symptom, drawn by how likely each is."""
    level = int(fixed["level"])
    # Everything is drawn whether it is fixed or not, so that fixing one thing leaves the others alone.
    eye = _eye(sheet, fixed.get("eye"), stream.below("eye", len(sheet.eyes)))
    neighbor = _neighbor(sheet, eye)
    known = hypotheses(level, neighbor is not None)
    asked = fixed.get("fault")
    symptom = _symptom(eye, known, asked, level, stream)
    chances = _chances(known, symptom, eye, _site(sheet, eye, neighbor))
    drawn = _weighted(chances, stream.below("fault", STOPS))
    tests = tuple(one for one in TESTS if one in _EASY or (level > 1 and (one != "neighbor" or neighbor)))
    sources = _sources(sheet) if level > 1 else ()
    loops = [Loop(parts_of(one), symptom, eye.operate) for one in known]
    return FaultTask(
        level=level,
        system=system,
        eye=_name(eye.name),
        neighbor=_name(neighbor.name) if neighbor else None,
        cabinet=sheet.cabinets[0].name if level > 1 else "",
        isolate_at=tuple(_name(one.isolate_at) for one in sources),
        operate=eye.operate,
        symptom=symptom,
        hypotheses=known,
        chances=chances,
        tests=tests,
        minutes=_minutes(sheet, eye, tests, stream),
        outcomes=tuple(tuple(SAYS[test](loop) for loop in loops) for test in tests),
        isolation=_isolation(sheet, sources) if level > 1 else 0.0,
        readings=_readings(sheet, eye, symptom, stream),
        money=_money(sheet),
        hidden=drawn if asked is None else known.index(asked),
    )


def _name(words: Words) -> Said:
    return Said(words["en"], words["es"])


def _eye(sheet: SiteSheet, asked: str | None, drawn: int) -> EyePair:
    return next((one for one in sheet.eyes if one.id == asked), sheet.eyes[drawn])


def _neighbor(sheet: SiteSheet, eye: EyePair) -> EyePair | None:
    """The other pair that stands nearest along the conveyor."""
    others = [one for one in sheet.eyes if one.id != eye.id]
    return min(others, key=lambda one: abs(one.position - eye.position), default=None)


def _symptom(eye: EyePair, known: Sequence[str], asked: str | None, level: int, stream: Stream) -> Symptom:
    """A symptom that some of the faults can make, the asked one among them; at level 3 two at once can too."""
    if asked is not None and asked not in known:
        why = "This fault is not part of this level: choose a higher level, or another fault."
        raise NoTask(Said(why, "Esta falla no es de este nivel: elige un nivel más alto u otra falla."))
    fits = [one for one in SYMPTOMS if _can_be(one, eye, known, level)]
    if asked is not None:
        fits = [one for one in fits if can_make(asked, one, eye.operate)] or [
            one for one in SYMPTOMS if can_make(asked, one, eye.operate) and _bright(one, eye)
        ]
    if not fits:
        raise NoTask(
            Said(
                "This eye's signal is too weak to practice on: check its excess gain on the site sheet.",
                "La señal de este ojo es muy débil para practicar: revisa su ganancia de exceso en la hoja "
                "del sitio.",
            )
        )
    return fits[stream.below("symptom", len(fits))]


def _can_be(symptom: Symptom, eye: EyePair, known: Sequence[str], level: int) -> bool:
    able = [one for one in known if can_make(one, symptom, eye.operate)]
    pairs = sum(one in PAIRS for one in able)
    return len(able) >= 4 and (level < 3 or pairs > 1) and _bright(symptom, eye)


def _bright(symptom: Symptom, eye: EyePair) -> bool:
    return eye.excess_gain >= _LEAST_GAIN[symptom]


def _site(sheet: SiteSheet, eye: EyePair, neighbor: EyePair | None) -> dict[str, float]:
    """What this site makes more or less likely, by single fault: common practice, no source."""
    away = abs(neighbor.position - eye.position) if neighbor else math.inf
    supply = sheet.supply
    spare = _volts(sheet) - supply.voltage * supply.tolerance - supply.least_voltage
    cable = min(max(supply.length / 60.0, 0.5), 2.0)
    return {
        "dirty_lens": _DIRT[eye.environment] * min(max(20.0 / eye.excess_gain, 0.6), 1.6),
        "wet_plug": 0.7 if decode_ip(eye.enclosure).stands_jets else 1.6,
        "crosstalk": 2.0 if away < 1.0 else 1.0 if away < 5.0 else 0.5,
        "low_supply": 3.0 if spare < 1.0 else 1.0,
        "open_wire": cable,
        "short": cable,
    }


def _chances(
    known: Sequence[str], symptom: Symptom, eye: EyePair, site: Mapping[str, float]
) -> tuple[int, ...]:
    """Of a hundred stops with this symptom, how many each makes; at least one for whatever can make it."""
    weights = [weight(one, symptom, site) if can_make(one, symptom, eye.operate) else 0.0 for one in known]
    shares = [STOPS * one / sum(weights) for one in weights]
    counts = [max(math.floor(share), 1) if share > 0 else 0 for share in shares]
    while (missing := STOPS - sum(counts)) != 0:
        step = 1 if missing > 0 else -1
        able = [i for i, count in enumerate(counts) if count > (0 if step > 0 else 1)]
        counts[max(able, key=lambda i: step * (shares[i] - counts[i]))] += step
    return tuple(counts)


def _weighted(chances: Sequence[int], number: int) -> int:
    """The place at which a running sum passes the number."""
    for place, chance in enumerate(chances):
        number -= chance
        if number < 0:
            return place
    raise ValueError("the number must be below the sum of the chances")


def _minutes(sheet: SiteSheet, eye: EyePair, tests: Sequence[str], stream: Stream) -> tuple[float, ...]:
    """Minutes of each test here: ways, ladder, meter and spare head differ from wash to wash and day to day."""
    walk = (1, 3, 6)[stream.below("walk", 3)]  # from the eye to the controller and back
    meter = (0, 8)[stream.below("meter", 2)]  # at hand, or in the truck
    display = (0, 5)[stream.below("display", 2)]  # in sight, or under a screwed cover
    ladder = 2 if max(eye.low, eye.high) > _HIGH else 0
    shelf = 0 if sheet.business.spares_on_shelf else 10  # otherwise a working eye lends its head
    more = {
        "settings": walk, "compare": walk, "neighbor": walk, "volts": meter, "ohms": meter,
        "swap": shelf + ladder, "signal": display,
        "clean": ladder, "plug": ladder, "labels": ladder, "aim": ladder, "cover": ladder,
    }  # fmt: skip
    return tuple(float(TESTS[test].minutes + more.get(test, 0)) for test in tests)


def _sources(sheet: SiteSheet) -> tuple[EnergySource, ...]:
    """What must be locked out before the first cabinet is opened."""
    if not sheet.cabinets:
        raise NoTask(
            Said(
                "The site sheet names no control cabinet: enter one, or choose level 1.",
                "La hoja del sitio no nombra ningún tablero de control: anota uno o elige el nivel 1.",
            )
        )
    found = tuple(one for one in sheet.energy_sources if one.machine == sheet.cabinets[0].machine)
    if not found:
        raise NoTask(
            Said(
                f"The site sheet names no energy source of {sheet.cabinets[0].name}: enter them, or choose "
                "level 1.",
                f"La hoja del sitio no nombra energías de {sheet.cabinets[0].name}: anótalas o elige el "
                "nivel 1.",
            )
        )
    return found


def _isolation(sheet: SiteSheet, sources: Sequence[EnergySource]) -> float:
    """Minutes of locking out, verifying and giving back; the drive's charge needs its time too."""
    drive = sheet.drive
    if drive.bus_voltage > drive.safe_voltage:
        wait = float(
            discharge_time(drive.bleed_resistor, drive.capacitor, drive.bus_voltage, drive.safe_voltage)
        )
    else:
        wait = 0.0
    return min(_PREPARING + _EACH_SOURCE * len(sources) + math.ceil(wait / 60.0), _LONGEST_ISOLATION)


def _volts(sheet: SiteSheet) -> float:
    """What one head alone at the far end of the cable gets [V]."""
    supply = sheet.supply
    return supply.voltage - float(
        voltage_drop(supply.head_current, supply.length, supply.resistance_per_length)
    )


def _readings(sheet: SiteSheet, eye: EyePair, symptom: Symptom, stream: Stream) -> Readings:
    """What meters show: how weak, how low and how far away is drawn."""
    supply = sheet.supply
    step = stream.below("weak", 4) / 10
    weak, better = {
        "flickers": ((0.8, 1.1), (1.0, 1.4)),
        "long": ((1.5 + step,), (2.1 + step,)),
    }.get(symptom, ((0.3 + step / 2,), (0.6 + step / 2,)))
    loop = 2 * supply.length * supply.resistance_per_length
    return Readings(
        full=eye.excess_gain,
        weak=weak,
        better=better,
        volts=round(_volts(sheet), 1),
        low=round(supply.least_voltage * (0.7 + stream.below("low", 4) / 20), 1),
        least=supply.least_voltage,
        ohms=round(loop, 1),
        short=round(loop * (3 + stream.below("short", 6)) / 10, 1),
        cable=supply.length,
    )


def _money(sheet: SiteSheet) -> Money:
    business = sheet.business
    return Money(
        car_rate=sheet.conveyor.cars_per_time,
        margin=business.margin_per_car,
        call_out=business.call_out,
        head=business.head_price,
    )
