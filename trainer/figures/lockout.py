"""Drawings for lockout: the kinds of energy at a machine, what takes a lock and what not, and the order of steps."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise

import numpy as np

from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE
from trainer.figures.paper import WIDTH, Paper

Sketch = Callable[[Paper, float, float], None]


def _bolt(paper: Paper, x: float, y: float) -> None:
    paper.area(
        [(x + 3, y + 14), (x - 8, y - 2), (x - 1, y - 2), (x - 4, y - 14), (x + 8, y + 3), (x + 1, y + 3)]
    )


def _plates(paper: Paper, x: float, y: float) -> None:
    for side in (-1, 1):
        paper.line([(x + side * 4, y - 12), (x + side * 4, y + 12)], "ink", HEAVY)
        paper.line([(x + side * 4, y), (x + side * 14, y)])


def _gauge(paper: Paper, x: float, y: float) -> None:
    paper.circle((x, y + 2), 11)
    paper.line([(x, y + 2), (x + 6, y + 9)], "ink", HEAVY)
    paper.line([(x, y - 9), (x, y - 14)])


def _cylinder(paper: Paper, x: float, y: float) -> None:
    paper.box(x - 7, y - 13, x + 7, y + 4)
    paper.line([(x - 7, y - 2), (x + 7, y - 2)], "ink", HEAVY)
    paper.line([(x, y - 2), (x, y + 14)], "ink", HEAVY)


def _weight(paper: Paper, x: float, y: float) -> None:
    paper.area([(x - 6, y + 13), (x + 6, y + 13), (x + 10, y), (x - 10, y)])
    paper.arrow((x, y - 2), (x, y - 15), "ink", LINE)


def _coil(paper: Paper, x: float, y: float) -> None:
    steps = [(x, y + 14), *((x + (8 if i % 2 else -8), y + 11 - 3.6 * i) for i in range(7)), (x, y - 14)]
    paper.line(steps)


def _heat(paper: Paper, x: float, y: float) -> None:
    for side in (-8, 0, 8):
        rise = np.linspace(0, 1, 16)
        paper.line([(x + side + 3 * np.sin(7 * t), y - 13 + 26 * t) for t in rise])


def _flask(paper: Paper, x: float, y: float) -> None:
    paper.line(
        [(x - 4, y + 14), (x - 4, y + 4), (x - 11, y - 13), (x + 11, y - 13), (x + 4, y + 4), (x + 4, y + 14)]
    )
    paper.line([(x - 7, y - 5), (x + 7, y - 5)], "ink", HEAVY)


# What 29 CFR 1910.147(b) calls an energy source, and a stored charge: (d)(5). 2015 edition read.
_KINDS: tuple[tuple[Sketch, str, str], ...] = (
    (_bolt, "electric", "eléctrica"),
    (_plates, "stored charge", "carga guardada"),
    (_gauge, "air", "aire"),
    (_cylinder, "hydraulic", "hidráulica"),
    (_weight, "gravity", "gravedad"),
    (_coil, "spring", "resorte"),
    (_heat, "hot water", "agua caliente"),
    (_flask, "chemical", "química"),
)


def energy_sources(paper: Paper, n: Given) -> None:
    """The eight kinds of energy to look for at a machine."""
    for i, (sketch, en, es) in enumerate(_KINDS):
        x, y = 8.0 + 176 * (i % 2), 258.0 - 72 * (i // 2)
        paper.box(x, y - 30, x + 168, y + 30, ink="pencil", width=LINE)
        sketch(paper, x + 30, y)
        paper.write(n.say(en, es), (x + 58, y), "left")


def energy_sources_words(n: Given) -> Description:
    """The same in words."""
    listed = ", ".join(n.say(en, es) for _, en, es in _KINDS)
    return Description(
        n.say("Kinds of energy at a machine", "Tipos de energía en una máquina"),
        n.say(f"Eight kinds to look for: {listed}.", f"Ocho tipos que buscar: {listed}."),
    )


# By what a site sheet calls each kind of energy.
SKETCHES: Mapping[str, Sketch] = {
    "electric": _bolt,
    "stored_charge": _plates,
    "air": _gauge,
    "hydraulic": _cylinder,
    "gravity": _weight,
    "spring": _coil,
    "hot_water": _heat,
    "chemical": _flask,
}

_POINTS = (
    ("disconnect, open", "desconectador abierto", True),
    ("valve, closed", "válvula cerrada", True),
    ("stop button, selector, key switch", "paro, selector, interruptor de llave", False),
)


def lock_points(paper: Paper, n: Given) -> None:
    """What takes a lock and isolates, and what only controls."""
    for i, (en, es, isolates) in enumerate(_POINTS):
        y = 208.0 - 80 * i
        paper.box(8, y - 34, WIDTH - 8, y + 34, ink="pencil", width=LINE)
        (_switch, _valve, _button)[i](paper, 52, y)
        verdict = n.say("isolates: lock it", "aísla: ponle candado")
        if not isolates:
            verdict = n.say("only controls: no lock point", "solo controla: no es punto de bloqueo")
        bottom = paper.lines(n.say(en, es), (106, y + 18), 240)
        paper.lines(("✓ " if isolates else "✗ ") + verdict, (106, bottom - 2), 240, bold=True)


def padlock(paper: Paper, x: float, y: float) -> None:
    """A closed padlock whose body ends at a height."""
    arc = [(x + 5 * np.cos(t), y + 5 + 6 * np.sin(t)) for t in np.linspace(0, np.pi, 12)]
    paper.line([(x + 5, y), *arc, (x - 5, y)], "ink", LINE)
    paper.box(x - 8, y - 12, x + 8, y, fill=True)


def _switch(paper: Paper, x: float, y: float) -> None:
    paper.line([(x - 6, y + 26), (x - 6, y + 12)], "ink", LINE)
    paper.line([(x - 6, y - 10), (x - 18, y + 10)], "ink", HEAVY)
    paper.line([(x - 6, y - 26), (x - 6, y - 10)], "ink", LINE)
    paper.circle((x - 6, y + 10), 2, fill=True)
    paper.circle((x - 6, y - 10), 2, fill=True)
    padlock(paper, x + 16, y - 4)


def _valve(paper: Paper, x: float, y: float) -> None:
    paper.area([(x - 26, y + 8), (x - 26, y - 8), (x + 2, y + 8), (x + 2, y - 8)], "ink")
    paper.line([(x - 12, y), (x - 12, y + 20)], "ink", LINE)
    paper.line([(x - 12, y + 20), (x - 12, y + 24)], "ink", HEAVY)
    paper.line([(x - 22, y + 22), (x - 2, y + 22)], "ink", HEAVY)
    padlock(paper, x + 20, y - 4)


def _button(paper: Paper, x: float, y: float) -> None:
    paper.circle((x - 6, y), 18)
    paper.circle((x - 6, y), 10, fill=True)


def lock_points_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("What takes a lock", "Qué lleva candado"),
        n.say(
            "An open disconnect and a closed valve isolate: they take a lock. A stop button, a "
            "selector and a key switch only "
            "control: they are no lock points (29 CFR 1910.147(b), 2015 edition read).",
            "Un desconectador abierto y una válvula cerrada aíslan: llevan candado. Un botón de "
            "paro, un selector y un "
            "interruptor de llave solo controlan: no son puntos de bloqueo (29 CFR 1910.147(b), "
            "edición 2015 leída).",
        ),
    )


# 29 CFR 1910.147(d)(1) to (6), "in the following sequence", and (c)(9). 2015 edition read.
_IN_A_ROW = (
    ("know each energy", "conocer cada energía"),
    ("stop the machine", "parar la máquina"),
    ("isolate each energy", "aislar cada energía"),
    ("lock and tag", "candado y etiqueta"),
    ("release the rest", "liberar lo que queda"),
    ("verify zero", "verificar cero"),
    ("work", "trabajar"),
)
_LOCK = 3


def lockout_steps(paper: Paper, n: Given) -> None:
    """The steps of a lockout in a row, and beside them the one that only has to come before the lock."""
    middles = [308 - i * 46.0 for i in range(len(_IN_A_ROW))]
    for above, below in pairwise(middles):
        paper.arrow((108, above - 14), (108, below + 15), "ink", LINE)
    for i, (words, y) in enumerate(zip(_IN_A_ROW, middles, strict=True)):
        paper.box(8, y - 14, 208, y + 14, width=HEAVY if i == _LOCK else LINE)
        paper.write(str(i + 1), (24, y), face="numbers", bold=True)
        paper.write(n.say(*words), (40, y), "left")
    top, low, lock = middles[0] + 14, middles[_LOCK - 1] - 14, middles[_LOCK]
    paper.box(240, low, 352, top, width=LINE)
    below = paper.lines(n.say("tell everyone affected", "avisar a los afectados"), (252, top - 34), 92)
    paper.lines(
        n.say("any time before the lock", "cuando sea, antes del candado"), (252, below - 8), 92, ink="pencil"
    )
    paper.line([(296, low), (296, lock)], "ink", LINE)
    paper.arrow((296, lock), (209, lock), "ink", LINE)


def lockout_steps_words(n: Given) -> Description:
    """The same in words."""
    listed = ", ".join(n.say(*words) for words in _IN_A_ROW)
    return Description(
        n.say("The steps of a lockout", "Los pasos de un bloqueo"),
        n.say(
            f"Seven steps in a row: {listed}. Beside them: tell everyone affected, at any time before lock and tag.",
            f"Siete pasos en fila: {listed}. Al lado: avisar a los afectados, cuando sea, antes de candado y etiqueta.",
        ),
    )


_ACROSS = 8


def own_locks(paper: Paper, n: Given) -> None:
    """Everyone at work, each with a lock on the box below; who has none stands over an empty place."""
    people, locks = round(n["people"]), round(n["locks"])
    foot = 180.0
    for place in range(max(people, locks)):
        row, column = divmod(place, _ACROSS)
        x, foot = 30.0 + 43 * column, 180.0 - 122 * row
        if column == 0:
            paper.line([(12, foot - 42), (WIDTH - 12, foot - 42)], "ink", HEAVY)
        if place < people:
            paper.person(x, foot, 32)
        if place < locks:
            padlock(paper, x, foot - 22)
        else:
            around = [(10, -36), (10, -10), (-10, -10), (-10, -36), (10, -36)]
            paper.line([(x + across, foot + up) for across, up in around], "ink", LINE, dash=True)
    said = n.say(
        f"people: {n.said('people')}, locks: {n.said('locks')}",
        f"personas: {n.said('people')}, candados: {n.said('locks')}",
    )
    paper.write(said, (12, foot - 56), "left", bold=True)


def own_locks_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("People at work and their locks", "Personas que trabajan y sus candados"),
        n.say(
            f"People at work: {n.said('people')}. Locks on the box: {n.said('locks')}. Each person needs a lock of "
            "their own; whoever has none stays out.",
            f"Personas que trabajan: {n.said('people')}. Candados en la caja: {n.said('locks')}. Cada persona necesita "
            "su propio candado; quien no tiene se queda afuera.",
        ),
    )
