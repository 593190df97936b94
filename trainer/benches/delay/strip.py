"""The recorded strip as a timing chart in rows: above what blocked the beam, below what the counter made of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trainer.benches.delay import words
from trainer.benches.delay.counting import Outcome, outcomes, readings
from trainer.benches.delay.scoring import Setting
from trainer.benches.delay.task import Event, Task
from trainer.figures.ink import LINE, SIZE, THIN
from trainer.figures.live import Live, LivePaper
from trainer.figures.paper import MARGIN, WIDTH
from trainer.sites.survey.reader import Reader
from trainer.solver.recorded import what_counts

SECONDS = 10.0  # how long it plays
_LEFT, _RIGHT = 40.0, WIDTH - MARGIN
_HEAD, _PITCH, _IN, _OUT = 46.0, 58.0, 13.0, 15.0
_ROW_SECONDS = (10, 20, 30, 40, 60, 90, 120, 180, 300, 600)

Span = tuple[float, float]


@dataclass(frozen=True)
class Strip:
    """A part of a recording with one setting, times in seconds from the start of all.

    inputs: when the beam was blocked; outputs: when the counter told a car
    """

    start: float
    end: float
    told: tuple[Outcome, ...]
    first: int
    inputs: tuple[Span, ...]
    outputs: tuple[Span, ...]


def practice_strip(task: Task, setting: Setting) -> Strip:
    """The part that may be seen."""
    return _strip(task, task.practice.events, setting, 0.0, task.practice.end * task.facts.scan)


def whole_strip(task: Task, setting: Setting) -> Strip:
    """All of it."""
    return _strip(task, task.events, setting, 0.0, task.rest.end * task.facts.scan)


def _strip(task: Task, events: Sequence[Event], setting: Setting, start: float, end: float) -> Strip:
    scan = task.facts.scan
    blocks = [block for event in events for block in event.blocks]
    on_delay, off_delay = (readings(one, scan) for one in setting)
    counted = what_counts(on_delay, off_delay, blocks)
    return Strip(
        start=start,
        end=end,
        told=outcomes(task, events, *setting),
        first=1,
        inputs=tuple((on * scan, off * scan) for on, off in blocks),
        outputs=tuple((on * scan, min(off * scan, end)) for on, off in counted.outputs),
    )


def draw(task: Task, strip: Strip, reader: Reader, name: str, title: str, *, rows: int) -> Live:
    """The strip in at most so many rows; a cursor plays it and the counter's number steps."""
    chart = _Chart.of(strip, rows)
    paper = LivePaper(chart.height, name, seconds=SECONDS)
    _counter(paper, chart, reader)
    for row in range(chart.count):
        _row(paper, chart, row)
    _names(paper, chart, task, reader)
    with paper.rolling(list(_track(chart))):
        x, y = chart.place(strip.start)
        paper.line([(x, y - _OUT - 8), (x, y + _IN + 3)], "ink", LINE)
    return paper.finish(title, _in_words(strip, reader))


