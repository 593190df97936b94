"""What a placement would do to real cars, the best one beside it, and the one thing to do differently."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from trainer.benches.acts import Act
from trainer.benches.beam.end_view import EndView
from trainer.benches.beam.passing import ONCE, TWICE, passings, row_of
from trainer.benches.beam.playing import play
from trainer.benches.beam.rolling import Pass
from trainer.benches.beam.scoring import best, points_of, score
from trainer.benches.beam.showing import across_table, fleet_table
from trainer.benches.beam.strips import strips
from trainer.benches.beam.sunlight import sun_minutes_of
from trainer.benches.beam.task import Placed, Task
from trainer.benches.beam.told import PART_LABELS, fate_said, where_all
from trainer.benches.frame import Debrief, Moment
from trainer.sites.sheet import NamedBody
from trainer.sites.survey.reader import Reader

_MOST_SAID = 4  # vehicles in the outcome
_TOLD = 0.0127  # m; a smaller error is no news


def debrief(task: Task, acts: Sequence[Act], reader: Reader) -> Debrief:
    """What the placement that was handed in does, and what another would."""
    played, to = play(task, acts), reader
    placed, ideal = played.stands.placed, play(task, best(task).acts).stands.placed
    passes = tuple(Pass(task, placed, one) for one in task.vehicles)
    compared = EndView(task, placed, _worst(task, placed), to, best=ideal).drawn("beam-best")
    return Debrief(
        outcome=_outcome(task, placed, to),
        best=_best(task, placed, ideal, to),
        advice=_advice(task, acts, ideal, to),
        drawings=(compared, strips(passes, to, "beam-result")),
        tables=(fleet_table(passes, to), across_table(task, ideal, to)),
        moments=tuple(
            Moment(
                where_all(task, tried.placed, to),
                to.say(f"{points_of(task, tried.placed)} points", f"{points_of(task, tried.placed)} puntos"),
                drawings=(EndView(task, tried.placed, _worst(task, tried.placed), to, best=ideal).drawn(f"beam-{at}"),),
            )
            for at, tried in enumerate(played.tried)
        ),
    )  # fmt: skip


def _losses(task: Task, placed: Placed) -> list[tuple[float, int]]:
    """Vehicles with how much is wrong with each, the worst first."""
    seen, row = passings(task), row_of(task, placed)
    wrong = (seen.fates[row] != ONCE).mean(axis=1) * 10
    ends = sum(np.minimum(np.abs(one[row]), 2.0) for one in (seen.nose, seen.tail))
    return sorted(
        ((float(a + b), -at) for at, (a, b) in enumerate(zip(wrong, ends, strict=True))), reverse=True
    )


def _worst(task: Task, placed: Placed) -> NamedBody:
    return task.vehicles[-_losses(task, placed)[0][1]]


def _outcome(task: Task, placed: Placed, to: Reader) -> tuple[str, ...]:
    """The vehicles that come off worst, one a sentence."""
    row, seen = row_of(task, placed), passings(task)
    lines: list[str] = []
    for _, at in _losses(task, placed):
        sentence = _vehicle(task, row, -at, to)
        if sentence and len(lines) < _MOST_SAID:
            lines.append(sentence)
    if not lines:
        lines.append(
            to.say(
                f"Every vehicle is seen once and whole, and measured to within {to.tape(_TOLD)}.",
                f"Todos los vehículos se ven una vez y enteros, y se miden con menos de {to.tape(_TOLD)} de error.",
            )
        )
    minutes = sun_minutes_of(task, placed)
    if minutes:
        lines.append(
            to.say(
                f"For {to.whole(minutes)} minutes a year the sun looks into the receiver and may hold it lit: cars "
                "then go by unseen.",
                f"Durante {to.whole(minutes)} minutos al año el sol entra al receptor y lo puede dejar prendido: los "
                "carros pasan sin ser vistos.",
            )
        )
    if seen.margin[row] < 1:
        dim = to.say(
            "In thick steam too little light is left: the eye then reports a car that is not there.",
            "Con vapor espeso queda muy poca luz: el ojo avisa de un carro que no está.",
        )
        nowhere = to.say(" No height mends that: report it.", " Ninguna altura lo arregla: repórtalo.")
        lines.append(dim if seen.margin.max() >= 1 else dim + nowhere)
    return tuple(lines)


def _vehicle(task: Task, row: int, at: int, to: Reader) -> str:
    """What happens to one vehicle; '' where nothing is wrong."""
    seen = passings(task)
    name = task.vehicles[at].name[to.language]
    name = f"{name[:1].upper()}{name[1:]}"
    fates, length = seen.fates[row, at], float(seen.length[row, at])
    wrong = (fates != ONCE).any()
    text = f"{name}: {fate_said(fates, to)}." if wrong else f"{name}:"
    if (fates == TWICE).any():
        text += to.say(" The second half gets its wash cut short.", " La segunda mitad sale mal lavada.")
    if math.isinf(seen.nose[row, at]) or abs(length) < _TOLD:
        return text if wrong else ""
    pulses = to.whole(abs(length) * task.sheet.conveyor.pulses_per_length)
    size = to.tape(abs(length))
    much = to.say("short" if length < 0 else "long", "de menos" if length < 0 else "de más")
    word = to.say("pulse", "pulso") if pulses == to.whole(1) else to.say("pulses", "pulsos")
    measured = to.say("Measured" if wrong else "measured", "Se mide" if wrong else "se mide")
    return f"{text} {measured} " + to.say(
        f"{size} too {much}, {pulses} {word}.", f"{size} {much}, {pulses} {word}."
    )


def _best(task: Task, placed: Placed, ideal: Placed, to: Reader) -> str:
    own, there = points_of(task, placed), where_all(task, ideal, to)
    if own == 100:
        return to.say(
            f"Nothing beats your placement. One as good: {there}.",
            f"Nada supera tu lugar. Otro igual de bueno: {there}.",
        )
    return to.say(
        f"The best: {there}, 100 points. Yours has {own}.",
        f"Lo mejor: {there}, 100 puntos. El tuyo tiene {own}.",
    )


def _advice(task: Task, acts: Sequence[Act], ideal: Placed, to: Reader) -> str:
    """The part that lost most, and which way to go."""
    found = score(task, acts)
    part = max(found.parts, key=lambda one: one.of - one.got)
    lost = part.of - part.got
    if lost < 0.5:
        return to.say(
            "Keep it: one head low, the other high, checked with the fleet.",
            "Así déjalo: un cabezal bajo y otro alto, comprobado con la flota.",
        )
    placed = play(task, acts).stands.placed
    key = next(key for key, label in PART_LABELS.items() if label == part.label)
    text = to.say(
        f"{part.label.en} cost you {to.number(lost, 2)} of {to.number(part.of)} points. {part.found.en}",
        f"{part.label.es} te costó {to.number(lost, 2)} de {to.number(part.of)} puntos. {part.found.es}",
    )
    if key == "sun":
        return f"{text} " + to.say(
            "Put the receiver on the higher head, so that it looks down.",
            "Pon el receptor en el cabezal más alto, para que mire hacia abajo.",
        )
    return f"{text} {_move(placed, ideal, to)}"


def _move(placed: Placed, ideal: Placed, to: Reader) -> str:
    """The head that is farthest from its best place, and where it should go."""
    ways = {"driver": ideal.driver - placed.driver, "passenger": ideal.passenger - placed.passenger}
    side = max(ways, key=lambda one: abs(ways[one]))
    goal = to.tape(getattr(ideal, side))
    up = ways[side] > 0
    name = to.say(
        {"driver": "driver's side", "passenger": "passenger's side"}[side],
        {"driver": "del conductor", "passenger": "del pasajero"}[side],
    )
    return to.say(
        f"{'Raise' if up else 'Lower'} the {name} head to {goal}.",
        f"{'Sube' if up else 'Baja'} el cabezal {name} a {goal}.",
    )
