"""The two delays as bars on an axis of time, each with an end that can be pulled."""

from __future__ import annotations

from trainer.benches.acts import Amount
from trainer.benches.delay import words
from trainer.benches.delay.scoring import Setting, kinds
from trainer.benches.delay.task import Task
from trainer.figures.ink import HEAVY, LINE, THIN
from trainer.figures.live import Live, LivePaper, Pull
from trainer.figures.paper import MARGIN
from trainer.quantities.writing import write_number
from trainer.sites.survey.reader import Reader

_LEFT, _RIGHT, _PITCH, _KNOB = 30.0, 330.0, 100.0, 8.0
_EACH, _MOST_TICKS = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 60.0), 8  # seconds from tick to tick


def draw(task: Task, setting: Setting, reader: Reader) -> Live:
    """Both bars; pulling right raises the delay."""
    paper = LivePaper(2 * _PITCH, "dials")
    on_delay, off_delay = (one for one in kinds(task)[0].fields if isinstance(one, Amount))
    _bar(paper, reader, on_delay, setting[0], 2 * _PITCH - 14)
    _bar(paper, reader, off_delay, setting[1], _PITCH - 14)
    return paper.finish(reader.said(words.DIALS), f"{words.delays(*setting, reader)}.")


def _bar(paper: LivePaper, reader: Reader, field: Amount, value: float, top: float) -> None:
    scale, base = (_RIGHT - _LEFT) / field.high, top - 36
    paper.write(f"{reader.said(field.label)}: {reader.write(value, 's')}", (MARGIN, top), "left", bold=True)
    paper.line([(_LEFT, base), (_RIGHT, base)], "pencil", THIN)
    each = next(one for one in _EACH if field.high / one <= _MOST_TICKS)
    ticks = [i * each for i in range(int(field.high / each) + 1)]
    for at in ticks:
        x = _LEFT + at * scale
        paper.line([(x, base - 5), (x, base + 5)], "pencil", THIN)
        unit = "" if at < ticks[-1] else " s"
        paper.write(write_number(at, reader.language) + unit, (x, base - 31), face="numbers")
    knob = (_LEFT + value * scale, base)
    paper.tied(((_LEFT, base), knob), ("", field.name), "beam", HEAVY * 2)
    with paper.handle("set", knob, x=Pull(field.name, scale), name=field.name):
        paper.circle(knob, _KNOB, "ink", fill=True, width=LINE)
