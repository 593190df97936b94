"""How a recording is drawn: which vehicles, people and bursts of spray passed, when, and how fast the chain ran."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trainer.benches.delay.asking import can_be_met
from trainer.benches.delay.bodies import Pool, Rolling, pool, rolling_by
from trainer.benches.delay.task import STEP, Block, Event, EventKind, Facts, Stretch, Task
from trainer.benches.frame import NoTask
from trainer.language.draws import Stream
from trainer.quantities.dimensions import System
from trainer.quantities.units import UNITS
from trainer.sites.said import Said
from trainer.sites.sheet import EyePair, SiteSheet
from trainer.solver.recorded import scanned

START = (0.1, 0.1)  # s; what the eye comes with
_NAMES: Mapping[EventKind, Said] = {
    "person": Said("person", "persona"),
    "cart": Said("person with a cart", "persona con carrito"),
    "spray": Said("spray", "rocío"),
}
_SHARES = (0.55, 0.65, 0.75, 0.85)  # of the slowest person's time: how long others take
_SPRAY = 0.3  # s; the longest speck of spray: common practice, no source
_ROLLED = 0.9  # of the longest hole: how close vehicles are that were rolled up
_PACES = (0.75, 0.85, 0.95, 1.0, 1.1)  # of the sheet's speed: busy days and slow ones
_LOOSE = (1.25, 1.5)  # of the smallest gap: how close the practice part comes


@dataclass(frozen=True)
class _Plan:
    """What comes in one part of a recording: vehicles by group, and what crosses the floor between them."""

    groups: tuple[str, ...]
    floor: tuple[str, ...]


@dataclass
class _Reel:
    """A recording that grows; clock: now [s]; room: what is clear between things that stand alone [s]."""

    facts: Facts
    stream: Stream
    clock: float
    room: float

    def wait(self) -> None:
        """Nothing passes for a while."""
        self.clock += self.room + 0.01 * self.stream.below("wait", 250)

    def seen(self, spans: Sequence[tuple[float, float]]) -> tuple[Block, ...]:
        """What the controller reads of blocks of the beam, times from now on [s]; the clock goes to their end."""
        late = self.clock + self.facts.input_filter
        scan = self.facts.scan
        read = scanned(scan, 0.0, [(late + on, late + off) for on, off in spans])
        self.clock += spans[-1][1]
        return tuple((round(on / scan), round(off / scan)) for on, off in read)


def make_task(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream, system: System) -> Task:
    """A recording of one of the eyes that count; the same for ever for one sheet, options and stream. Raises NoTask."""
    eye = _eye(sheet, fixed, stream)
    level = int(fixed.get("level", "1"))
    vehicles = rolling_by(sheet, eye)
    today = _today(sheet, vehicles, stream, system)
    bodies = pool(today, vehicles)
    conflict = _conflict(today, bodies, stream, system) if level > 2 else _Conflict()
    plans = _plans(bodies, level, conflict.more)
    facts = replace(_facts(today, bodies, plans, conflict), usual_speed=sheet.conveyor.speed)
    reel = _Reel(facts, stream, 1.0, facts.gap / facts.slow + 0.5)
    practice = _stretch(reel, bodies, plans[0], worst=False)
    rest = _stretch(reel, bodies, plans[1], worst=True)
    return Task(
        level=level,
        eye=Said(eye.name["en"], eye.name["es"]),
        system=system,
        facts=facts,
        practice=practice,
        rest=rest,
        start=START,
        on_most=_halves(max(1.5 * max(facts.walker, facts.cart, facts.nose_error / facts.slow), 2.0)),
        off_most=_halves(1.4 * max(facts.gap, facts.hole) / facts.slow),
    )


def _today(sheet: SiteSheet, vehicles: Sequence[Rolling], stream: Stream, system: System) -> SiteSheet:
    """The sheet with the chain as fast as it runs today: a speed at which all can be met, else its own."""
    step = UNITS["in/s" if system == "us" else "cm/s"].factor / 2
    speeds = {max(1, round(sheet.conveyor.speed * share / step)) * step for share in _PACES}
    todays = [replace(sheet, conveyor=replace(sheet.conveyor, speed=speed)) for speed in sorted(speeds)]
    fit = [one for one in todays if _fits(one, vehicles)] or [sheet]
    return fit[stream.below("pace", len(fit))]


def _fits(sheet: SiteSheet, vehicles: Sequence[Rolling]) -> bool:
    """Whether all that vehicles and people ask of the delays can be met at this speed."""
    bodies = pool(sheet, vehicles)
    return can_be_met(_facts(sheet, bodies, _plans(bodies, 2, ()), _Conflict()))


def counting_eyes(sheet: SiteSheet) -> tuple[EyePair, ...]:
    """The eyes that tell one car from the next: all but those that tell tall from low."""
    return tuple(one for one in sheet.eyes if one.purpose != "profile")


def _eye(sheet: SiteSheet, fixed: Mapping[str, str], stream: Stream) -> EyePair:
    """The fixed eye, or any that counts."""
    eyes = counting_eyes(sheet)
    if not eyes:
        raise NoTask(_NONE_COUNTS)
    named = [one for one in eyes if one.id == fixed.get("eye")]
    return named[0] if named else eyes[stream.below("eye", len(eyes))]


@dataclass(frozen=True)
class _Conflict:
    """Something that no setting does justice to: a cart [s], a gap [m], and what comes of them."""

    cart: float = 0.0
    rolled: float = 0.0
    more: tuple[str, ...] = ()


def _conflict(sheet: SiteSheet, bodies: Pool, stream: Stream, system: System) -> _Conflict:
    """A gap that is shorter than a hole, or a cart that takes longer than a nose may."""
    hole = max((one.hole for one in bodies.parted), default=0.0)
    unit = UNITS["in" if system == "us" else "cm"].factor
    rolled = math.floor(_ROLLED * hole / unit) * unit
    if rolled > 0 and stream.below("conflict", 2):
        return _Conflict(rolled=rolled, more=("rolled",) * (1 + stream.below("rolled", 2)))
    chain = sheet.conveyor
    needed = max(chain.walker_depth / chain.walker_speed, chain.nose_error / chain.speed)
    return _Conflict(
        cart=STEP * math.ceil(1.25 * needed / STEP), more=("cart",) * (1 + stream.below("carts", 2))
    )


def _plans(bodies: Pool, level: int, more: tuple[str, ...]) -> tuple[_Plan, _Plan]:
    """What the two parts hold: known to the learner but for its order, its times and which vehicles they are."""
    parted = ("parted",) if bodies.parted else ("whole",)
    flickering = ("flickering",) if bodies.flickering else ("whole",)
    practice = _Plan((*parted, "pair"), ("person", "spray"))
    if level == 1:
        return practice, _Plan((*parted, "pair", "whole"), ("slowest", "person", "spray"))
    carts, rolled = (tuple(one for one in more if one == kind) for kind in ("cart", "rolled"))
    groups = (*parted, *flickering, *(rolled or ("pair",)), "pair")
    return practice, _Plan(groups, ("slowest", *(carts or ("person",)), "spray", "spray"))


def _facts(sheet: SiteSheet, bodies: Pool, plans: tuple[_Plan, _Plan], conflict: _Conflict) -> Facts:
    """What may be known of a recording with these plans."""
    chain = sheet.conveyor
    groups = [one for plan in plans for one in plan.groups]
    floor = [one for plan in plans for one in plan.floor]
    pairs = sum(one in ("pair", "rolled") for one in groups)
    return Facts(
        usual_speed=chain.speed,
        speed=chain.speed,
        tolerance=chain.tolerance,
        scan=chain.scan_time,
        input_filter=chain.input_filter,
        walker_depth=chain.walker_depth,
        walker_speed=chain.walker_speed,
        cart=conflict.cart,
        hole=max((one.hole for one in (*bodies.parted, *bodies.flickering)), default=0.0),
        other_hole=bodies.parted[0].hole if bodies.parted else 0.0,
        gap=chain.smallest_gap,
        rolled=conflict.rolled,
        nose_error=chain.nose_error,
        beam_late=max(one.late for one in (*bodies.whole, *bodies.parted, *bodies.flickering)),
        cars=len(groups) + pairs,
        people=sum(one != "spray" for one in floor),
        carts=floor.count("cart"),
        sprays=floor.count("spray"),
        holed=groups.count("parted"),
        pairs=pairs,
        rolled_pairs=groups.count("rolled"),
    )


def _stretch(reel: _Reel, bodies: Pool, plan: _Plan, *, worst: bool) -> Stretch:
    """One part: groups of vehicles in a drawn order, the floor's events spread over the waits between them."""
    groups = _shuffled(reel.stream, "groups", plan.groups)
    floor = _shuffled(reel.stream, "floor", plan.floor)
    events: list[Event] = []
    for i, group in enumerate(groups):
        events += _group(reel, bodies, group, worst=worst)
        reel.wait()
        for kind in floor[i :: len(groups)]:
            events.append(_crossing(reel, kind))
            reel.wait()
    return Stretch(math.ceil(reel.clock / reel.facts.scan), tuple(events))


