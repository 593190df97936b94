"""Drawings for measuring: where the tape lies, to scale of the present numbers, with the measured stretch marked."""

from __future__ import annotations

from trainer.figures.given import Description, Given, Point
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper
from trainer.figures.shapes import SEDAN_LONG, SEDAN_TALL, car, head, post

_STRIP = 4.5
_TICKS = 7.0


def tape(paper: Paper, start: Point, end: Point, mark: str | None = None) -> None:
    """A tape between two points, level or upright: a strip with ticks, a hook at its start, its case at the end."""
    level = start[1] == end[1]
    length = (end[0] - start[0]) if level else (end[1] - start[1])
    step = 1 if length >= 0 else -1

    def at(along: float, off: float) -> Point:
        return (start[0] + along, start[1] + off) if level else (start[0] + off, start[1] + along)

    paper.area([at(0, -_STRIP), at(length, -_STRIP), at(length, _STRIP), at(0, _STRIP)], width=LINE)
    along = _TICKS
    while along < abs(length) - 3:
        paper.line([at(step * along, _STRIP), at(step * along, 0 if along % 21 else -_STRIP / 2)], width=THIN)
        along += _TICKS
    paper.line([start, end], "ink", HEAVY, mark=mark)
    for edge in (0.0, length):
        paper.line([at(edge, -9), at(edge, 9)], "ink", HEAVY)


def tape_height(paper: Paper, n: Given) -> None:
    """The pair seen along the conveyor, the tape upright at one lens; heights to scale, the width cut short."""
    scale = 132 / max(n["low"], n["high"])
    ground, left, right = 40.0, 92.0, 268.0
    low, high = ground + n["low"] * scale, ground + n["high"] * scale
    paper.ground(ground)
    for x, y in ((left - 9, low), (right + 9, high)):
        post(paper, x, ground, y + 6)
    paper.line([(left, low), (right, high)], "beam", LINE)
    _cut(paper, (left + right) / 2, ground, (low + high) / 2)
    head(paper, (left, low), 1)
    head(paper, (right, high), -1)
    if n.numbers.get("upper"):
        _upright(paper, (right - 10, ground), high, n.said("high"), "wn")
        paper.upright(ground, low, left - 30, n.said("low"), "wne", mark="low")
    else:
        _upright(paper, (left + 10, ground), low, n.said("low"), "en")
        paper.upright(ground, high, right + 30, n.said("high"), "enw", mark="high")


def _cut(paper: Paper, x: float, *levels: float) -> None:
    """Where a width is cut short: two slanted strokes through each line."""
    for level in levels:
        for side in (-4, 4):
            paper.line([(x + side - 4, level - 7), (x + side + 4, level + 7)], "ink", LINE)


def _upright(paper: Paper, foot: Point, top: float, text: str, prefer: str) -> None:
    tape(paper, foot, (foot[0], top), "measured")
    middle = (foot[0], (foot[1] + top) / 2)
    paper.label(text, middle, prefer, gap=8, reach=9, lift=(top - foot[1]) / 2 + 8, bold=True)


def tape_height_words(n: Given) -> Description:
    """The same in words."""
    upper = bool(n.numbers.get("upper"))
    measured, other = ("high", "low") if upper else ("low", "high")
    return Description(
        n.say("Tape upright at a lens", "La cinta derecha junto a un lente"),
        n.say(
            f"Seen along the conveyor. The tape stands upright from the floor to the middle of the "
            f"{'higher' if upper else 'lower'} lens, now {n.said(measured)}. The other lens is {n.said(other)} high. "
            "Heights are to scale; the width of the bay is cut short.",
            f"Visto a lo largo del transportador. La cinta va derecha del piso al centro del lente "
            f"{'alto' if upper else 'bajo'}, ahora {n.said(measured)}. El otro lente está a {n.said(other)}. "
            "Las alturas van a escala; el ancho de la bahía está recortado.",
        ),
    )


