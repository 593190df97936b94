"""Drawings of the sensing loop and its cable: blocks, a short, a voltage drop, a discharge, limits of voltage."""

from __future__ import annotations

from itertools import pairwise

from trainer.figures.chart import Frame
from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.paper import WIDTH, Paper
from trainer.quantities.dimensions import VOLTAGE
from trainer.solver.electrical import PELV_LIMITS, discharge_time

_BLOCKS = (
    ("DC supply", "fuente de CD"),
    ("supply cable", "cable de alimentación"),
    ("emitter", "emisor"),
    ("lens, beam, lens", "lente, haz, lente"),
    ("receiver and its output", "receptor y su salida"),
    ("signal cable", "cable de señal"),
    ("controller's input", "entrada del controlador"),
)
_LIGHT = 3


def loop_blocks(paper: Paper, n: Given) -> None:
    """Everything a signal passes through, from the supply to the controller."""
    middles = [308 - i * 46.0 for i in range(len(_BLOCKS))]
    for above, below in pairwise(middles):
        paper.arrow((WIDTH / 2, above - 14), (WIDTH / 2, below + 15), "ink", LINE)
    for i, (words, y) in enumerate(zip(_BLOCKS, middles, strict=True)):
        paper.box(66, y - 14, 294, y + 14, "beam" if i == _LIGHT else "ink", width=LINE)
        paper.write(str(i + 1), (82, y), face="numbers", bold=True)
        paper.write(n.say(*words), (WIDTH / 2 + 6, y))


def loop_blocks_words(n: Given) -> Description:
    """The same in words."""
    listed = ", ".join(n.say(*words) for words in _BLOCKS)
    return Description(
        n.say("The sensing loop", "El circuito del sensor"),
        n.say(f"The signal's way, in order: {listed}.", f"El camino de la señal, en orden: {listed}."),
    )


def cable_short(paper: Paper, n: Given) -> None:
    """A two-wire cable to scale with the place where its conductors touch."""
    left, right, upper, lower = 56.0, 300.0, 122.0, 92.0
    short = left + min(max(n["distance"] / n["length"], 0.0), 1.0) * (right - left)
    for y in (upper, lower):
        paper.line([(left, y), (short, y)], "ink", HEAVY)
        paper.line([(short, y), (right, y)], "pencil", LINE, dash=True)
    zigzag = [(short, upper), (short + 5, 114), (short - 5, 107), (short + 5, 100), (short, lower)]
    paper.line(zigzag, "ink", HEAVY, mark="short")
    paper.keep_clear(short - 6, lower, short + 6, upper)
    paper.circle((34, 107), 22, width=LINE)
    paper.write("Ω", (34, 107), face="numbers", bold=True)
    paper.box(right, 90, right + 40, 124, width=LINE)
    paper.write(n.say("head", "cabezal"), (right + 20, 78))
    paper.write(n.say("meter", "medidor"), (34, 76))
    paper.label(n.say("short", "corto"), (short, upper), "n", gap=6, face="words", bold=True)
    paper.across(left, short, 58, n.said("distance"), "s", mark="distance")
    paper.across(left, right, 24, n.said("length"), "s", mark="length")


def cable_short_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("A short in a two-wire cable", "Un corto en un cable de dos conductores"),
        n.say(
            f"A meter measures into a cable {n.said('length')} long to the head. The two conductors "
            f"touch {n.said('distance')} "
            "from the meter, so the meter sees that stretch there and back.",
            f"Un medidor mide en un cable de {n.said('length')} hasta el cabezal. Los dos conductores "
            "se tocan a "
            f"{n.said('distance')} del medidor, así que el medidor ve ese tramo de ida y vuelta.",
        ),
    )


def voltage_drop(paper: Paper, n: Given) -> None:
    """Voltage along a cable, from the supply to the head."""
    frame = Frame(58, 58, 282, 190, n["length"], n["supply"] * 1.05)
    frame.draw(paper, n.say("along the cable", "a lo largo del cable"), n.say("voltage", "voltaje"), 46)
    frame.level(paper, n["supply"], n.said("supply"))
    paper.write("0 V", (53, 58), "right", face="numbers", ink="pencil")
    end = n["supply"] - n["drop"]
    paper.line([frame.at(0, n["supply"]), frame.at(n["length"], end)], "ink", HEAVY, mark="voltage")
    paper.line([frame.at(0, n["supply"]), frame.at(n["length"], n["supply"])], "pencil", THIN, dash=True)
    paper.upright(
        frame.y(end), frame.y(n["supply"]), frame.right + 12, n.said("drop"), "esn", ink="ink", mark="drop"
    )
    paper.line([frame.at(n["length"], 0), frame.at(n["length"], end)], "rule", THIN)
    paper.across(frame.left, frame.right, 44, n.said("length"), "s", mark="length")


