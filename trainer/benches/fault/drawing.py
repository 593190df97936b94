"""The loop drawn as blocks: the cabinet with its door, the way of the signal, and what the tests showed where."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trainer.benches.fault.faults import BLOCKS
from trainer.benches.fault.task import FaultTask
from trainer.benches.fault.words import CONTROLLER, minutes
from trainer.figures.ink import HEAVY, LARGE, LINE, SIZE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.figures.paper import LEADING, WIDTH
from trainer.sites.survey.reader import Reader

BLOCK_WIDE, _TALL = 108.0, 62.0
_COLUMNS = (62.0, 180.0, 298.0)
_ROWS = (276.0, 188.0, 110.0, 32.0)
_PLACES: Mapping[str, tuple[int, int]] = {
    "supply": (1, 0), "control": (0, 0), "cable": (0, 1), "plug": (0, 2), "emitter": (0, 3),
    "lens": (1, 3), "air": (2, 3), "receiver": (2, 2), "output": (2, 1), "input": (2, 0),
}  # fmt: skip
_ORDER = tuple(_PLACES)
_INSIDE = ("supply", "control", "input")
_TOP = 336.0
_BOLD = 1.1  # how much wider bold letters are


@dataclass(frozen=True)
class Seen:
    """What the drawing shows.

    tags: what tests said, by block; opened: the door was opened on a live cabinet
    faulty: blocks to point out once the run is over
    """

    tags: Mapping[str, Sequence[str]]
    spent: float
    isolated: bool
    opened: bool = False
    faulty: Collection[str] = ()


def draw_loop(task: FaultTask, seen: Seen, to: Reader, name: str) -> Live:
    """The loop as a drawing. A test's card that is dropped anywhere on it is played: a test knows its block."""
    paper = LivePaper(_TOP + 24, name)
    with paper.zone({}, 0, 0, WIDTH, _TOP + 24):
        _cabinet(paper, seen, to)
        for before, after in pairwise(_ORDER):
            _arrow(paper, before, after)
        for block in _ORDER:
            _block(paper, block, seen, to)
        _middle(paper, task, seen, to)
    return paper.finish(to.say("The sensing loop", "El circuito del sensor"), _in_words(seen, to))


def _at(block: str) -> tuple[float, float]:
    column, row = _PLACES[block]
    return _COLUMNS[column], _ROWS[row]


def _cabinet(paper: LivePaper, seen: Seen, to: Reader) -> None:
    low = _ROWS[0] - _TALL / 2 - 7
    paper.box(2, low, WIDTH - 2, _TOP + 18, "pencil", width=HEAVY if not seen.isolated else LINE)
    words = to.say("CABINET: LIVE, DOOR SHUT", "TABLERO: CON CORRIENTE, CERRADO")
    if seen.opened:
        words = to.say("CABINET: OPENED LIVE", "TABLERO: ABIERTO CON CORRIENTE")
    elif seen.isolated:
        words = to.say("CABINET: LOCKED OUT, VERIFIED", "TABLERO: BLOQUEADO, COMPROBADO")
    _padlock(paper, 18, _TOP, closed=seen.isolated)
    paper.write(words, (34, _TOP), "left", bold=True)


def _padlock(paper: LivePaper, x: float, y: float, *, closed: bool) -> None:
    """A lock with its shackle down, or a triangle of warning where none hangs."""
    if closed:
        paper.box(x - 7, y - 8, x + 7, y + 2, fill=True)
        paper.line(
            [(x - 5, y + 2), (x - 5, y + 7), (x - 2, y + 10), (x + 2, y + 10), (x + 5, y + 7), (x + 5, y + 2)]
        )
        return
    paper.area([(x - 10, y - 8), (x + 10, y - 8), (x, y + 10)])
    paper.write("!", (x, y - 2), bold=True)


def _arrow(paper: LivePaper, before: str, after: str) -> None:
    (x1, y1), (x2, y2) = _at(before), _at(after)
    across, up = (x2 > x1) - (x2 < x1), (y2 > y1) - (y2 < y1)
    start = (x1 + across * BLOCK_WIDE / 2, y1 + up * _TALL / 2)
    end = (x2 - across * BLOCK_WIDE / 2, y2 - up * _TALL / 2)
    light = {before, after} <= {"emitter", "lens", "air", "receiver"}
    paper.arrow(start, end, "beam" if light else "ink", LINE)


def _block(paper: LivePaper, block: str, seen: Seen, to: Reader) -> None:
    x, y = _at(block)
    left, right, low, top = x - BLOCK_WIDE / 2, x + BLOCK_WIDE / 2, y - _TALL / 2, y + _TALL / 2
    faulty = block in seen.faulty
    paper.box(left, low, right, top, width=HEAVY * 1.6 if faulty else LINE, mark=block)
    lines = paper.fold(to.said(BLOCKS[block]), (BLOCK_WIDE - 8) / _BOLD)
    here = [to.say("fault here", "falla aquí")] if faulty else []
    tags = [*seen.tags.get(block, ()), *here][-(3 - len(lines)) :]
    step = SIZE * LEADING
    high = y + step * (len(lines) + max(len(tags), 1) - 1) / 2
    for i, line in enumerate(lines):
        paper.write(line, (x, high - i * step), bold=True)
    for i, one in enumerate(tags):
        paper.write(one, (x, high - (len(lines) + i) * step), ink="ink" if faulty else "pencil")


def _middle(paper: LivePaper, task: FaultTask, seen: Seen, to: Reader) -> None:
    """In the room inside the ring: what the controller says, and the minutes so far."""
    x, step = _COLUMNS[1], SIZE * LEADING
    bay, word = CONTROLLER[task.symptom]
    rows = (
        (to.said(bay), False, SIZE),
        (to.said(word), True, SIZE),
        ("", False, SIZE),
        (minutes(seen.spent, to), True, LARGE),
        (to.say("so far", "hasta ahora"), False, SIZE),
    )
    y = (_ROWS[1] + _ROWS[2]) / 2 + step * 2
    for text, bold, size in rows:
        if text:
            paper.write(text, (x, y), bold=bold, size=size)
        y -= step
    middle = (_ROWS[1] + _ROWS[2]) / 2
    paper.line([(x - 40, middle), (x + 40, middle)], "rule", THIN)


def _in_words(seen: Seen, to: Reader) -> str:
    order = ", ".join(to.said(BLOCKS[one]) for one in _ORDER)
    inside = ", ".join(to.said(BLOCKS[one]) for one in _INSIDE)
    text = to.say(
        f"The way of the signal: {order}. Behind the cabinet door: {inside}.",
        f"El camino de la señal: {order}. Detrás de la puerta del tablero: {inside}.",
    )
    if seen.faulty:
        where = ", ".join(to.said(BLOCKS[one]) for one in _ORDER if one in seen.faulty)
        text += to.say(f" The fault sat here: {where}.", f" La falla estaba aquí: {where}.")
    return text