def tape_across(paper: Paper, n: Given) -> None:
    """The bay from above: the tape from lens to lens, square to the conveyor."""
    scale = 240 / n["span"]
    left, level = (WIDTH - 240) / 2, 92.0
    right = left + n["span"] * scale
    for x in (left - 14, right + 14):
        paper.box(x - 10, level - 50, x + 10, level + 50, "pencil", width=THIN, hatch="..")
    for x in (WIDTH / 2 - 22, WIDTH / 2 + 22):
        paper.line([(x, level - 62), (x, level + 62)], "pencil", THIN, dash=True)
    head(paper, (left, level), 1)
    head(paper, (right, level), -1)
    tape(paper, (left, level - 12), (right, level - 12), "span")
    paper.arrow((WIDTH / 2, level + 22), (WIDTH / 2, level + 58), "pencil", LINE)
    paper.label(n.say("cars", "carros"), (WIDTH / 2, level + 46), "e", gap=10, face="words")
    paper.label(n.said("span"), (WIDTH / 2, level - 12), "s", gap=12, bold=True)


def tape_across_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Tape from lens to lens", "La cinta de lente a lente"),
        n.say(
            f"Seen from above. The tape runs level across the bay, from the face of one lens to the face of the other, "
            f"square to the conveyor: now {n.said('span')}.",
            f"Visto desde arriba. La cinta va a nivel a lo ancho de la bahía, de la cara de un lente a la del otro, a "
            f"escuadra con el transportador: ahora {n.said('span')}.",
        ),
    )


def tape_offset(paper: Paper, n: Given) -> None:
    """A car from the front, off the center line by the measured stretch."""
    scale = 270 / max(n["width"], 2 * n["offset"] + 2)
    ground, middle = 66.0, WIDTH / 2
    half = n["width"] * scale / 2
    paper.ground(ground)
    top = ground + min(1.9 * scale, 160)
    for x in (middle - half, middle + half):
        paper.line([(x, ground), (x, top)], "ink", HEAVY)
    center = middle + n["offset"] * scale
    wide, tall = 0.9 * scale, 1.45 * scale
    paper.box(center - wide, ground + 0.2 * scale, center + wide, ground + 0.8 * scale, "pencil", hatch="//")
    roof = [(center - wide * 0.9, ground + 0.8 * scale), (center - wide * 0.7, ground + tall)]
    paper.area([*roof, *[(2 * center - x, y) for x, y in reversed(roof)]], "pencil")
    for x in (center - wide * 0.8, center + wide * 0.8):
        paper.box(x - 0.1 * scale, ground, x + 0.1 * scale, ground + 0.3 * scale, "pencil")
    paper.line([(middle, ground - 14), (middle, top - 6)], "ink", THIN, dash=True)
    paper.line([(center, ground - 14), (center, min(ground + tall + 10, top - 6))], "pencil", THIN, dash=True)
    tape(paper, (middle, ground - 16), (center, ground - 16), "offset")
    paper.label(n.said("offset"), ((middle + center) / 2, ground - 16), "s", gap=10, bold=True)
    paper.across(middle - half, middle + half, top + 12, n.said("width"), "n", mark="width")


def tape_offset_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("How far off the center line", "Cuánto fuera de la línea central"),
        n.say(
            f"A car from the front in a bay {n.said('width')} wide. The tape lies on the floor from the center line to "
            f"the middle of the car: now {n.said('offset')}.",
            f"Un carro de frente en una bahía de {n.said('width')}. La cinta va en el piso, de la línea central al "
            f"centro del carro: ahora {n.said('offset')}.",
        ),
    )


