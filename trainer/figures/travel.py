"""Drawings along the conveyor: a car's length in pulses, walkers, gaps, when a device is on."""

from __future__ import annotations

from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper
from trainer.figures.shapes import SEDAN_LONG, SEDAN_TALL, car
from trainer.solver.conveyor import travel
from trainer.solver.timers import walker_time


def blocked_length(paper: Paper, n: Given) -> None:
    """A car over the stretch that it blocks, with a tick a pulse where they can be told apart."""
    scale = min(300 / n["length"], 64.0)
    half = n["length"] * scale / 2
    tail, nose, ground = WIDTH / 2 - half, WIDTH / 2 + half, 78.0
    paper.ground(ground)
    car(paper, tail, nose, ground, SEDAN_TALL * min(scale, 48.0), mark="car")
    paper.across(tail, nose, 168, _length_said(n), "snew", mark="length")
    paper.box(tail, 44, nose, 58, "beam", hatch="////", width=LINE, mark="blocked")
    paper.line([(6, 44), (tail, 44)], "ink", LINE)
    paper.line([(nose, 44), (WIDTH - 6, 44)], "ink", LINE)
    if "pulses_per_length" in n:
        _pulse_ticks(paper, n, tail, nose, scale)
    counted = f"{n.said('pulses', 'pulses')} · " if "pulses" in n else ""
    paper.write(counted + n.say("eye blocked", "haz cortado"), (WIDTH / 2, 20))


def _length_said(n: Given) -> str:
    """A length that the pulses count is what the question asks, so it is not told beside them."""
    return "?" if "pulses" in n else n.said("length")


def _pulse_ticks(paper: Paper, n: Given, tail: float, nose: float, scale: float) -> None:
    apart = scale / n["pulses_per_length"]
    if apart < 2.5:
        return
    for i in range(round((nose - tail) / apart) + 1):
        paper.line([(nose - i * apart, 38), (nose - i * apart, 44)], "ink", THIN)


def blocked_length_words(n: Given) -> Description:
    """The same in words."""
    text = n.say(
        "A car, nose to the right. The eye is blocked from the nose until the tail has passed. ",
        "Un carro con la trompa a la derecha. El haz queda cortado desde la trompa hasta que pasa la cola. ",
    )
    if "pulses" in n:
        text += n.say(f"The counter gets {n.said('pulses', 'pulses')} meanwhile.",
                      f"El contador recibe {n.said('pulses', 'pulses')} en ese tiempo.")  # fmt: skip
    else:
        text += n.say(f"That stretch is {n.said('length')} long.", f"Ese tramo mide {n.said('length')}.")
    if "pulses_per_length" in n:
        text += n.say(f" The conveyor gives {n.said('pulses_per_length')}.",
                      f" El transportador da {n.said('pulses_per_length')}.")  # fmt: skip
    return Description(n.say("The stretch that a car blocks", "El tramo en que un carro corta el haz"), text)


def walker_and_nose(paper: Paper, n: Given) -> None:
    """How long a walker blocks the eye beside the on-delay, and how far the nose goes meanwhile."""
    blocked = float(walker_time(n["depth"], n["speed"]))
    scale = 300 / max(blocked, n["on_delay"], 1e-6)
    left = 26.0
    how_deep = f"{n.said('depth')} · {n.said('speed', 'ft/s')}"
    paper.write(
        n.say("a person walks through: eye blocked", "pasa una persona: haz cortado"), (left, 252), "left"
    )
    paper.box(left, 220, left + blocked * scale, 238, "beam", hatch="////", mark="walker")
    paper.write(how_deep, (left, 208), "left", face="numbers")
    paper.write(n.say("on-delay", "retardo a la conexión"), (left, 187), "left")
    paper.box(left, 158, left + n["on_delay"] * scale, 174, mark="on_delay")
    paper.write(n.said("on_delay"), (left, 146), "left", face="numbers")
    paper.line([(left, 242), (left, 152)], "pencil", THIN)
    _nose(paper, n)


def _nose(paper: Paper, n: Given) -> None:
    past = float(travel(n["chain_speed"], n["on_delay"]))
    scale, ground, beam = min(110 / max(past, 1e-6), 46.0), 34.0, 200.0
    nose = beam + past * scale
    paper.ground(ground)
    car(paper, nose - SEDAN_LONG * scale, nose, ground, SEDAN_TALL * scale)
    paper.line([(beam, ground), (beam, 112)], "beam", HEAVY, dash=True, mark="eye")
    paper.label(n.say("beam", "haz"), (beam, 106), "we", gap=6, face="words", ink="beam")
    paper.across(beam, nose, 88, n.said("past", "in") if "past" in n else "?", "en", ink="ink", mark="past")
    paper.write(f"{n.say('chain', 'cadena')} {n.said('chain_speed')}", (WIDTH / 2, 14))


