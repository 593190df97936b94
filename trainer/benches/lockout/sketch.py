"""The machine on one line: each point with its lock, the energy behind it as it is seen now, and where cards go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from trainer.benches.lockout.play import BOX, Done, State
from trainer.benches.lockout.readings import device, locks_on, point_now, pressure, source_now
from trainer.benches.lockout.task import FED, Source, Task
from trainer.benches.lockout.task import Point as LockPoint
from trainer.figures.ink import HEAVY, LARGE, LINE, SIZE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.figures.lockout import SKETCHES, padlock
from trainer.figures.paper import LEADING, WIDTH
from trainer.sites.survey.reader import Reader

_ROW = SIZE * LEADING
_LINE_X, _ICON_X, _TEXT_X = 20.0, 62.0, 94.0
_DIAL_X = WIDTH - 22
_BOLD = 1.1  # how much wider bold letters are
_LEAST = 42.0
_FULL_SCALE = 1.25  # of what a gauge reads at the start


@dataclass(frozen=True)
class _View:
    """A machine at one moment, on its sheet, for its reader."""

    paper: LivePaper
    task: Task
    now: State
    reader: Reader


def machine(task: Task, now: State, reader: Reader, name: str = "machine") -> Live:
    """The machine as somebody standing before it sees it; drawn downwards from 0."""
    view = _View(LivePaper(0, f"lockout-{name}"), task, now, reader)
    y = _head(view)
    for point in task.points:
        root = y - _LEAST / 2
        y = _point(view, point, y)
        for key in point.sources:
            root, y = _source(view, task.source(key), root, y)
        view.paper.line([(6, y), (WIDTH - 6, y)], "rule", THIN)
        y -= 2
    title = reader.say("The machine's energy now", "La energía de la máquina ahora")
    return view.paper.finish(title, _words(task, now, reader))


def strip(steps: Sequence[Done], reader: Reader) -> Live:
    """Where cards go: how many lie there, the last of them, and room for the next."""
    paper = LivePaper(0, "lockout-strip")
    count = len(steps)
    title = reader.say(f"Steps laid: {count}", f"Pasos puestos: {count}")
    if steps:
        last = reader.said(steps[-1].card.label)
        title += reader.say(f". Last: {last}", f". Último: {last}")
    with paper.zone({}, 4, -92, WIDTH - 4, -4):
        y = -16.0
        for line in paper.fold(title, (WIDTH - 28) / _BOLD)[:3]:
            paper.write(line, (14, y), "left", bold=True)
            y -= _ROW
        below = reader.say(
            "Tap the next card, or drop it here.", "Toca la siguiente tarjeta o suéltala aquí."
        )
        paper.lines(below, (14, y - 4), WIDTH - 28, ink="pencil")
        paper.box(4, -92, WIDTH - 4, -4, "rule", width=LINE)
    return paper.finish(reader.say("The procedure so far", "El procedimiento hasta ahora"), title + ".")


def _head(view: _View) -> float:
    """The machine's name, whether it runs, and the lock box of a group."""
    paper, reader = view.paper, view.reader
    y = -12.0
    for line in paper.fold(
        f"{reader.said(view.task.machine)}: {_runs(view.now, reader)}", (WIDTH - 16) / _BOLD, LARGE
    ):
        paper.write(line, (8, y), "left", size=LARGE, bold=True)
        y -= LARGE * LEADING
    if view.task.variant == "group":
        words = reader.say("Lock box", "Caja de candados") + ": " + locks_on(view.now, BOX, reader)
        padlock(paper, _LINE_X, y - 6)
        y = paper.lines(words, (44, y - 6), WIDTH - 60) - 4
    return y - 2


def _runs(now: State, reader: Reader) -> str:
    return reader.say("running", "en marcha") if now.running else reader.say("standing still", "parada")


def _point(view: _View, point: LockPoint, top: float) -> float:
    """A point with the locks on it; gives the next row's top."""
    paper, task, now = view.paper, view.task, view.now
    middle, wide = top - _LEAST / 2, WIDTH - _TEXT_X - 8
    _isolator(paper, device(task, point.id), middle, shut=point.id in now.open)
    for i, _ in enumerate(lock for lock in sorted(now.locks) if lock[0] == point.id):
        _lock(paper, 48 + 20 * i, middle)
    y = paper.lines(view.reader.said(point.at), (_TEXT_X, top - 12), wide)
    return min(_bold(paper, point_now(task, now, point.id, view.reader), y, wide), top - _LEAST)


