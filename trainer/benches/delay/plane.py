"""Every setting at once: on-delay across, off-delay up, what the numbers allow, yours and the best."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from trainer.benches.delay import words
from trainer.benches.delay.asking import region
from trainer.benches.delay.counting import worth
from trainer.benches.delay.numbers import ASKS, LOWER, OF_ON, asked
from trainer.benches.delay.scoring import Setting
from trainer.benches.delay.task import STEP, Task
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.quantities.writing import write_number
from trainer.sites.survey.reader import Reader

_LEFT, _RIGHT, _LOW, _HIGH = 40.0, 330.0, 44.0, 300.0


def draw(task: Task, mine: Setting, best: Setting, reader: Reader) -> Live:
    """The plane of both delays."""
    paper = LivePaper(_HIGH + 56, "plane")
    across, up = (_RIGHT - _LEFT) / task.on_most, (_HIGH - _LOW) / task.off_most

    def at(setting: Setting) -> tuple[float, float]:
        return _LEFT + min(setting[0], task.on_most) * across, _LOW + min(setting[1], task.off_most) * up

    _axes(paper, task, reader, across, up)
    for left, low, right, high in _best_cells(task):
        (x0, y0), (x1, y1) = at((left, low)), at((right, high))
        paper.box(x0, y0, x1, y1, "beam", hatch="///", width=THIN)
    _lines(paper, task, reader, across, up)
    corners = [at(corner) for corner in region(task.facts).corners]
    if len(corners) > 2:
        paper.area(corners, "ink", width=HEAVY)
    paper.circle(at(best), 7, "ink", width=LINE)
    paper.circle(at(mine), 4, "ink", fill=True)
    _key(paper, reader)
    return paper.finish(reader.said(words.PLANE), reader.said(words.PLANE_WORDS))


def _key(paper: LivePaper, reader: Reader) -> None:
    """Which mark is which, above the plane."""
    y = _HIGH + 36
    paper.circle((12, y), 4, "ink", fill=True)
    paper.write(reader.say("yours", "el tuyo"), (22, y), "left", bold=True)
    paper.circle((112, y), 7, "ink", width=LINE)
    paper.write(reader.say("best", "el mejor"), (124, y), "left", bold=True)


def _axes(paper: LivePaper, task: Task, reader: Reader, across: float, up: float) -> None:
    paper.line([(_LEFT, _HIGH), (_LEFT, _LOW), (_RIGHT, _LOW)], "pencil", LINE)
    for at in np.arange(0, task.on_most + STEP / 2, 0.5).tolist():
        x = _LEFT + at * across
        paper.line([(x, _LOW), (x, _LOW - 4)], "pencil", THIN)
        paper.write(write_number(at, reader.language), (x, _LOW - 13), face="numbers")
    for at in range(int(task.off_most) + 1):
        if task.off_most > 10 and at % 2:
            continue
        y = _LOW + at * up
        paper.line([(_LEFT, y), (_LEFT - 4, y)], "pencil", THIN)
        paper.write(write_number(at, reader.language), (_LEFT - 8, y), "right", face="numbers")
    paper.write(f"{reader.said(words.ON_DELAY)} (s) →", (_RIGHT, _LOW - 31), "right")
    paper.write(f"↑ {reader.said(words.OFF_DELAY)} (s)", (4.0, _HIGH + 14), "left")


def _lines(paper: LivePaper, task: Task, reader: Reader, across: float, up: float) -> None:
    """Where each number draws a line, named at its end."""
    for one in asked(task.facts):
        name = reader.said(ASKS[one.name])
        if one.name in OF_ON and one.at <= task.on_most:
            x = _LEFT + one.at * across
            paper.line([(x, _LOW), (x, _HIGH)], "pencil", LINE, dash=True)
            # Where two lines are near each other their names stand on two levels.
            at, align = (x - 5, "right") if one.name in LOWER else (x + 5, "left")
            paper.write(name, (at, _HIGH - (24 if one.name == "cart" else 8)), align)
        elif one.name not in OF_ON and one.at <= task.off_most:
            y = _LOW + one.at * up
            paper.line([(_LEFT, y), (_RIGHT, y)], "pencil", LINE, dash=True)
            # A hole and a shorter gap each keep their name off the narrow stretch between them.
            below = (one.name in LOWER) != bool(task.facts.rolled and one.name != "gap")
            paper.write(name, (_RIGHT, y - 11 if below else y + 11), "right")


def _best_cells(task: Task) -> Iterator[tuple[float, float, float, float]]:
    """The best settings as rectangles a step around them, one for each run of like columns."""
    all_ = worth(task)
    best = all_.raw == all_.most
    start = 0
    for i in range(1, len(best) + 1):
        if i < len(best) and (best[i] == best[start]).all():
            continue
        edges = np.flatnonzero(np.diff(np.concatenate([[0], best[start].astype(int), [0]])))
        for low, high in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
            yield (
                max(start - 0.5, 0) * STEP, max(low - 0.5, 0) * STEP, (i - 0.5) * STEP, (high - 0.5) * STEP,
            )  # fmt: skip
        start = i
