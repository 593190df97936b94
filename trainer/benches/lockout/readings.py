"""What somebody at the machine sees and hears: gauges, points, locks, the tester, and what the last step did."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.benches.lockout.play import BOX, Done, State
from trainer.benches.lockout.task import FED, NAMES, Source, Task
from trainer.sites.said import Said
from trainer.sites.sheet import EnergyKind
from trainer.sites.survey.reader import Reader
from trainer.solver.energies import energy

_STANDING: Mapping[EnergyKind, tuple[Said, Said, Said]] = {
    # with its point free, isolated, and let out
    "electric": (Said("live", "con voltaje"), Said("cut off", "cortada"), Said("cut off", "cortada")),
    "gravity": (
        Said("raised", "levantado"),
        Said("raised, propped", "levantado, calzado"),
        Said("at rest", "en reposo"),
    ),
    "spring": (Said("tight", "tenso"), Said("tight, pinned", "tenso, con pasador"), Said("slack", "flojo")),
}
_HELD: Mapping[str, tuple[Said, Said]] = {
    "disconnect": (Said("closed", "cerrado"), Said("open", "abierto")),
    "line_valve": (Said("open", "abierta"), Said("shut", "cerrada")),
    "block": (Said("not set", "sin poner"), Said("set", "puesto")),
}


def device(task: Task, point: str) -> str:
    """What isolates at a point: disconnect, line_valve or block."""
    return energy(task.source(task.point(point).sources[0]).kind).isolated_by[0]


def point_now(task: Task, now: State, point: str, reader: Reader) -> str:
    """How a point stands, and whose locks hang on it."""
    standing = reader.said(_HELD[device(task, point)][point in now.open])
    return f"{standing}; {locks_on(now, point, reader)}"


def locks_on(now: State, place: str, reader: Reader) -> str:
    """Whose locks hang at a point or on the box."""
    names = [reader.said(NAMES[one]) for one in NAMES if (place, one) in now.locks]
    if not names:
        return reader.say("no lock", "sin candado")
    head = (
        reader.say("lock and tag", "candado y etiqueta") if place != BOX else reader.say("locks", "candados")
    )
    return f"{head}: {', '.join(names)}"


def source_now(task: Task, now: State, source: Source, reader: Reader) -> str:
    """What is seen of a source's energy: its gauge, its meter, how it stands."""
    stage = 2 if source.id in now.free else int(source.point in now.open)
    if source.kind in FED:
        seen = reader.say("gauge", "manómetro") + ": " + reader.write(pressure(task, now, source), "psi", 0)
        hot = source.kind == "hot_water" and source.id not in now.free
        seen += reader.say(", hot", ", caliente") if hot else ""
    elif source.kind == "stored_charge":
        seen = _charge(task, now, stage, reader)
    else:
        seen = reader.said(_STANDING[source.kind][stage])
    return seen + _kept(now, source, reader) + _looked(now, source, reader)


def pressure(task: Task, now: State, source: Source) -> float:
    """What a gauge reads [Pa]."""
    if source.id == task.leaky and now.risen:
        return source.creep
    return 0.0 if source.id in now.free else source.pressure


def _charge(task: Task, now: State, stage: int, reader: Reader) -> str:
    """The drive's own meter: it shows, and proves nothing."""
    safe = reader.write(task.safe, "V")
    if task.leaky and now.risen and task.source(task.leaky).kind == "stored_charge":
        return reader.say("meter: ", "medidor: ") + reader.write(2 * task.safe, "V")
    if stage == 2:
        return reader.say(f"meter: below {safe}", f"medidor: menos de {safe}")
    falling = reader.say(", falling", ", bajando") if stage else ""
    return reader.say("meter: ", "medidor: ") + reader.write(task.bus, "V") + falling


def _kept(now: State, source: Source, reader: Reader) -> str:
    if source.id not in now.kept:
        return ""
    if source.kind == "stored_charge":
        return reader.say("; tester left on it, watched", "; probador puesto, vigilado")
    return reader.say("; drain open, watched", "; desagüe abierto, vigilado")


def _looked(now: State, source: Source, reader: Reader) -> str:
    seen = now.at_zero(source.id)
    if seen is None:
        return ""
    return (
        reader.say("; looked: zero", "; visto: cero")
        if seen
        else reader.say("; looked: not zero", "; visto: no cero")
    )


def happened(task: Task, done: Done, reader: Reader) -> str:
    """What a step did, as plain facts."""
    found = f"{reader.said(done.card.label)}. {_fact(task, done, reader)}".strip()
    if done.after.risen and not done.before.risen:
        what = task.source(task.leaky)
        found += f" {reader.said(what.what)}: {source_now(task, done.after, what, reader)}."
    return found


def _fact(task: Task, done: Done, reader: Reader) -> str:
    card, now = done.card, done.after
    match card.act:
        case "isolate" | "lock" | "remove" | "hand_off":
            return _capital(point_now(task, now, card.key, reader)) + "."
        case "release" | "keep" | "verify":
            return _at_source(task, done, reader)
        case "prove":
            return _word(now, reader)
        case "box_on" | "box_off":
            return _capital(locks_on(now, BOX, reader)) + "."
    return _moves(task, done, reader) if card.act in ("try", "run", "start") else ""


def _at_source(task: Task, done: Done, reader: Reader) -> str:
    key, now = done.card.key, done.after
    if done.card.act == "verify" and key in task.tested:
        silent = now.at_zero(key)
        return (
            reader.say("The tester shows nothing.", "El probador no marca nada.")
            if silent
            else reader.say("The tester shows voltage.", "El probador marca voltaje.")
        )
    return _capital(source_now(task, now, task.source(key), reader)) + "."


def _word(now: State, reader: Reader) -> str:
    if now.word == "live":
        return reader.say("The tester shows the voltage.", "El probador marca el voltaje.")
    return reader.say(
        "The tester stays silent on a source that is live.",
        "El probador se queda mudo en una fuente que está viva.",
    )


def _moves(task: Task, done: Done, reader: Reader) -> str:
    """Whether the machine moves when somebody starts it: it needs its electric supply."""
    now = done.before if done.card.act == "try" else done.after
    electric = [one for one in task.sources if one.kind == "electric"] or list(task.sources)
    if any(one.point not in now.open for one in electric):
        return reader.say("The machine starts.", "La máquina arranca.")
    return reader.say("Nothing moves.", "Nada se mueve.")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