def _lock(paper: LivePaper, x: float, y: float) -> None:
    """A lock with its tag."""
    padlock(paper, x, y + 2)
    paper.box(x - 4, y - 19, x + 4, y - 12, width=THIN)


def _source(view: _View, source: Source, root: float, top: float) -> tuple[float, float]:
    """One source below its point; gives where its wire turned off, and the next row's top."""
    paper, middle = view.paper, top - _LEAST / 2
    fed = source.point not in view.now.open
    way = [(_LINE_X, root - 16), (_LINE_X, middle), (_ICON_X - 17, middle)]
    paper.line(way, "ink" if fed else "pencil", HEAVY if fed else LINE, dash=not fed)
    SKETCHES[source.kind](paper, _ICON_X, middle)
    wide = WIDTH - _TEXT_X - 8
    if source.kind in FED:
        _dial(paper, middle, pressure(view.task, view.now, source) / (source.pressure * _FULL_SCALE))
        wide = _DIAL_X - 20 - _TEXT_X
    y = paper.lines(view.reader.said(source.what), (_TEXT_X, top - 12), wide)
    seen = source_now(view.task, view.now, source, view.reader)
    return middle + 16, min(_bold(paper, seen, y, wide), top - _LEAST)


def _bold(paper: LivePaper, text: str, y: float, wide: float) -> float:
    for line in paper.fold(text, wide / _BOLD):
        paper.write(line, (_TEXT_X, y), "left", bold=True)
        y -= _ROW
    return y


def _dial(paper: LivePaper, y: float, share: float) -> None:
    """A gauge: its needle from the lower left at zero round to the lower right."""
    paper.circle((_DIAL_X, y), 15)
    angle = pi * 1.25 - pi * 1.5 * min(share, 1)
    paper.line([(_DIAL_X, y), (_DIAL_X + 11 * cos(angle), y + 11 * sin(angle))], "ink", HEAVY)
    paper.circle((_DIAL_X, y), 2, fill=True)


def _isolator(paper: LivePaper, kind: str, y: float, *, shut: bool) -> None:
    """A disconnect, a valve, or a block; shut: whether it holds the energy off."""
    x = _LINE_X
    if kind == "line_valve":
        paper.area([(x - 9, y + 13), (x + 9, y + 13), (x - 9, y - 13), (x + 9, y - 13)], fill=shut)
        arm = (x + 18, y) if shut else (x, y + 18)
        paper.line([(x, y), arm], "ink", HEAVY)
        return
    if kind == "block":
        paper.line([(x - 12, y - 14), (x + 12, y - 14)], "ink", LINE)
        paper.box(x - 7, y - 14, x + 7, y + 12, fill=shut, width=LINE)
        return
    paper.line([(x, y + 18), (x, y + 10)], "ink", LINE)
    paper.line([(x, y - 10), (x - 14, y + 8) if shut else (x, y + 10)], "ink", HEAVY)
    paper.line([(x, y - 18), (x, y - 10)], "ink", LINE)
    for end in (-10, 10):
        paper.circle((x, y + end), 2, fill=True)


def rows(task: Task, now: State, reader: Reader) -> tuple[tuple[str, ...], ...]:
    """The same facts: source, its point, how the point stands, what is seen of the energy."""
    found = [
        (reader.said(one.what), reader.said(point.at), point_now(task, now, point.id, reader),
         source_now(task, now, one, reader))
        for point in task.points for one in task.sources if one.point == point.id
    ]  # fmt: skip
    box = [(reader.say("Lock box", "Caja de candados"), "", locks_on(now, BOX, reader), "")]
    return (
        (reader.said(task.machine), "", _runs(now, reader), ""),
        *(box if task.variant == "group" else ()),
        *found,
    )


def _words(task: Task, now: State, reader: Reader) -> str:
    return " ".join(
        f"{row[0]}: {'; '.join(one for one in row[1:] if one)}." for row in rows(task, now, reader)
    )