def voltage_drop_words(n: Given) -> Description:
    """The same in words."""
    return Description(
        n.say("Voltage along the cable", "Voltaje a lo largo del cable"),
        n.say(
            f"The supply gives {n.said('supply')} at the cabinet. Along {n.said('length')} of cable "
            "the voltage falls evenly, "
            f"by {n.said('drop')} in all: at the head that much is missing.",
            f"La fuente da {n.said('supply')} en el tablero. A lo largo de {n.said('length')} de "
            "cable el voltaje baja "
            f"parejo, {n.said('drop')} en total: es lo que falta en el cabezal.",
        ),
    )


def discharge_curve(paper: Paper, n: Given) -> None:
    """Voltage of a capacitor over time through its bleed resistor, down to a limit."""
    first, limit = n["from_voltage"], min(n["to_voltage"], n["from_voltage"])

    def time_to(voltage: float) -> float:
        return float(discharge_time(n["resistance"], n["capacitance"], first, voltage))

    reached = time_to(limit)
    end = max(time_to(limit * 0.6), time_to(first * 0.3))
    frame = Frame(62, 62, 336, 200, end, first * 1.05)
    frame.draw(paper, n.say("time", "tiempo"), n.say("volts on the capacitor", "voltios en el capacitor"))
    frame.level(paper, first, n.said("from_voltage"))
    lowest = min(limit * 0.6, first * 0.3)
    points = [first * (lowest / first) ** (i / 60) for i in range(61)]
    paper.line([frame.at(time_to(v), v) for v in points], "beam", 2.4, mark="curve")
    paper.line([frame.at(0, limit), frame.at(end, limit)], "ink", LINE, dash=True, mark="limit")
    paper.label(n.said("to_voltage"), frame.at(end * 0.97, limit), "nsw", gap=4, ink="ink", bold=True)
    frame.foot(paper, reached, limit, n.said("time") if "time" in n else "?", mark="reached")
    paper.circle(frame.at(reached, limit), 3.5, fill=True)
    parts = f"{n.said('resistance')} · {n.said('capacitance')}"
    paper.label(parts, (frame.right - 78, frame.top), "s", gap=8)


def discharge_curve_words(n: Given) -> Description:
    """The same in words."""
    limit = n.write(n["to_voltage"], VOLTAGE) if not n.hides("to_voltage") else "?"
    return Description(
        n.say("A capacitor draining", "Un capacitor que se descarga"),
        n.say(
            f"A capacitor of {n.said('capacitance')} drains through {n.said('resistance')} from "
            f"{n.said('from_voltage')}. The "
            f"voltage falls fast at first, then ever more slowly; a mark stands where it reaches {limit}.",
            f"Un capacitor de {n.said('capacitance')} se descarga por {n.said('resistance')} desde "
            f"{n.said('from_voltage')}. "
            "El voltaje baja rápido al principio y luego cada vez más despacio; hay una marca donde "
            f"llega a {limit}.",
        ),
    )


_LIMITS = (
    ("wet", "ac", "wet, AC", "mojado, CA"),
    ("wet", "dc", "wet, DC", "mojado, CD"),
    ("dry", "ac", "dry, AC", "seco, CA"),
    ("dry", "dc", "dry, DC", "seco, CD"),
)


def voltage_limits(paper: Paper, n: Given) -> None:
    """The four limits of protective extra-low voltage as bars, and how far a supply reaches beside them."""
    left, right, top = 146.0, 340.0, 150.0
    supply = n["supply"]
    highest = max(supply, *(max(limit.ac, limit.dc) for limit in PELV_LIMITS.values()))
    scale = (right - left) / highest
    for i, (place, kind, *words) in enumerate(_LIMITS):
        limit, y = float(getattr(PELV_LIMITS[place], kind)), top - 34.0 * i
        paper.write(n.say(*words), (8, y), "left")
        paper.write(n.write(limit, VOLTAGE), (left - 8, y), "right", face="numbers", bold=True)
        paper.box(
            left,
            y - 9,
            left + limit * scale,
            y + 9,
            hatch="///" if place == "wet" else "",
            mark=f"{place}_{kind}",
        )
    paper.line([(left, top - 116), (left, top + 16)], "pencil", LINE)
    end = left + supply * scale
    paper.line([(end, top - 116), (end, top + 16)], "beam", HEAVY, dash=True)
    paper.line([(left, top + 26), (end, top + 26)], "beam", HEAVY, mark="supply")
    paper.write(f"{n.say('supply', 'fuente')} {n.said('supply')}", (left, top + 40), "left", bold=True)


def voltage_limits_words(n: Given) -> Description:
    """The same in words."""
    wet, dry = PELV_LIMITS["wet"], PELV_LIMITS["dry"]
    return Description(
        n.say("Limits of low voltage, wet and dry", "Límites de bajo voltaje, mojado y seco"),
        n.say(
            f"Four bars. In a wet place the limit is {wet.ac:g} V AC or {wet.dc:g} V DC; in a dry one, with little "
            f"contact, {dry.ac:g} V AC or {dry.dc:g} V DC. Beside them the supply, {n.said('supply')}.",
            f"Cuatro barras. En lugar mojado el límite es {wet.ac:g} V CA o {wet.dc:g} V CD; en seco, con poco "
            f"contacto, {dry.ac:g} V CA o {dry.dc:g} V CD. Al lado la fuente, {n.said('supply')}.",
        ),
    )