def _shuffled(stream: Stream, name: str, kinds: tuple[str, ...]) -> tuple[str, ...]:
    left, order = list(kinds), []
    while left:
        order.append(left.pop(stream.below(name, len(left))))
    return tuple(order)


def _group(reel: _Reel, bodies: Pool, group: str, *, worst: bool) -> list[Event]:
    """One vehicle, or two close together; in the worst part on the chain that makes it hardest."""
    facts, stream = reel.facts, reel.stream
    if group in ("pair", "rolled"):
        first, second = (bodies.whole[stream.below("body", len(bodies.whole))] for _ in range(2))
        speed = facts.fast if worst else _speed(facts, stream)
        gap = facts.rolled if group == "rolled" else facts.gap if worst else _loose(facts, stream)
        ahead = _car(reel, first, speed)
        reel.clock += gap / speed
        return [ahead, _car(reel, second, speed, close=True)]
    of_kind = {"parted": bodies.parted, "flickering": bodies.flickering, "whole": bodies.whole}[group]
    chosen = (
        of_kind[(-1 if worst else 0)] if group == "parted" else of_kind[stream.below("body", len(of_kind))]
    )
    speed = facts.slow if worst and group == "parted" else _speed(facts, stream)
    return [_car(reel, chosen, speed, holed=group == "parted")]


