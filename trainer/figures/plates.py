"""Drawings of what is read rather than measured: a compass, a label, a cabinet with its door shut, a flow meter."""

from __future__ import annotations

from math import cos, pi, sin

from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper


def bay_compass(paper: Paper, n: Given) -> None:
    """A compass with the way that a car faces."""
    middle, radius = (WIDTH / 2, 112.0), 72.0
    paper.circle(middle, radius, width=LINE)
    for turn, name in enumerate((n.say("N", "N"), n.say("E", "E"), "S", n.say("W", "O"))):
        angle = pi / 2 - turn * pi / 2
        x, y = middle[0] + (radius + 14) * cos(angle), middle[1] + (radius + 14) * sin(angle)
        paper.write(name, (x, y), bold=True)
    for tenth in range(0, 360, 30):
        angle = tenth * pi / 180
        inner, outer = radius - 6, radius
        paper.line(
            [(middle[0] + r * cos(angle), middle[1] + r * sin(angle)) for r in (inner, outer)], "pencil", THIN
        )
    heading = pi / 2 - n["bearing"]
    tip = (middle[0] + radius * 0.86 * cos(heading), middle[1] + radius * 0.86 * sin(heading))
    tail = (2 * middle[0] - tip[0], 2 * middle[1] - tip[1])
    paper.line([tail, tip], "ink", HEAVY, mark="bearing")
    paper.arrow(tail, tip, "ink", HEAVY)
    paper.label(n.said("bearing"), (middle[0] + radius + 50, middle[1] + 44), "en", gap=2, bold=True)


def bay_compass_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The way a car faces", "Hacia dónde mira un carro"),
        n.say(
            f"A compass, north up. The arrow shows the way a car faces on the conveyor: now {n.said('bearing')}, "
            "counted from north by east.",
            f"Una brújula, el norte arriba. La flecha muestra hacia dónde mira un carro en el transportador: ahora "
            f"{n.said('bearing')}, desde el norte por el este.",
        ),
    )


def head_label(paper: Paper, n: Given) -> None:
    """A head with its label: where to read, nothing to open."""
    paper.box(60, 40, 190, 120, width=HEAVY)
    paper.circle((60, 80), 16, width=LINE)
    paper.line([(190, 80), (230, 80), (244, 60), (300, 60)], "pencil", HEAVY)
    paper.box(84, 54, 176, 106, "ink", width=LINE)
    for i, text in enumerate((n.say("supply V", "fuente V"), n.say("current mA", "corriente mA"), "IP")):
        paper.write(text, (130, 96 - i * 16), "center", face="words")
    paper.arrow((250, 124), (180, 98), "ink", LINE)
    paper.write(n.say("read here", "lee aquí"), (256, 130), "left")


def head_label_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The label of a head", "La etiqueta de un cabezal"),
        n.say(
            "A head seen from the side. Its label tells supply voltage, current and IP code. Read it; open nothing.",
            "Un cabezal de lado. Su etiqueta dice el voltaje de la fuente, la corriente y el código IP. Léela; no "
            "abras nada.",
        ),
    )


def shut_cabinet(paper: Paper, n: Given) -> None:
    """A control cabinet with its door shut, its nameplate outside, and the manual."""
    paper.box(70, 30, 200, 190, width=HEAVY)
    paper.box(80, 40, 190, 180, "pencil", width=THIN)
    paper.box(182, 104, 188, 124, width=LINE, fill=True)
    paper.box(96, 132, 168, 168, width=LINE)
    for i in range(3):
        paper.line([(104, 160 - i * 10), (160, 160 - i * 10)], "pencil", LINE)
    paper.write(n.say("door shut", "cerrado"), (135, 84), bold=True)
    paper.box(240, 40, 310, 130, width=LINE)
    paper.line([(250, 40), (250, 130)], "pencil", THIN)
    paper.write(n.say("manual", "manual"), (281, 88))
    paper.arrow((232, 172), (172, 154), "ink", LINE)
    paper.write(n.say("nameplate", "placa"), (238, 176), "left")


def shut_cabinet_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The cabinet with its door shut", "El tablero con la puerta cerrada"),
        n.say(
            "A control cabinet, its door shut, with a nameplate on the door and a manual beside it. Read those; the "
            "door stays shut.",
            "Un tablero de control con la puerta cerrada, con una placa en la puerta y un manual al lado. Lee eso; la "
            "puerta queda cerrada.",
        ),
    )


def flow_meter(paper: Paper, n: Given) -> None:
    """A device's pipe with a flow meter, and its nozzles."""
    paper.line([(20, 130), (320, 130)], "ink", HEAVY)
    paper.circle((120, 130), 32, width=LINE)
    paper.line([(120, 130), (138, 148)], width=HEAVY)
    for x in (220, 262, 304):
        paper.line([(x, 130), (x, 112)], "ink", HEAVY)
        for spread in (-8, 0, 8):
            paper.line([(x, 108), (x + spread, 76)], "pencil", THIN, dash=True)
    paper.label(n.said("flow"), (120, 98), "s", gap=6, bold=True)


def flow_meter_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("The flow of a device", "El caudal de un equipo"),
        n.say(
            f"A pipe with a flow meter and three nozzles. All nozzles together give {n.said('flow')} now.",
            f"Un tubo con medidor de caudal y tres boquillas. Todas juntas dan ahora {n.said('flow')}.",
        ),
    )
