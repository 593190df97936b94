"""Every vehicle of a task over one scale: its true length as a frame, and in it where the beam is blocked."""

from __future__ import annotations

from collections.abc import Sequence

from trainer.benches.beam.passing import ONCE
from trainer.benches.beam.rolling import Pass
from trainer.benches.beam.told import FATES, lane_place, off
from trainer.figures.ink import LINE
from trainer.figures.live import Live, LivePaper
from trainer.figures.paper import WIDTH
from trainer.sites.survey.reader import Reader

_ROW, _TALL, _LEFT, _RIGHT = 38.0, 11.0, 22.0, 338.0


def strips(passes: Sequence[Pass], to: Reader, name: str) -> Live:
    """A strip a vehicle, noses to the right, at its worst place in the lane."""
    paper = LivePaper(_ROW * len(passes) + 34, name)
    scale = (_RIGHT - _LEFT) / max(one.vehicle.body.length for one in passes)
    for row, one in enumerate(passes):
        _strip(paper, one, to, paper.height - 12 - _ROW * row, scale)
    legend = to.say("frame: the vehicle · full: beam blocked", "marco: el vehículo · lleno: haz cortado")
    paper.write(legend, (WIDTH / 2, 12), ink="pencil")
    title = to.say("The whole fleet, noses to the right", "Toda la flota, trompas a la derecha")
    return paper.finish(title, " ".join(one.sentence(to) for one in passes))


def fleet_rows(passes: Sequence[Pass], to: Reader) -> tuple[tuple[str, ...], ...]:
    """The same in a table: vehicle, where in the lane, how it ends, nose, tail."""
    return tuple(
        (
            one.vehicle.name[to.language], lane_place(one.task, one.worst, to), to.said(FATES[one.fate]),
            off(one.nose, to), off(one.tail, to),
        )
        for one in passes
    )  # fmt: skip


def _strip(paper: LivePaper, one: Pass, to: Reader, top: float, scale: float) -> None:
    name, long = one.vehicle.name[to.language], one.vehicle.body.length
    base = top - 10 - _TALL
    paper.write(name, (6, top), "left")
    if one.fate != ONCE:
        paper.write(_short(one.fate, to), (WIDTH - 6, top), "right", bold=True)
    nose = _RIGHT
    for first, last in one.spans:
        paper.box(
            nose - last * scale,
            base + 1,
            nose - first * scale,
            base + _TALL - 1,
            "beam",
            fill=True,
            width=0.5,
        )
    paper.box(nose - long * scale, base, nose, base + _TALL, "ink", width=LINE)


def _short(fate: int, to: Reader) -> str:
    return to.said(FATES[fate]).split(":", maxsplit=1)[0]