def tape_along(paper: Paper, n: Given) -> None:
    """The conveyor from the side: the tape from the entry eye to a device or another pair."""
    length = 250.0
    scale = length / max(abs(n["distance"]), 0.3)
    ground, eye = 66.0, 52.0 if n["distance"] >= 0 else 52.0 + length
    there = eye + n["distance"] * scale
    tall = min(90.0, 2.4 * scale)
    paper.ground(ground)
    if scale * SEDAN_LONG < length * 0.85 and scale * SEDAN_TALL > 6:
        middle = (eye + there) / 2
        car(
            paper,
            middle - SEDAN_LONG * scale / 2,
            middle + SEDAN_LONG * scale / 2,
            ground,
            SEDAN_TALL * scale,
        )
    post(paper, eye, ground, ground + tall * 0.7)
    paper.circle((eye, ground + tall * 0.7), 5, "ink", fill=True)
    for x in (there - 5, there + 5):
        paper.line([(x, ground), (x, ground + tall)], "ink", LINE)
    paper.line([(there - 5, ground + tall), (there + 5, ground + tall)], "ink", LINE)
    tape(paper, (eye, ground - 20), (there, ground - 20), "distance")
    paper.label(n.said("distance"), ((eye + there) / 2, ground - 20), "s", gap=12, bold=True)
    paper.label(n.say("entry eye", "entrada"), (eye, ground + tall * 0.7), "n", gap=8, face="words")
    paper.label(n.say("here", "aquí"), (there, ground + tall), "n", gap=8, face="words")


def tape_along_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Tape along the conveyor", "La cinta a lo largo del transportador"),
        n.say(
            "The conveyor from the side. The tape lies level along it, from the entry eye's lens to this place: now "
            f"{n.said('distance')}.",
            "El transportador de lado. La cinta va a nivel a lo largo, del lente de entrada a este lugar: ahora "
            f"{n.said('distance')}.",
        ),
    )


def tape_gap(paper: Paper, n: Given) -> None:
    """Two cars in line: the tape in the gap, or from nose to nose."""
    scale = 330 / (n["pitch"] + n["pitch"] - n["gap"])
    body = max((n["pitch"] - n["gap"]) * scale, 6.0)
    ground, left = 76.0, (WIDTH - 330) / 2
    noses = (left + body, left + body + n["pitch"] * scale)
    tall = max(min(SEDAN_TALL * scale, 70.0), 14.0)
    paper.ground(ground)
    for nose in noses:
        car(paper, nose - body, nose, ground, tall)
    tail = noses[1] - body
    if n.numbers.get("whole"):
        _level(paper, noses, ground - 22, n.said("pitch"), "pitch")
        paper.across(noses[0], tail, ground + tall + 12, n.said("gap"), "n", mark="gap")
    else:
        _level(paper, (noses[0], tail), ground - 22, n.said("gap"), "gap")
        paper.across(*noses, ground + tall + 12, n.said("pitch"), "n", mark="pitch")


def _level(paper: Paper, ends: tuple[float, float], at: float, text: str, mark: str) -> None:
    tape(paper, (ends[0], at), (ends[1], at), mark)
    paper.label(text, ((ends[0] + ends[1]) / 2, at), "s", gap=12, bold=True)


def tape_gap_words(n: Given) -> Description:
    """The same in words."""
    whole = bool(n.numbers.get("whole"))
    return Description(
        n.say("Tape between two cars", "La cinta entre dos carros"),
        n.say(
            f"Two cars in line. The tape lies {'from nose to nose' if whole else 'from tail to nose'}. "
            f"The gap is {n.said('gap')} now, from nose to nose it is {n.said('pitch')}.",
            f"Dos carros en fila. La cinta va {'de trompa a trompa' if whole else 'de cola a trompa'}. "
            f"El hueco es ahora {n.said('gap')}; de trompa a trompa hay {n.said('pitch')}.",
        ),
    )


def tape_lens(paper: Paper, n: Given) -> None:
    """A lens from the front, drawn large: the tape across its middle."""
    middle, level, radius = WIDTH / 2, 104.0, 62.0
    paper.box(middle - 92, level - 78, middle + 92, level + 78, "pencil", width=LINE)
    paper.circle((middle, level), radius + 9, "ink", width=LINE)
    paper.circle((middle, level), radius, "ink", width=HEAVY)
    tape(paper, (middle - radius, level), (middle + radius, level), "lens_diameter")
    paper.label(n.said("lens_diameter"), (middle, level), "ns", gap=12, bold=True)


