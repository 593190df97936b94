"""The signal as drawings: a bar of excess gain with every decade as wide, and the course of a whole run."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trainer.benches.aiming.light import FLOOR
from trainer.benches.aiming.task import Task
from trainer.benches.aiming.walk import State
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.sites.survey.reader import Reader

_LEFT, _RIGHT = 24.0, 336.0
_LOW, _HIGH = 40.0, 66.0
_MOST_TICKS = 8


def shown_gain(gain: float, reader: Reader) -> str:
    """An excess gain as it is read; below the floor there is no light to read."""
    if gain < FLOOR:
        return reader.say("no light", "sin luz")
    return reader.times(gain)


def signal_bar(task: Task, state: State, reader: Reader) -> Live:
    """The last reading as a bar, earlier ones as ticks, what is asked and what the sheet says."""
    paper = LivePaper(170, "aim-signal")
    top = _top(task)
    paper.box(_LEFT, _LOW, _RIGHT, _HIGH)
    for decade in range(round(math.log10(FLOOR)), top + 1):
        x = _across(10.0**decade, top)
        paper.line([(x, _LOW), (x, _LOW - 6)], "pencil", THIN)
        paper.write(reader.times(10.0**decade), (x, _LOW - 15), face="numbers", ink="pencil")
    asked = reader.say(f"asked {reader.times(task.required)}", f"se pide {reader.times(task.required)}")
    sheet = reader.say(f"site sheet {reader.times(task.site_gain)}", f"hoja {reader.times(task.site_gain)}")
    # The lower label keeps off the taller mark, which may stand close beside it.
    side = "right" if task.site_gain >= task.required else "left"
    marks = ((task.required, asked, _HIGH + 20, side), (task.site_gain, sheet, _HIGH + 38, "center"))
    for gain, text, high, align in marks:
        x = _across(gain, top)
        paper.line([(x, _LOW), (x, high - 8)], "ink", HEAVY)
        paper.write(text, (x, high), align)
    _readings(paper, state, top)
    last = (
        shown_gain(state.readings[-1].shown, reader)
        if state.readings
        else reader.say("not read yet", "sin leer")
    )
    title = reader.say("Signal", "Señal")
    paper.write(f"{title}: {last}", (_LEFT, _HIGH + 60), "left", size=15, bold=True)
    return paper.finish(title, _words(task, state, reader))


def course(task: Task, gains: Sequence[float], states: Sequence[State], best: float, reader: Reader) -> Live:
    """The true gain after each act, with the readings as dots and the best as a line."""
    paper = LivePaper(240, "aim-course")
    left, right, low, high = 52.0, 348.0, 40.0, 180.0
    top = _top(task)
    bottom = round(math.log10(FLOOR))

    def up(gain: float) -> float:
        level = (math.log10(max(gain, FLOOR)) - bottom) / (top - bottom)
        return low + (high - low) * min(1.0, level)

    def along(count: int) -> float:
        return left + (right - left) * count / max(1, len(gains) - 1)

    for decade in range(bottom, top + 1):
        y = up(10.0**decade)
        paper.line([(left, y), (right, y)], "rule", THIN)
        paper.write(reader.times(10.0**decade), (left - 6, y), "right", face="numbers", ink="pencil")
    asked, most = (task.required, reader.say("asked", "se pide")), (best, reader.say("best", "lo mejor"))
    for (gain, text), x, away in zip(sorted((asked, most)), (left + 4, left + 70), (-9, 9), strict=True):
        paper.line([(left, up(gain)), (right, up(gain))], "pencil", LINE, dash=True)
        paper.write(text, (x, up(gain) + away), "left", ink="pencil")
    paper.line([(along(i), up(gain)) for i, gain in enumerate(gains)], "ink", LINE, mark="course")
    for before, (i, state) in zip(states, enumerate(states[1:], 1), strict=False):
        if len(state.readings) > len(before.readings):
            paper.circle((along(i), up(state.readings[-1].shown)), 3.5, "beam", fill=True)
    title = reader.say("Your run: true light after each act", "Tu práctica: la luz real después de cada paso")
    paper.write(title, (180, high + 22), bold=True)
    below = reader.say(
        "acts, first to last; dots are readings", "pasos, del primero al último; puntos: lecturas"
    )
    paper.write(below, (180, low - 20), ink="pencil")
    first, last = (shown_gain(one, reader) for one in (gains[0], gains[-1]))
    text = reader.say(
        f"From {first} at the start to {last} at the end.", f"De {first} al principio a {last} al final."
    )
    return paper.finish(title, text)


def _top(task: Task) -> int:
    """The decade that holds every gain this pair can have."""
    return max(1, math.ceil(math.log10(1.3 * max(task.site_gain, task.required))))


def _across(gain: float, top: int) -> float:
    bottom = math.log10(FLOOR)
    level = (math.log10(max(gain, FLOOR)) - bottom) / (top - bottom)
    return _LEFT + (_RIGHT - _LEFT) * min(1.0, level)


def _readings(paper: LivePaper, state: State, top: int) -> None:
    earlier = state.readings[:-1][-_MOST_TICKS:]
    if state.readings:
        x = _across(state.readings[-1].shown, top)
        if x > _LEFT:
            paper.area(
                [(_LEFT, _LOW + 5), (x, _LOW + 5), (x, _HIGH - 5), (_LEFT, _HIGH - 5)],
                "ink",
                hatch="///",
                mark="now",
            )
    for one in earlier:
        x = _across(one.shown, top)
        paper.line([(x, _HIGH - 8), (x, _HIGH)], "beam", HEAVY)


def _words(task: Task, state: State, reader: Reader) -> str:
    shown = ", ".join(shown_gain(one.shown, reader) for one in state.readings[-_MOST_TICKS:])
    asked, sheet = reader.times(task.required), reader.times(task.site_gain)
    if not shown:
        return reader.say(
            f"Not read yet. Asked for: {asked}. Site sheet: {sheet}.",
            f"Sin leer todavía. Se pide: {asked}. Hoja del sitio: {sheet}.",
        )
    return reader.say(
        f"Readings, the last one at the end: {shown}. Asked for: {asked}. Site sheet: {sheet}.",
        f"Lecturas, la última al final: {shown}. Se pide: {asked}. Hoja del sitio: {sheet}.",
    )
