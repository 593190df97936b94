"""What a learner may see of an aiming task before the end: the bay, the swivels as turned, what was measured."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from trainer.benches.acts import Act
from trainer.benches.aiming.light import wall_miss
from trainer.benches.aiming.signal_bar import shown_gain, signal_bar
from trainer.benches.aiming.task import AXES, Task
from trainer.benches.aiming.telling import axis_words, done_words
from trainer.benches.aiming.views import miss_words, signed, swivels
from trainer.benches.aiming.walk import State, kinds, walk
from trainer.benches.frame import Offer, Shown, Table
from trainer.language.questions import SignalWord
from trainer.sites.survey.reader import Reader


def show(task: Task, acts: Sequence[Act], reader: Reader) -> Shown:
    """The task, both views, the signal, and what was measured so far."""
    states = walk(task, acts)
    now = states[-1]
    notes = tuple(done_words(task, before, after, reader) for before, after in pairwise(states))
    return Shown(
        task=tuple(_task_words(task, reader)),
        drawings=(signal_bar(task, now, reader), *(swivels(task, now, tilt, reader) for tilt in (0, 1))),
        tables=(
            _standing(task, now, reader),
            _swivel_table(task, now, reader),
            *_reading_table(task, now, reader),
        ),
        offers=tuple(_offers(task, now)),
        said=notes[-1] if notes else "",
        notes=notes,
        caution=caution(reader),
    )


def caution(reader: Reader) -> tuple[SignalWord, str]:
    """What can hurt whoever aims a pair."""
    return "danger", reader.say(
        "You stand in the lane to aim. First an authorized person stops and locks out conveyor, brushes and spray, "
        "29 CFR 1910.147. The floor is wet: stand a ladder on firm, dry ground and have it held. "
        "Local codes and licensed practice come first.",
        "Para apuntar te paras en el carril. Antes, una persona autorizada para y bloquea transportador, cepillos y "
        "rociado, 29 CFR 1910.147. El piso está mojado: pon la escalera en lugar firme y seco, y que alguien la "
        "sostenga. Los códigos locales y el electricista con licencia van primero.",
    )


def _task_words(task: Task, reader: Reader) -> Iterator[str]:
    eye, apart = reader.said(task.eye_name), reader.write(task.distance, "ft in")
    yield reader.say(
        f"Aim the pair “{eye}”: {apart} from lens to lens. Both heads sit crooked, to the side and up or down. "
        "You cannot tell by eye how far.",
        f"Apunta el par «{eye}»: {apart} de lente a lente. Los dos cabezales quedaron chuecos, de lado y de arriba "
        "abajo. A ojo no se nota cuánto.",
    )
    yield _angle_words(task, reader)
    yield _gain_words(task, reader)
    yield from _surprise_words(task, reader)
    yield reader.say(
        f"String first, then wipe both lenses, then read, turn, read. You have {task.turns} turns; {task.par} cost "
        "nothing, nor does time.",
        f"Primero el hilo, luego limpia los dos lentes, luego lee, mueve, lee. Tienes {task.turns} movimientos; "
        f"{task.par} no cuestan nada, y el tiempo tampoco.",
    )


def _gain_words(task: Task, reader: Reader) -> str:
    asked, sheet = reader.times(task.required), reader.times(task.site_gain)
    wobble, known = reader.write(task.wobble_share, "%"), task.level == 1
    had = reader.say(
        "The sheet says" if known else "With other heads the sheet said",
        "La hoja dice" if known else "Con otros cabezales la hoja decía",
    )
    return reader.say(
        f"The signal tells how many times more light arrives than the receiver needs to switch. The place asks for "
        f"{asked}. {had} {sheet} for this pair, clean and well aimed. A reading is off by up to {wobble} either way.",
        f"La señal dice cuántas veces más luz llega de la que el receptor necesita para conmutar. El lugar pide "
        f"{asked}. {had} {sheet} para este par, limpio y bien apuntado. Una lectura se desvía hasta {wobble} para "
        "cada lado.",
    )


def _angle_words(task: Task, reader: Reader) -> str:
    one = reader.tape(wall_miss(task, math.radians(1)))
    emitter, receiver = (reader.write(half, "deg") for half in task.half_angles)
    if emitter == receiver:
        return reader.say(
            f"One degree is {one} at the other wall. A head {emitter} off its mate passes half its light.",
            f"Un grado son {one} en la otra pared. Un cabezal desviado {emitter} deja pasar la mitad de su luz.",
        )
    return reader.say(
        f"One degree is {one} at the other wall. Half the light is lost with the emitter {emitter} off, "
        f"or the receiver {receiver}.",
        f"Un grado son {one} en la otra pared. Se pierde la mitad de la luz con el emisor desviado {emitter}, "
        f"o el receptor {receiver}.",
    )


def _surprise_words(task: Task, reader: Reader) -> Iterator[str]:
    if task.level == 1:
        return
    yield reader.say(
        "A lens may look a little past its own housing. Mist may pass, or a lens may get splashed while you work: "
        "when the reading falls though you turned nothing, wipe, or wait and read again.",
        "Un lente puede mirar un poco fuera de su carcasa. Puede pasar neblina o salpicarse un lente mientras "
        "trabajas: si la lectura baja sin que movieras nada, limpia, o espera y lee otra vez.",
    )


def _standing(task: Task, now: State, reader: Reader) -> Table:
    minutes = reader.write(60.0 * now.minute, "min")
    halves = " / ".join(reader.write(half, "deg") for half in task.half_angles)
    heights = " / ".join(reader.tape(height) for height in task.heights)
    last = shown_gain(now.readings[-1].shown, reader) if now.readings else "–"
    rows = (
        (reader.say("Last reading", "Última lectura"), last),
        (reader.say("Asked for", "Se pide"), reader.times(task.required)),
        (reader.say("On the site sheet", "En la hoja del sitio"), reader.times(task.site_gain)),
        (reader.say("Turns made, and there are", "Movimientos hechos, y hay"), f"{now.turns} / {task.turns}"),
        (reader.say("Minutes on the job", "Tiempo de trabajo"), minutes),
        (reader.say("Lens to lens", "De lente a lente"), reader.write(task.distance, "ft in")),
        (reader.say("Lens heights, emitter / receiver", "Altura de lentes, emisor / receptor"), heights),
        (reader.say("Half-angle, emitter / receiver", "Medio ángulo, emisor / receptor"), halves),
    )
    return Table(reader.say("Where you stand", "Cómo vas"), (), rows)


def _swivel_table(task: Task, now: State, reader: Reader) -> Table:
    def row(axis: int) -> tuple[str, ...]:
        head, tilt = axis // 2, axis % 2
        seen = [one for one in now.sightings if one.head == head]
        told = miss_words(seen[-1].tilt if tilt else seen[-1].pan, tilt, reader) if seen else "–"
        then = signed(seen[-1].turned[tilt], task.steps[head], reader) if seen else "–"
        return axis_words(axis, reader), signed(now.turned[axis], task.steps[head], reader), told, then

    return Table(
        reader.say("Swivels", "Rótulas"),
        (
            reader.say("Axis", "Eje"),
            reader.say("Turned", "Movido"),
            reader.say("Last string told", "El último hilo dijo"),
            reader.say("Swivel then", "Rótula entonces"),
        ),
        tuple(row(axis) for axis in range(len(AXES))),
    )


def _reading_table(task: Task, now: State, reader: Reader) -> Iterator[Table]:
    if not now.readings:
        return
    steps = [task.steps[axis // 2] for axis in range(len(AXES))]
    rows = tuple(
        (
            reader.whole(number),
            reader.write(60.0 * one.minute, "min"),
            shown_gain(one.shown, reader),
            *(signed(at, step, reader) for at, step in zip(one.turned, steps, strict=True)),
        )
        for number, one in enumerate(now.readings, 1)
    )
    head = (reader.say("No.", "N.º"), reader.say("Minute", "Minuto"), reader.say("Reading", "Lectura"))
    axes = tuple(axis_words(axis, reader) for axis in range(len(AXES)))
    yield Table(
        reader.say("Readings, and the swivels then", "Lecturas, y las rótulas entonces"), head + axes, rows
    )


def _offers(task: Task, now: State) -> Iterator[Offer]:
    """Every act that is left; the string comes first, then the signal."""
    both = {one.head for one in now.sightings} == {0, 1}
    following = "read" if both else "string"
    if now.turns >= task.turns and now.last is not None and now.last.kind == "read":
        following = "finish"
    for kind in kinds(task):
        if kind.kind.startswith("turn_"):
            if now.turns < task.turns:
                yield Offer(kind, {"by": 0.0})
        else:
            yield Offer(kind, primary=kind.kind == following)