@dataclass(frozen=True)
class _Chart:
    """How a strip lies on the paper: so many seconds a row, the first row on top."""

    strip: Strip
    seconds: float
    count: int

    @classmethod
    def of(cls, strip: Strip, rows: int) -> _Chart:
        lasts = strip.end - strip.start
        seconds = next((one for one in _ROW_SECONDS if one * rows >= lasts), lasts / rows)
        return cls(strip, seconds, max(1, -int(-lasts // seconds)))

    @property
    def height(self) -> float:
        return self.count * _PITCH + _HEAD

    @property
    def scale(self) -> float:
        """Drawing units a second."""
        return (_RIGHT - _LEFT) / self.seconds

    def place(self, moment: float, row: int | None = None) -> tuple[float, float]:
        """Where a moment stands: its x, and the base line of the input in its row."""
        at = self.row(moment) if row is None else row
        x = _LEFT + (moment - self.strip.start - at * self.seconds) * self.scale
        return x, self.height - _HEAD - at * _PITCH - SIZE - _IN - 6

    def row(self, moment: float) -> int:
        return min(int((moment - self.strip.start) // self.seconds), self.count - 1)

    def ends(self, row: int) -> Span:
        """From when to when a row goes."""
        start = self.strip.start + row * self.seconds
        return start, min(start + self.seconds, self.strip.end)

    def cut(self, spans: Sequence[Span], row: int) -> Iterator[Span]:
        """What of some spans lies in a row."""
        start, end = self.ends(row)
        yield from ((max(on, start), min(off, end)) for on, off in spans if on < end and off > start)


def _counter(paper: LivePaper, chart: _Chart, reader: Reader) -> None:
    """What the counter has told by now, and how many cars there were."""
    y = chart.height - 14
    play = SECONDS / (chart.strip.end - chart.strip.start)
    cars = sum(one.event.kind == "car" for one in chart.strip.told)
    paper.write(reader.said(words.cars_passed(cars)), (_RIGHT, y), "right")
    paper.write(reader.said(words.STRIP_KEY), (MARGIN, y - 20), "left", ink="pencil")
    moments = [0.0, *((on - chart.strip.start) * play for on, _ in chart.strip.outputs), SECONDS + 1]
    for number, (since, till) in enumerate(pairwise(moments)):
        with paper.during([(since, till - 0.001)]):
            paper.write(reader.said(words.counter(number)), (MARGIN, y), "left", bold=True, size=15)


def _row(paper: LivePaper, chart: _Chart, row: int) -> None:
    start, end = chart.ends(row)
    x0, base = chart.place(start, row)
    x1, _ = chart.place(end, row)
    low = base - 5 - _OUT
    paper.write(words.clock(start), (MARGIN, base + _IN / 2), "left", face="numbers")
    paper.line([(x0, base), (x1, base)], "pencil", THIN)
    paper.line([(x0, low), (x1, low)], "pencil", THIN)
    for on, off in chart.cut(chart.strip.inputs, row):
        paper.box(chart.place(on, row)[0], base, chart.place(off, row)[0], base + _IN, "beam", hatch="///")
    for number, (on, off) in enumerate(chart.strip.outputs, 1):
        for since, till in chart.cut([(on, off)], row):
            left, right = chart.place(since, row)[0], chart.place(till, row)[0]
            paper.box(left, low, right, low + _OUT, "ink", width=LINE)
            if right - left > paper.measure(str(number), face="numbers") + 5:
                paper.write(str(number), ((left + right) / 2, low + _OUT / 2), face="numbers", bold=True)


def _names(paper: LivePaper, chart: _Chart, task: Task, reader: Reader) -> None:
    """Above each event its number, what it was, and whether it came out right."""
    taken = [0.0] * chart.count
    for number, one in enumerate(chart.strip.told, chart.strip.first):
        if not one.event.blocks:
            continue
        scan = task.facts.scan
        on, off = one.event.blocks[0][0] * scan, one.event.blocks[-1][1] * scan
        row = max(range(chart.row(on), chart.row(off) + 1), key=lambda at: _seen(chart, at, on, off))
        (since, till), *_ = chart.cut([(on, off)], row)
        text = f"{number} {reader.said(words.SHORT[one.event.kind])} {words.mark(task.facts, one)}"
        wide = paper.measure(text)
        middle = (chart.place(since, row)[0] + chart.place(till, row)[0]) / 2
        left = min(max(middle - wide / 2, taken[row], MARGIN), _RIGHT - wide)
        paper.write(text, (left, chart.place(since, row)[1] + _IN + 3 + SIZE / 2), "left")
        taken[row] = left + wide + 6


def _seen(chart: _Chart, row: int, on: float, off: float) -> float:
    return sum(till - since for since, till in chart.cut([(on, off)], row))


def _track(chart: _Chart) -> Iterator[tuple[float, float, float]]:
    """The cursor along each row in turn, as a rolling track."""
    play = SECONDS / (chart.strip.end - chart.strip.start)
    x0, y0 = chart.place(chart.strip.start)
    for row in range(chart.count):
        for moment in chart.ends(row):
            x, y = chart.place(moment, row)
            yield (moment - chart.strip.start) * play, x - x0, y - y0


def _in_words(strip: Strip, reader: Reader) -> str:
    """The outputs, one after the other."""
    spans = "; ".join(
        f"{number}: {words.clock(on, 1)}–{words.clock(off, 1)}"
        for number, (on, off) in enumerate(strip.outputs, 1)
    )
    return reader.said(words.STRIP_WORDS) + " " + (spans or reader.said(words.NEVER)) + "."
