"""Drawings across the bay: the slanted beam, steam, the two eyes over a pickup's bed."""

from __future__ import annotations

import numpy as np

from trainer.figures.given import Description, Given, Point
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import PERSON, WIDTH, Paper
from trainer.figures.shapes import head, pickup, post
from trainer.solver.beam import beam_height, blocked_spans
from trainer.solver.bodies import BODIES
from trainer.solver.signal import fog_transmission


def slanted_beam(paper: Paper, n: Given) -> None:
    """The beam from the low eye to the high one, seen along the conveyor."""
    tallest = max(n["low"], n["high"], PERSON, n.numbers.get("object_height", 0.0))
    scale = min(230 / n["span"], 145 / tallest)
    ground, left = 62.0, (WIDTH - n["span"] * scale) / 2
    right = left + n["span"] * scale
    low, high = ground + n["low"] * scale, ground + n["high"] * scale
    paper.ground(ground)
    if "object_height" not in n:
        paper.person(left + 0.85 * (right - left), ground, scale)
    for x, y in ((left - 14, low), (right + 14, high)):
        post(paper, x, ground, y + 6)
    paper.line([(left, low), (right, high)], "beam", HEAVY, mark="beam")
    head(paper, (left, low), 1)
    head(paper, (right, high), -1)
    _object(paper, n, left, ground, scale)
    _marked_height(paper, n, left, ground, scale)
    paper.across(left, right, 34, n.said("span"), "s", mark="span")
    paper.upright(ground, low, max(left - 26, 8), n.said("low"), "nw", mark="low")
    paper.upright(ground, high, min(right + 26, WIDTH - 8), n.said("high"), "nse", mark="high")


def _object(paper: Paper, n: Given, left: float, ground: float, scale: float) -> None:
    if not {"object_from", "object_to", "object_height"} <= set(n.numbers):
        return
    start, end = (left + n[name] * scale for name in ("object_from", "object_to"))
    top = ground + n["object_height"] * scale
    paper.box(start, ground, end, top, hatch="///", mark="object")
    paper.label(n.said("object_height"), (end, (ground + top) / 2), "enw", gap=6)


def _marked_height(paper: Paper, n: Given, left: float, ground: float, scale: float) -> None:
    """Where the beam is at a distance from the low eye; its height is written only when it is handed in."""
    if "at" not in n:
        return
    share = min(max(n["at"] / n["span"], 0.0), 1.0)
    x = left + share * n["span"] * scale
    y = ground + float(beam_height(n["low"], n["high"], n["span"], share * n["span"])) * scale
    paper.upright(ground, y, x, n.said("height") if "height" in n else "?", "ew", ink="ink", mark="height")
    paper.circle((x, y), 3, "ink", fill=True)
    paper.across(left, x, 50, n.said("at"), "es", mark="at")


def slanted_beam_words(n: Given) -> Description:
    """The same in words."""
    text = n.say(
        f"Seen along the conveyor. The low eye's lens is {n.said('low')} above the floor, the high "
        f"eye's {n.said('high')}; "
        f"they stand {n.said('span')} apart, and the beam runs straight from one to the other.",
        f"Visto a lo largo del transportador. El lente de la fotocelda baja está a {n.said('low')} del piso y "
        "el de la alta a "
        f"{n.said('high')}; están a {n.said('span')} uno del otro y el haz va derecho del uno al otro.",
    )
    if "at" in n:
        text += n.say(
            f" The beam's height is marked {n.said('at')} from the low eye.",
            f" Se marca la altura del haz a {n.said('at')} de la fotocelda baja.",
        )
    if "height" in n:
        text += n.say(f" It is {n.said('height')} there.", f" Ahí es de {n.said('height')}.")
    if {"object_from", "object_to", "object_height"} <= set(n.numbers):
        text += n.say(
            f" Something {n.said('object_height')} high stands from {n.said('object_from')} to "
            f"{n.said('object_to')}.",
            f" Algo de {n.said('object_height')} de alto está de {n.said('object_from')} a "
            f"{n.said('object_to')}.",
        )
    return Description(n.say("The beam across the bay", "El haz a lo ancho de la bahía"), text)


