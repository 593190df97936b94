"""What each act on the aiming bench did, in a sentence: for the line after it, the list of acts, and the replay."""

from __future__ import annotations

from trainer.benches.aiming.signal_bar import shown_gain
from trainer.benches.aiming.task import AXES, HEADS, Task
from trainer.benches.aiming.views import miss_words, signed
from trainer.benches.aiming.walk import AXIS_WORDS, HEAD_WORDS, State, turn_of
from trainer.sites.survey.reader import Reader
from trainer.solver.signal import aim_angle


def done_words(task: Task, before: State, state: State, reader: Reader) -> str:
    """What the act between two states did, as far as it was seen."""
    act = state.last
    assert act is not None
    if act.kind == "string":
        return _string(task, state, reader)
    if act.kind == "read":
        return _read(before, state, reader)
    if act.kind.startswith("turn_"):
        axis, by = turn_of(task, act)
        return _turn(task, state, axis, by, reader)
    if act.kind == "clean":
        word = HEAD_WORDS[HEADS.index(act.pick("head"))]
        return reader.say(f"You wiped the {word.en}'s lens.", f"Limpiaste el lente del {word.es}.")
    if act.kind == "wait":
        return reader.say("You waited 5 minutes.", "Esperaste 5 minutos.")
    return reader.say("You tightened both heads.", "Apretaste los dos cabezales.")


def _string(task: Task, state: State, reader: Reader) -> str:
    seen = state.sightings[-1]
    pan, tilt = miss_words(seen.pan, 0, reader), miss_words(seen.tilt, 1, reader)
    word, step = HEAD_WORDS[seen.head], reader.tape(task.string_steps[seen.head])
    told = reader.say(
        f"By the string, the {word.en}'s housing points past the other lens: {pan}; {tilt} (to the nearest {step}).",
        f"Según el hilo, la carcasa del {word.es} apunta fuera del otro lente: {pan}; {tilt} (de {step} en {step}).",
    )
    if task.level > 1:
        return told
    across, up = (reader.degrees(float(aim_angle(abs(one), task.distance))) for one in (seen.pan, seen.tilt))
    return told + " " + reader.say(f"That is about {across} and {up}.", f"Son como {across} y {up}.")


def _read(before: State, state: State, reader: Reader) -> str:
    shown = shown_gain(state.readings[-1].shown, reader)
    now = reader.say(f"The signal reads {shown}.", f"La señal da {shown}.")
    if not before.readings:
        return now
    last = shown_gain(before.readings[-1].shown, reader)
    now += " " + reader.say(f"Before: {last}.", f"Antes: {last}.")
    if before.last is not None and before.last.kind in ("read", "wait"):
        now += " " + reader.say("You touched nothing in between.", "No tocaste nada entre las dos.")
    return now


def _turn(task: Task, state: State, axis: int, by: int, reader: Reader) -> str:
    head, step = HEAD_WORDS[axis // 2], task.steps[axis // 2]
    way = turn_words(axis, by, step, reader)
    at = signed(state.turned[axis], step, reader)
    return reader.say(
        f"You turned the {head.en} {way}. Its swivel now stands at {at}.",
        f"Moviste el {head.es} {way}. Su rótula queda en {at}.",
    )


def turn_words(axis: int, by: int, step: float, reader: Reader) -> str:
    """By how much and which way."""
    ways = (
        (("back", "hacia atrás"), ("forward", "hacia adelante")),
        (("down", "hacia abajo"), ("up", "hacia arriba")),
    )
    return f"{reader.write(abs(by) * step, 'deg')} {reader.say(*ways[axis % 2][by > 0])}"


def axis_words(axis: int, reader: Reader) -> str:
    """A head and its axis."""
    assert axis < len(AXES)
    return f"{reader.said(HEAD_WORDS[axis // 2]).capitalize()}, {reader.said(AXIS_WORDS[axis % 2])}"
