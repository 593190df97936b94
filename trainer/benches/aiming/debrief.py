"""What comes after an aiming run: where the heads truly looked, what that light means, the best, the replay."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from trainer.benches.acts import Act
from trainer.benches.aiming.light import Heads, angle, angles, budget, wall_miss
from trainer.benches.aiming.scoring import Margins, best_margins, best_turned, margins, one_head_only
from trainer.benches.aiming.signal_bar import course, shown_gain
from trainer.benches.aiming.task import AXES, FINE, Task
from trainer.benches.aiming.telling import axis_words, done_words, turn_words
from trainer.benches.aiming.views import miss_words, signed, truth
from trainer.benches.aiming.walk import AXIS_WORDS, HEAD_WORDS, State, of_head, true_gain, turn_of, walk
from trainer.benches.frame import Debrief, Moment, Table
from trainer.sites.survey.reader import Reader
from trainer.solver.signal import light_loss_tolerated


def debrief(task: Task, acts: Sequence[Act], reader: Reader) -> Debrief:
    """The outcome, the best, the advice, both views with the true axes, the course of the run, and each act."""
    states = walk(task, acts)
    end = states[-1]
    gains = [true_gain(task, one) for one in states]
    top = budget(task, Heads(best_turned(task))).gain
    return Debrief(
        outcome=tuple(_outcome(task, end, reader)),
        best=_best_words(task, end, reader),
        advice=_advice(task, end, reader),
        drawings=(
            *(truth(task, end, tilt, reader) for tilt in (0, 1)),
            course(task, gains, states, top, reader),
        ),
        tables=(_true_table(task, end, reader),),
        moments=tuple(_moment(task, before, after, reader) for before, after in pairwise(states)),
    )


def _outcome(task: Task, end: State, reader: Reader) -> Iterator[str]:
    found = margins(task, end.heads)
    gain = budget(task, end.heads).gain
    yield reader.say(
        f"You leave {shown_gain(gain, reader)} in clear air. The place asks for {reader.times(task.required)}: "
        f"you have {reader.times(found.now)} of that.",
        f"Dejas {shown_gain(gain, reader)} en aire limpio. El lugar pide {reader.times(task.required)}: "
        f"tienes {reader.times(found.now)} de eso.",
    )
    if gain <= 1:
        yield reader.say(
            "That is dark: the eye reports a car that is not there, and the wash runs or stops for nothing.",
            "Eso es oscuridad: el ojo avisa de un carro que no está, y el lavado arranca o para por nada.",
        )
        return
    yield _steam_words(task, end, reader)
    each = 1 - (1 - float(light_loss_tolerated(gain))) ** 0.5
    share = reader.write(round(each, 2), "%")
    yield reader.say(
        f"A film that takes {share} of the light on each lens would stop it.",
        f"Una película que quite el {share} de la luz en cada lente lo apagaría.",
    )
    yield _knock_words(task, found, end, reader)


def _steam_words(task: Task, end: State, reader: Reader) -> str:
    left = budget(task, end.heads, task.visibility_steam).gain
    if left > 1:
        return reader.say(
            f"On a steamy day {reader.times(left)} of it is left: the eye still sees.",
            f"En un día de vapor quedan {reader.times(left)}: el ojo todavía ve.",
        )
    return reader.say(
        f"On a steamy day {shown_gain(left, reader)} is left, below 1: the eye reports a car that is not there.",
        f"En un día de vapor quedan {shown_gain(left, reader)}, menos de 1: el ojo avisa de un carro que no está.",
    )


def _knock_words(task: Task, found: Margins, end: State, reader: Reader) -> str:
    left = shown_gain(budget(task, end.heads, knocked=found.worst).gain, reader)
    by = reader.write(2 * task.steps[found.worst // 2], "deg")
    head, axis = HEAD_WORDS[found.worst // 2], AXIS_WORDS[found.worst % 2]
    return reader.say(
        f"A knock of {by} the wrong way on the {head.en} ({axis.en}) would leave {left}.",
        f"Un golpe de {by} hacia el lado malo en el {head.es} ({axis.es}) dejaría {left}.",
    )


def _best_words(task: Task, end: State, reader: Reader) -> str:
    goal, top = best_turned(task), best_margins(task)
    turns = "; ".join(
        f"{axis_words(axis, reader).lower()}, {turn_words(axis, by, task.steps[axis // 2], reader)}"
        for axis, by in enumerate(goal)
        if by
    )
    share = reader.write(round(margins(task, end.heads).now / top.now, 3), "%")
    return reader.say(
        f"Whoever knew the angles would turn: {turns}; wipe both lenses, tighten. That leaves "
        f"{reader.times(top.now)} the light that is asked for. You have {share} of it.",
        f"Quien supiera los ángulos movería así: {turns}; limpiaría los dos lentes y apretaría. Eso deja "
        f"{reader.times(top.now)} la luz que se pide. Tú tienes el {share}.",
    )


def _advice(task: Task, end: State, reader: Reader) -> str:
    """The one thing: what cost most, the known slips first."""
    lone = one_head_only(task, end)
    if not end.sightings and not end.readings:
        return reader.say(
            "Do not line housings up by eye. Pull a string, then measure the light.",
            "No alinees carcasas a ojo. Tira un hilo y luego mide la luz.",
        )
    if lone is not None:
        return _lone_words(end, lone, reader)
    if not end.readings:
        return reader.say(
            "The string is only the start. Read the signal and turn to where it is greatest.",
            "El hilo es solo el principio. Lee la señal y mueve hasta donde sea mayor.",
        )
    return _finer_advice(task, end, reader)


def _lone_words(end: State, lone: int, reader: Reader) -> str:
    word = HEAD_WORDS[lone]
    if of_head(end.turned, lone) == (0, 0):
        return reader.say(
            f"You aimed one head only. Aim the {word.en} too: each head loses light for itself.",
            f"Apuntaste un solo cabezal. Apunta también el {word.es}: cada uno pierde luz por su cuenta.",
        )
    return reader.say(
        f"Only one head is in line. Aim the {word.en} as well, in pan and in tilt: each head loses light for itself.",
        f"Solo un cabezal quedó en línea. Apunta igual el {word.es}, en giro y en inclinación: cada uno pierde luz por "
        "su cuenta.",
    )


def _finer_advice(task: Task, end: State, reader: Reader) -> str:
    ends = enumerate(angles(task, end.turned))
    fine = [abs(angle(task, i, one)) / task.half_angles[i // 2] for i, one in ends]
    worst = max(range(len(AXES)), key=fine.__getitem__)
    if 1 - (1 - end.film[0]) * (1 - end.film[1]) > 0.03:
        return reader.say(
            "Wipe both lenses before the last reading, and again when the reading falls though you turned nothing.",
            "Limpia los dos lentes antes de la última lectura, y otra vez si la lectura baja sin que movieras nada.",
        )
    if fine[worst] > 0.2:
        name = axis_words(worst, reader)
        return reader.say(
            f"{name} is furthest from the line. Turn it until the signal falls as much on one side as on the other, "
            "then set the middle.",
            f"{name}: es lo más lejos de la línea. Mueve hasta que la señal baje igual de un lado que del otro, y "
            "déjalo en medio.",
        )
    if end.turns > task.par:
        return reader.say(
            "Turn farther and less often: two readings on either side of the top tell where the middle is.",
            "Mueve más lejos y menos veces: dos lecturas, una a cada lado de lo más alto, dicen dónde está el centro.",
        )
    return reader.say(
        "Nothing in the aim. On the job, write the clean signal in the log: the next one compares with it.",
        "Nada en la puntería. En el trabajo, anota en la bitácora la señal en limpio: con ella se compara después.",
    )


def _true_table(task: Task, end: State, reader: Reader) -> Table:
    start, now, goal = task.hidden.off, angles(task, end.turned), best_turned(task)

    def row(axis: int) -> tuple[str, ...]:
        tilt, step = axis % 2, task.steps[axis // 2]
        misses = (wall_miss(task, angle(task, axis, one[axis])) for one in (start, now))
        return (
            axis_words(axis, reader),
            *(miss_words(miss, tilt, reader) for miss in misses),
            signed(end.turned[axis], step, reader),
            signed(goal[axis], step, reader),
        )

    return Table(
        reader.say("Where the heads truly looked", "Hacia dónde miraban de verdad los cabezales"),
        (
            reader.say("Axis", "Eje"),
            reader.say("At the start", "Al principio"),
            reader.say("At the end", "Al final"),
            reader.say("You turned", "Moviste"),
            reader.say("Best", "Lo mejor"),
        ),
        tuple(row(axis) for axis in range(len(AXES))),
    )


def _moment(task: Task, before: State, after: State, reader: Reader) -> Moment:
    title = done_words(task, before, after, reader)
    was, now = (shown_gain(true_gain(task, one), reader) for one in (before, after))
    said = [reader.say(f"True light: {was} before, {now} after.", f"Luz real: {was} antes, {now} después.")]
    return Moment(
        title,
        " ".join([*said, *_happened(task, before, after, reader), *_better(task, before, after, reader)]),
    )


def _happened(task: Task, before: State, after: State, reader: Reader) -> Iterator[str]:
    """Mist and splash while the act went on."""
    splash, mist = task.hidden.splash, task.hidden.mist
    if splash is not None and before.minute < splash.minute <= after.minute:
        word = HEAD_WORDS[splash.head]
        yield reader.say(
            f"Meanwhile a splash hit the {word.en}'s lens.", f"Mientras, se salpicó el lente del {word.es}."
        )
    if mist is not None and mist.start <= after.minute < mist.end:
        yield reader.say("Mist was in the bay.", "Había neblina en la bahía.")


def _better(task: Task, before: State, after: State, reader: Reader) -> Iterator[str]:
    """What a turn should have been."""
    act = after.last
    if act is None or not act.kind.startswith("turn_"):
        return
    axis, by = turn_of(task, act)
    wanted = best_turned(task)[axis] - before.turned[axis]
    step = task.steps[axis // 2]
    if by == wanted:
        yield reader.say("That was the best turn of this axis.", "Fue el mejor movimiento de este eje.")
    elif wanted == 0:
        yield reader.say("This axis stood best before.", "Este eje estaba mejor antes.")
    else:
        best = turn_words(axis, wanted, step, reader)
        yield reader.say(f"Best for this axis: {best}.", f"Lo mejor para este eje: {best}.")
    off = abs(angles(task, after.turned)[axis]) * step / FINE
    left = reader.write(off, "deg", 2)
    yield reader.say(f"It is now {left} off the line.", f"Ahora está a {left} de la línea.")