def _speed(facts: Facts, stream: Stream) -> float:
    """The chain as it happens to run: one of five speeds within half its tolerance."""
    return facts.speed * (1 + facts.tolerance * (stream.below("speed", 5) - 2) / 4)


def _loose(facts: Facts, stream: Stream) -> float:
    low, high = _LOOSE
    return facts.gap * (low + (high - low) * stream.below("gap", 11) / 10)


def _car(reel: _Reel, body: Rolling, speed: float, *, holed: bool = False, close: bool = False) -> Event:
    """A vehicle from its nose on; afterwards the clock stands where its last part leaves the beam."""
    nose = reel.clock
    blocks = reel.seen([(first / speed, last / speed) for first, last in body.spans])
    return Event("car", body.name, blocks, nose=nose, speed=speed, holed=holed, close=close)


def _crossing(reel: _Reel, kind: str) -> Event:
    """Somebody or something that is no car."""
    facts, stream = reel.facts, reel.stream
    if kind == "spray":
        return Event("spray", _NAMES["spray"], reel.seen(_specks(facts, stream)))
    if kind == "cart":
        return Event("cart", _NAMES["cart"], reel.seen([(0.0, facts.cart)]))
    share = 1.0 if kind == "slowest" else _SHARES[stream.below("share", len(_SHARES))]
    return Event("person", _NAMES["person"], reel.seen([(0.0, facts.walker * share)]))


def _specks(facts: Facts, stream: Stream) -> list[tuple[float, float]]:
    """A burst of spray: two to four specks, each far shorter than a person."""
    longest = min(_SPRAY, facts.walker / 2)
    specks, clock = [], 0.0
    for _ in range(2 + stream.below("specks", 3)):
        lasts = longest * (4 + stream.below("speck", 7)) / 10
        specks.append((clock, clock + lasts))
        clock += lasts + 0.2 + 0.05 * stream.below("pause", 5)
    return specks


def _halves(seconds: float) -> float:
    """Up to the next half second."""
    return math.ceil(seconds / 0.5) * 0.5


_NONE_COUNTS = Said(
    "No eye of this sheet counts cars: all of them tell tall from low. Give one the purpose measure or "
    "presence.",
    "Ningún ojo de esta hoja cuenta carros: todos distinguen alto de bajo. Da a uno el propósito measure o "
    "presence.",
)
