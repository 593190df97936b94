"""A placement and what it does, in words of both languages."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from trainer.benches.beam.passing import MISSED, ONCE, OVER, TWICE, UNDER, Fates, passings, places, row_of
from trainer.benches.beam.playing import SIDE_NAMES
from trainer.benches.beam.sunlight import sun_minutes_of
from trainer.benches.beam.task import Placed, Task
from trainer.quantities.dimensions import Language
from trainer.sites.said import Said
from trainer.sites.sheet import SIDES
from trainer.sites.survey.reader import Reader

PART_LABELS: Mapping[str, Said] = {
    "whole": Said("Seen once and whole", "Visto una vez y entero"),
    "nose": Said("Nose on time", "Trompa a tiempo"),
    "tail": Said("Tail on time", "Cola a tiempo"),
    "sun": Said("Out of the sun", "Fuera del sol"),
    "signal": Said("Light to spare in steam", "Luz de sobra con vapor"),
}
FATES: Mapping[int, Said] = {
    ONCE: Said("seen once", "visto una vez"),
    TWICE: Said("counted twice", "contado dos veces"),
    MISSED: Said("too short to count", "muy corto para contar"),
    UNDER: Said("missed: beam runs under", "no visto: el haz va por debajo"),
    OVER: Said("missed: beam runs over", "no visto: el haz va por encima"),
}


def both(task: Task, write: Callable[[Reader], str]) -> Said:
    """A text with numbers, written for readers of both languages in the task's units."""
    languages: tuple[Language, ...] = ("en", "es")
    return Said(*(write(Reader(one, task.system)) for one in languages))


def where(placed: Placed, to: Reader) -> str:
    """Both heights in a few words."""
    driver, passenger = to.tape(placed.driver), to.tape(placed.passenger)
    return to.say(
        f"driver's side {driver}, passenger's side {passenger}",
        f"lado del conductor {driver}, lado del pasajero {passenger}",
    )


def where_all(task: Task, placed: Placed, to: Reader) -> str:
    """Both heights, and the receiver's side where it was to be chosen."""
    if not task.sunny:
        return where(placed, to)
    side = to.said(SIDE_NAMES[placed.receiver])
    return where(placed, to) + to.say(f", receiver on the {side}", f", receptor en el {side}")


def worst_fate(fates: Fates) -> int:
    """Of a vehicle's passes, the end that matters most."""
    bad = [int(one) for one in fates.ravel() if one != ONCE]
    return max(bad, key=lambda one: (bad.count(one), one)) if bad else ONCE


def fate_said(fates: Fates, to: Reader) -> str:
    """How a vehicle's passes over the lane end."""
    worst = worst_fate(fates)
    text = to.said(FATES[worst])
    bad = int((fates != ONCE).sum())
    if 0 < bad < fates.size:
        text += to.say(f" at {bad} of {fates.size} places", f" en {bad} de {fates.size} lugares")
    return text


def part_found(task: Task, placed: Placed, part: str) -> Said:
    """What was found in one part."""
    return both(task, lambda to: _FOUND[part](task, placed, to))


def blinded(task: Task, placed: Placed) -> bool:
    """Whether another pair's light holds the receiver lit."""
    return bool(passings(task).blinded[row_of(task, placed), SIDES.index(placed.receiver)])


def _whole(task: Task, placed: Placed, to: Reader) -> str:
    if blinded(task, placed):
        return to.say(
            "Another pair's light keeps the receiver lit: nothing is seen.",
            "La luz de otro par mantiene prendido el receptor: no se ve nada.",
        )
    fates = passings(task).fates[row_of(task, placed)]
    bad = int((fates != ONCE).sum())
    if not bad:
        return to.say("Every vehicle, everywhere in the lane.", "Todos, en todo el carril.")
    worst = int(np.argmax((fates != ONCE).sum(axis=1)))
    name, said = task.vehicles[worst].name[to.language], fate_said(fates[worst], to)
    return to.say(
        f"{bad} of {fates.size} passes went wrong. Most: {name}, {said}.",
        f"{bad} de {fates.size} pasadas salieron mal. La peor: {name}, {said}.",
    )


def _end(errors_of: str) -> Callable[[Task, Placed, Reader], str]:
    def found(task: Task, placed: Placed, to: Reader) -> str:
        errors = getattr(passings(task), errors_of)[row_of(task, placed)]
        worst = int(np.argmax(np.abs(errors)))
        name, said = task.vehicles[worst].name[to.language], off(float(errors[worst]), to)
        return to.say(f"Worst: {name}, {said}.", f"El peor: {name}, {said}.")

    return found


def off(error: float, to: Reader) -> str:
    """How far an end is reported from where it is: late, early, on time, or not at all."""
    if math.isinf(error):
        return to.say("not seen everywhere", "no visto en todas partes")
    size = to.tape(abs(error))
    if size.startswith("0\u00a0"):
        return to.say("on time", "a tiempo")
    return f"{size} " + (to.say("late", "tarde") if error > 0 else to.say("early", "antes"))


def _sun(task: Task, placed: Placed, to: Reader) -> str:
    minutes = sun_minutes_of(task, placed)
    if not minutes:
        return to.say("No sun in the receiver all year.", "Sin sol en el receptor todo el año.")
    return to.say(
        f"{to.whole(minutes)} minutes a year with the sun in the receiver.",
        f"{to.whole(minutes)} minutos al año con el sol en el receptor.",
    )


def _signal(task: Task, placed: Placed, to: Reader) -> str:
    margin = float(passings(task).margin[row_of(task, placed)])
    number = to.number(margin, 2)
    if margin >= 1:
        return to.say(
            f"{number} times the light that steam must leave.",
            f"{number} veces la luz que el vapor debe dejar.",
        )
    return to.say(
        f"Only {number} of the light that steam must leave.",
        f"Solo {number} de la luz que el vapor debe dejar.",
    )


_FOUND: Mapping[str, Callable[[Task, Placed, Reader], str]] = {
    "whole": _whole,
    "nose": _end("nose"),
    "tail": _end("tail"),
    "sun": _sun,
    "signal": _signal,
}


def lane_place(task: Task, at: int, to: Reader) -> str:
    """One of the places in the lane, in words."""
    offset = float(places(task)[at])
    if abs(offset) < 1e-9:
        return to.say("in the middle of the lane", "en medio del carril")
    size, side = to.tape(abs(offset)), to.said(SIDE_NAMES["driver" if offset > 0 else "passenger"])
    return to.say(f"{size} toward the {side}", f"{size} hacia el {side}")


def listed(parts: Sequence[str], to: Reader) -> str:
    """`a, b and c`."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {to.say('and', 'y')} {parts[-1]}"