def walker_and_nose_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("A walker and a car's nose", "Una persona y la trompa de un carro"),
        n.say(
            f"Two bars on one scale of time: how long somebody {n.said('depth')} deep, walking "
            f"{n.said('speed', 'ft/s')}, "
            f"blocks the eye, and the on-delay of {n.said('on_delay')}. Below, a car whose nose has "
            "gone past the beam "
            f"during the on-delay, with the chain at {n.said('chain_speed')}.",
            "Dos barras a la misma escala de tiempo: cuánto corta el haz alguien de "
            f"{n.said('depth')} de fondo que camina "
            f"a {n.said('speed', 'ft/s')}, y el retardo a la conexión de {n.said('on_delay')}. Abajo, "
            "un carro cuya trompa "
            f"ya pasó el haz durante el retardo, con la cadena a {n.said('chain_speed')}.",
        ),
    )


def gap_and_off_delay(paper: Paper, n: Given) -> None:
    """Two cars, the gap between them, and the travel that the off-delay holds on after the first tail."""
    held = float(travel(n["speed"], n["off_delay"]))
    scale = min(200 / max(n["gap"], held, 1e-6), 46.0)
    ground, tail = 84.0, 180 + max(n["gap"], held) * scale / 2
    nose, tall, long = tail - n["gap"] * scale, SEDAN_TALL * scale, SEDAN_LONG * scale
    paper.ground(ground)
    car(paper, tail, tail + long, ground, tall)
    car(paper, nose - long, nose, ground, tall)
    paper.across(nose, tail, 162, n.said("gap", "in"), "n", mark="gap")
    paper.box(tail - held * scale, 48, tail, 64, "beam", hatch="////", mark="held")
    paper.line([(tail, 44), (tail, 156)], "pencil", THIN, dash=True)
    paper.line([(nose, 44), (nose, 156)], "pencil", THIN, dash=True)
    held_said = n.say("off-delay", "retardo a la desconexión")
    paper.write(f"{held_said} {n.said('off_delay')}", (WIDTH / 2, 32))
    paper.write(f"{n.say('chain', 'cadena')} {n.said('speed')}", (WIDTH / 2, 14))


def gap_and_off_delay_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The gap and the off-delay", "El hueco y el retardo a la desconexión"),
        n.say(
            f"Two cars with a gap of {n.said('gap', 'in')}, moving right at {n.said('speed')}. A "
            "hatched bar starts at the "
            "first car's tail and is as long as the chain moves in the off-delay of "
            f"{n.said('off_delay')}. Where the bar "
            "reaches the next nose, two cars become one.",
            f"Dos carros con un hueco de {n.said('gap', 'in')}, que avanzan a la derecha a "
            f"{n.said('speed')}. Una barra "
            "rayada empieza en la cola del primero y mide lo que avanza la cadena en el retardo a la "
            "desconexión de "
            f"{n.said('off_delay')}. Si la barra llega a la trompa siguiente, dos carros se vuelven uno.",
        ),
    )


def application_window(paper: Paper, n: Given) -> None:
    """Where the nose is while a device is on: from a lead before the device to a trail behind the tail."""
    total = n["distance"] + n["length"] + n["trail"]
    scale, left, ground = 320 / total, 18.0, 120.0
    device = left + n["distance"] * scale
    tail_there = device + n["length"] * scale
    paper.ground(ground, hatch=False)
    _gate(paper, left, ground, n.say("eye", "fotocelda"))
    _gate(paper, device, ground, n.say("device", "equipo"))
    car(paper, device, tail_there, ground, SEDAN_TALL * min(scale, 30.0))
    paper.across(left, device, 104, n.said("distance"), "s", mark="distance")
    paper.across(device, tail_there, 104, n.said("length"), "s", mark="length")
    on, off = device - n["lead"] * scale, tail_there + n["trail"] * scale
    paper.box(on, 40, off, 54, "beam", hatch="////", mark="on")
    paper.label(n.say("device on", "equipo prendido"), ((on + off) / 2, 54), "n", gap=3, face="words")
    paper.across(on, device, 28, n.said("lead", "in"), "wsn", mark="lead")
    paper.across(tail_there, off, 28, n.said("trail", "in"), "esn", mark="trail")


def _gate(paper: Paper, x: float, ground: float, name: str) -> None:
    paper.line([(x, ground), (x, ground + 68)], "beam", LINE, dash=True)
    paper.label(name, (x, ground + 70), "n", gap=3, face="words")


def application_window_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("When a device is on", "Cuándo está prendido un equipo"),
        n.say(
            f"The device stands {n.said('distance')} past the eye. It comes on {n.said('lead', 'in')} "
            "before the nose "
            f"reaches it and goes off {n.said('trail', 'in')} after the tail of a car "
            f"{n.said('length')} long.",
            f"El equipo está a {n.said('distance')} de la fotocelda. Prende {n.said('lead', 'in')} antes de "
            "que llegue la trompa y "
            f"se apaga {n.said('trail', 'in')} después de la cola de un carro de {n.said('length')}.",
        ),
    )