def tape_lens_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Tape across the glass", "La cinta sobre el vidrio"),
        n.say(
            "A lens from the front, drawn large. The tape lies across the middle of the clear glass, without the rim: "
            f"now {n.said('lens_diameter')}.",
            "Un lente de frente, en grande. La cinta cruza el centro del vidrio libre, sin el aro: ahora "
            f"{n.said('lens_diameter')}.",
        ),
    )


def chain_marks(paper: Paper, n: Given) -> None:
    """Two chalk marks beside the chain, a roller between them; a watch, or a pulse counter."""
    left, right, level = 40.0, 320.0, 62.0
    paper.line([(10, level), (350, level)], "pencil", LINE)
    for roller in range(20, 350, 22):
        paper.circle((roller, level), 3, "pencil", width=THIN)
    paper.circle((left, level + 12), 11, "ink", width=HEAVY)
    paper.circle((right, level + 12), 11, "pencil", width=THIN)
    for x in (left, right):
        paper.line([(x, level - 22), (x, level + 34)], "ink", LINE, dash=True)
    tape(paper, (left, level - 26), (right, level - 26), "length")
    paper.label(n.said("length"), ((left + right) / 2, level - 26), "s", gap=12, bold=True)
    paper.arrow((left + 22, level + 12), (right - 22, level + 12), "pencil", LINE)
    counted = "pulses" in n
    middle = (WIDTH / 2, level + 66.0)
    if counted:
        paper.box(middle[0] - 62, middle[1] - 18, middle[0] + 62, middle[1] + 18, width=LINE)
        paper.write(_pulses_said(n), middle, face="numbers", bold=True)
    else:
        paper.circle(middle, 30, width=LINE)
        paper.box(middle[0] - 4, middle[1] + 30, middle[0] + 4, middle[1] + 38, width=LINE)
        paper.line([middle, (middle[0] + 16, middle[1] + 16)], width=LINE)
        paper.label(n.said("time") if "time" in n else "?", middle, "e", gap=8, reach=30, bold=True)


def _pulses_said(n: Given) -> str:
    return f"{n.said('pulses')} {n.say('pulses', 'pulsos')}"


def chain_marks_words(n: Given) -> Description:
    """The same in words."""
    text = n.say(
        f"Two chalk marks {n.said('length')} apart beside the chain; a roller runs from one to the other.",
        f"Dos marcas de gis a {n.said('length')} junto a la cadena; un rodillo va de una a la otra.",
    )
    if "pulses" in n:
        text += n.say(
            f" The counter shows {_pulses_said(n)} now.", f" El contador da ahora {_pulses_said(n)}."
        )
    elif "time" in n:
        text += n.say(f" It takes {n.said('time')} now.", f" Ahora tarda {n.said('time')}.")
    return Description(n.say("Two marks beside the chain", "Dos marcas junto a la cadena"), text)


def tape_cable(paper: Paper, n: Given) -> None:
    """The cable from the cabinet up, along and down to the farthest head, measured along itself."""
    paper.ground(40)
    paper.box(16, 40, 66, 120, width=HEAVY)
    run = [(66, 96), (92, 96), (92, 158), (318, 158), (318, 74)]
    paper.line(run, "ink", HEAVY, mark="length")
    for x in range(100, 318, 9):
        paper.line([(x, 158), (x, 164)], "ink", THIN)
    for y in (*range(100, 158, 9), *range(80, 158, 9)):
        side = 92 if y in range(100, 158, 9) else 318
        paper.line([(side, y), (side - 6, y)], "ink", THIN)
    head(paper, (304, 68), -1)
    paper.label(n.said("length"), (205, 158), "s", gap=10, bold=True)
    paper.write(n.say("cabinet", "tablero"), (41, 132))
    paper.write(n.say("farthest head", "último cabezal"), (288, 52), "right")


def tape_cable_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Along the cable", "A lo largo del cable"),
        n.say(
            f"The cable leaves the cabinet, runs up, along and down to the farthest head. Its own length, one way, is "
            f"{n.said('length')} now.",
            f"El cable sale del tablero, sube, corre y baja hasta el cabezal más lejano. Su propio largo, una vía, es "
            f"ahora {n.said('length')}.",
        ),
    )