def fog_bay(paper: Paper, n: Given) -> None:
    """The beam thinning in steam: its thickness is the share of light that is left."""
    farthest = max(n["distance"], n["visibility"])
    left, right, middle, half = 34.0, 326.0, 118.0, 58.0
    scale = (right - left) / farthest
    reach = np.linspace(0, farthest, 60)
    shares = np.asarray(fog_transmission(n["visibility"], np.maximum(reach, 1e-9), 0.05))
    upper = [(left + x * scale, middle + half * t) for x, t in zip(reach, shares, strict=True)]
    lower = [(left + x * scale, middle - half * t) for x, t in zip(reach, shares, strict=True)]
    paper.area(upper + lower[::-1], "beam", width=LINE, mark="light")
    paper.line([(left, middle), (right, middle)], "beam", THIN, dash=True)
    _steam(paper, left, right, middle)
    head(paper, (left, middle), 1)
    x = left + n["distance"] * scale
    head(paper, (x, middle), -1)
    paper.write(n.say("emitter: all the light", "emisor: toda la luz"), (left - 20, 188), "left")
    paper.across(left, x, 42, n.said("distance"), "n", mark="distance")
    seen = n.say("you see", "se ve hasta")
    paper.across(
        left, left + n["visibility"] * scale, 14, f"{seen} {n.said('visibility')}", "n", mark="visibility"
    )
    paper.label(n.say("receiver", "receptor"), (x, middle), "nsw", gap=12, face="words")


def _steam(paper: Paper, left: float, right: float, middle: float) -> None:
    for row in (-38, 38):
        x = left + 40
        while x < right - 20:
            curl = np.linspace(0, 2 * np.pi, 12)
            paper.line([(x + 20 * t / 6.3, middle + row + 3 * np.sin(t)) for t in curl], "rule", LINE)
            x += 34


def fog_bay_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Light lost in steam", "Luz que se pierde en el vapor"),
        n.say(
            f"You see {n.said('visibility')} in this steam; emitter and receiver stand "
            f"{n.said('distance')} apart. The beam "
            "is drawn as thick as the share of light that is left: it thins fast at first, then "
            "slowly. Where you just stop "
            "seeing, 5 % is left (Koschmieder's law, 5 % convention).",
            f"En este vapor se ve hasta {n.said('visibility')}; emisor y receptor están a "
            f"{n.said('distance')}. El haz se "
            "dibuja tan grueso como la parte de luz que queda: adelgaza rápido al principio y luego "
            "despacio. Donde apenas "
            "se deja de ver queda el 5 % (ley de Koschmieder, convención del 5 %).",
        ),
    )


def two_eyes_bed(paper: Paper, n: Given) -> None:
    """A pickup seen from the side, and how each of two level beams meets it."""
    body = BODIES["pickup"]
    scale = min(262 / body.length, 140 / max(body.height, n["high"], n["low"]))
    ground, nose = 40.0, 20 + body.length * scale
    paper.ground(ground)
    pickup(paper, nose, ground, scale)
    words = n.say("thick: blocked · thin: clear", "grueso: cortado · delgado: libre")
    paper.write(words, (WIDTH / 2, 18))
    for name in ("low", "high"):
        _level_beam(paper, n, name, (nose, ground), scale)


def _level_beam(paper: Paper, n: Given, name: str, nose: Point, scale: float) -> None:
    """A level beam's height as a line; thick where the body blocks it as it rolls past."""
    y = nose[1] + n[name] * scale
    paper.line([(8, y), (nose[0] + 14, y)], "beam", LINE, mark=name)
    for first, last in blocked_spans((0, -3, n[name]), (0, 3, n[name]), BODIES["pickup"].pieces):
        paper.line([(nose[0] - last * scale, y), (nose[0] - first * scale, y)], "beam", 5)
    paper.label(n.said(name), (nose[0] + 16, y), "ens", gap=2)


def two_eyes_bed_words(n: Given) -> Description:
    """The same in words."""
    over_bed = [_said_over_bed(n, name) for name in ("low", "high")]
    return Description(
        n.say("Two eyes and an open bed", "Dos fotoceldas y una caja abierta"),
        n.say(
            "A pickup seen from the side, nose to the right. "
            f"One beam crosses {n.said('low')} above the floor, another {n.said('high')}. "
            "Each is drawn thick where the pickup blocks it. "
            f"Over the open bed the first is {over_bed[0]} and the second {over_bed[1]}.",
            "Una pickup vista de lado, con la trompa a la derecha. Un haz cruza a "
            f"{n.said('low')} del piso y otro a {n.said('high')}. Cada uno se dibuja grueso donde la pickup lo "
            f"corta. Sobre la caja abierta el primero está {over_bed[0]} y el segundo {over_bed[1]}.",
        ),
    )


def _said_over_bed(n: Given, name: str) -> str:
    """Whether a level beam is blocked where only the bed stands, between the cab and the rear axle."""
    body = BODIES["pickup"]
    middle = -(body.rear_axle + body.tire_radius + 0.1)
    spans = blocked_spans((0, -3, n[name]), (0, 3, n[name]), body.pieces)
    if any(first <= middle <= last for first, last in spans):
        return n.say("blocked", "cortado")
    return n.say("clear", "libre")
