"""Timing charts: an input, and what a timer makes of it."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.figures.given import Description, Given
from trainer.figures.ink import HEAVY, THIN
from trainer.figures.paper import Paper
from trainer.quantities.dimensions import TIME
from trainer.solver.timers import timer

Span = tuple[float, float]
_LEFT, _RIGHT, _HIGH = 52.0, 340.0, 30.0
# An input that shows what each timer does, in presets: too short, a short dropout, long enough.
_TYPICAL: tuple[Span, ...] = ((0.4, 1.0), (1.8, 3.6), (4.0, 5.8))


def timing_on_delay(paper: Paper, n: Given) -> None:
    """The chart of an on-delay timer."""
    _chart(paper, n, "TON")


def timing_off_delay(paper: Paper, n: Given) -> None:
    """The chart of an off-delay timer."""
    _chart(paper, n, "TOF")


def timing_pulse(paper: Paper, n: Given) -> None:
    """The chart of a pulse timer."""
    _chart(paper, n, "TP")


def spans_of(n: Given) -> list[Span]:
    """When the input is on: as given, else a typical input; what is out of order is left out."""
    preset = n["preset"] or 1.0
    given = [(n[f"on{i}"], n[f"off{i}"]) for i in range(1, 5) if f"on{i}" in n and f"off{i}" in n]
    found: list[Span] = []
    for on, off in given or [(on * preset, off * preset) for on, off in _TYPICAL]:
        if off > on >= (found[-1][1] if found else 0.0) and (not found or on > found[-1][1]):
            found.append((on, off))
    return found


def _chart(paper: Paper, n: Given, kind: str) -> None:
    spans = spans_of(n)
    output = [(float(on), float(off)) for on, off in timer(kind, n["preset"], spans)]
    end = max([n["preset"], *(off for _, off in [*spans, *output])]) * 1.12
    scale = (_RIGHT - _LEFT) / end
    edges = sorted({one for span in spans for one in span})
    for one in edges:
        paper.line([(_LEFT + one * scale, 44), (_LEFT + one * scale, 166)], "rule", THIN)
    _trace(paper, "IN", spans, 122, scale, mark="input")
    if n.hides("output"):
        paper.write("Q", (_LEFT - 14, 78), "right", face="numbers", bold=True)
        paper.line([(_LEFT, 64), (_RIGHT, 64)], "pencil", THIN, dash=True)
        paper.write("?", ((_LEFT + _RIGHT) / 2, 80), face="numbers", bold=True)
    else:
        _trace(paper, "Q", output, 64, scale, mark="output")
    _times(paper, n, edges, scale)
    preset = n.say("preset", "tiempo fijado")
    paper.across(_LEFT, _LEFT + n["preset"] * scale, 172, f"{preset} {n.said('preset')}", "en", mark="preset")


def _trace(paper: Paper, name: str, spans: Sequence[Span], base: float, scale: float, *, mark: str) -> None:
    points = [(_LEFT, base)]
    for on, off in spans:
        x, y = _LEFT + on * scale, _LEFT + off * scale
        points += [(x, base), (x, base + _HIGH), (y, base + _HIGH), (y, base)]
        paper.area(
            [(x, base), (x, base + _HIGH), (y, base + _HIGH), (y, base)], "beam", hatch="////", width=0
        )
    paper.line([*points, (_RIGHT, base)], "ink", HEAVY, mark=mark)
    paper.write(name, (_LEFT - 14, base + _HIGH / 2), "right", face="numbers", bold=True)


def _times(paper: Paper, n: Given, edges: Sequence[float], scale: float) -> None:
    """The time of each edge below the chart, on two rows, as far as there is room."""
    given = "on1" in n
    for one in edges if given else []:
        text = n.write(one, TIME, "s")
        wide = paper.measure(text, face="numbers")
        for row in (34, 18):
            x = _LEFT + one * scale
            if not any(b.left < x + wide / 2 + 4 and b.right > x - wide / 2 - 4 and b.bottom < row < b.top
                       for b in paper.taken):  # fmt: skip
                paper.write(text, (x, row), face="numbers")
                break


_NAMES = {
    "TON": ("On-delay timer", "Temporizador con retardo a la conexión"),
    "TOF": ("Off-delay timer", "Temporizador con retardo a la desconexión"),
    "TP": ("Pulse timer", "Temporizador de pulso"),
}


def _words(n: Given, kind: str) -> Description:
    spans = spans_of(n)

    def listed(found: Sequence[Span]) -> str:
        to = n.say(" to ", " a ")
        return "; ".join(f"{n.write(on, TIME, 's')}{to}{n.write(off, TIME, 's')}" for on, off in found)

    none = n.say("never", "nunca")
    text = n.say(
        f"Preset {n.said('preset')}. The input IN is on: {listed(spans)}.",
        f"Tiempo fijado {n.said('preset')}. La entrada IN está activada: {listed(spans)}.",
    )
    if not n.hides("output"):
        output = [(float(on), float(off)) for on, off in timer(kind, n["preset"], spans)]
        text += n.say(" The output Q is on: ", " La salida Q está activada: ") + f"{listed(output) or none}."
    return Description(n.say(*_NAMES[kind]), text)


def timing_on_delay_words(n: Given) -> Description:
    """The same in words."""
    return _words(n, "TON")


def timing_off_delay_words(n: Given) -> Description:
    """The same in words."""
    return _words(n, "TOF")


def timing_pulse_words(n: Given) -> Description:
    """The same in words."""
    return _words(n, "TP")
