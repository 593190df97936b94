"""Drawings without numbers: output modes, the digits of an IP code, a cable's drip loop."""

from __future__ import annotations

import math

from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper
from trainer.figures.shapes import head


def output_modes(paper: Paper, n: Given) -> None:
    """Light operate and dark operate against a clear and a blocked beam."""
    columns, rows = (196.0, 296.0), (100.0, 44.0)
    paper.line([(8, 132), (352, 132)], "ink", LINE)
    paper.line([(8, 72), (352, 72)], "rule", LINE)
    paper.line([(8, 16), (352, 16)], "ink", LINE)
    for x, words, blocked in zip(columns, (("clear", "libre"), ("blocked", "cortado")), (0, 1), strict=True):
        paper.write(n.say(*words), (x, 148), bold=True)
        _little_beam(paper, x, 180, bool(blocked))
    modes = (("light operate", "operación por luz"), ("dark operate", "operación por oscuridad"))
    for y, words, states in zip(rows, modes, (("ON", "OFF"), ("OFF", "ON")), strict=True):
        top = y + (8 if len(paper.fold(n.say(*words), 122)) > 1 else 0)
        paper.lines(n.say(*words), (12, top), 122)
        for x, state in zip(columns, states, strict=True):
            _lamp(paper, n, (x, y), state)


def _little_beam(paper: Paper, x: float, y: float, blocked: bool) -> None:
    head(paper, (x - 26, y), 1)
    head(paper, (x + 26, y), -1)
    paper.line([(x - 24, y), (x - 6 if blocked else x + 24, y)], "beam", HEAVY)
    if blocked:
        paper.box(x - 6, y - 14, x + 6, y + 14, hatch="////", width=LINE)


def _lamp(paper: Paper, n: Given, at: tuple[float, float], state: str) -> None:
    words = {"ON": n.say("ON", "ACTIVADA"), "OFF": n.say("OFF", "DESACTIVADA")}
    paper.circle((at[0], at[1] + 11), 6, fill=state == "ON")
    paper.write(words[state], (at[0], at[1] - 9), bold=state == "ON")


def output_modes_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Light operate and dark operate", "Operación por luz y operación por oscuridad"),
        n.say(
            "With light operate the output is on while the beam is clear and off while it is "
            "blocked. With dark operate it is "
            "off while the beam is clear and on while it is blocked.",
            "Con operación por luz la salida está activada con el haz libre y desactivada con el haz "
            "cortado. Con operación por "
            "oscuridad está desactivada con el haz libre y activada con el haz cortado.",
        ),
    )


# IEC 60529 as restated in public; 9 from memory.
_WATER = (
    ("5", "jet, 12.5 L/min", "chorro, 12,5 L/min"),
    ("6", "strong jet, 100 L/min", "chorro fuerte, 100 L/min"),
    ("7", "30 min under 1 m of water", "30 min bajo 1 m de agua"),
    ("8", "longer or deeper", "más tiempo o más hondo"),
    ("9", "hot high-pressure jet", "chorro caliente a presión"),
)


def ip_digits(paper: Paper, n: Given) -> None:
    """What the two digits of an IP code say, and that 7 does not hold 6."""
    paper.write("IP", (44, 254), size=30, face="numbers", bold=True)
    for x, digit, words in ((104.0, "6", ("dust", "polvo")), (150.0, "7", ("water", "agua"))):
        paper.write(digit, (x, 254), size=30, face="numbers", bold=True)
        paper.line([(x, 236), (x, 222)], "pencil", THIN)
        paper.write(n.say(*words), (x, 212))
    paper.lines(n.say("6: no dust gets in", "6: no entra polvo"), (206, 262), 150)
    paper.lines(n.say("second digit: the water test", "segunda cifra: la prueba de agua"), (206, 240), 148)
    y = 176.0
    for digit, en, es in _WATER:
        paper.box(14, y - 12, 40, y + 12, width=LINE)
        paper.write(digit, (27, y), face="numbers", bold=True)
        paper.write(n.say(en, es), (52, y), "left")
        y -= 30
    paper.line([(8, 32), (352, 32)], "rule", LINE)
    paper.write(
        n.say("7, 8 and 9 do not hold 5 or 6.", "7, 8 y 9 no incluyen 5 ni 6."), (WIDTH / 2, 16), bold=True
    )


def ip_digits_words(n: Given) -> Description:
    """The same in words."""
    listed = "; ".join(f"{digit}: {n.say(en, es)}" for digit, en, es in _WATER)
    return Description(
        n.say("The digits of an IP code", "Las cifras de un código IP"),
        n.say(
            "The first digit is for dust: with 6 none gets in. The second is the water test: "
            f"{listed}. 7, 8 and 9 do not "
            "hold 5 or 6: IP67 alone is no promise against a jet.",
            "La primera cifra es el polvo: con 6 no entra nada. La segunda es la prueba de agua: "
            f"{listed}. 7, 8 y 9 no "
            "incluyen 5 ni 6: IP67 solo no promete nada contra un chorro.",
        ),
    )


def drip_loop(paper: Paper, n: Given) -> None:
    """A cable that hangs below its gland before it turns up into it."""
    paper.box(184, 118, 288, 214, width=HEAVY)
    paper.lines(n.say("eye's housing", "caja de la fotocelda"), (236, 196), 96, "center")
    paper.box(224, 98, 248, 118, width=LINE, hatch="xx")
    turn = [math.pi * i / 30 for i in range(31)]
    bend = [(236 - 62 * (1 - math.cos(t)), 62 - 40 * math.sin(t)) for t in turn]
    paper.line([(236, 98), (236, 62), *bend, (112, 228)], "ink", 4.5, mark="cable")
    paper.circle((174, 12), 3.2, "beam", fill=True)
    paper.lines(n.say("gland, pointing down", "prensaestopas hacia abajo"), (258, 90), 98)
    paper.lines(n.say("water runs down …", "el agua baja …"), (6, 176), 82)
    paper.arrow((98, 176), (98, 104), "beam", LINE)
    paper.lines(n.say("… and drips here", "… y gotea aquí"), (6, 44), 82)
    paper.arrow((88, 32), (160, 16), "pencil", THIN)


def drip_loop_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("A drip loop", "Una vuelta de goteo"),
        n.say(
            "The cable comes down, hangs below the housing in a loop, then turns up into a gland "
            "that points down. Water runs "
            "along the cable to the lowest point and drips off there instead of running into the gland.",
            "El cable baja, cuelga por debajo de la caja en una vuelta y luego sube a un "
            "prensaestopas que apunta hacia abajo. "
            "El agua corre por el cable hasta el punto más bajo y gotea ahí en lugar de entrar por "
            "el prensaestopas.",
        ),
    )
