"""What an eye's two delays make of a recorded trace, which delays give a wanted count, and what scanning may change.

A trace is when the beam was blocked, spans [[on, off], ...] in seconds. For one trace the settings that give a count
are no polygon: a count changes where the on-delay passes the length of a block and where the off-delay passes the time
from one block's end to a later block's start, so it is the same over each cell of a grid between those times.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.solver.beam import Span, Spans
from trainer.solver.numbers import (
    BadInput,
    Floats,
    Told,
    require_above_zero,
    require_finite,
    require_from_zero,
    require_one_of,
    require_whole,
)
from trainer.solver.timers import checked_spans, debounce

MOST_BLOCKS = 100  # of a trace whose counts are mapped; a grid has up to a half of the cube of it in cells
_DECIMALS = 9  # of a second; times that differ by less are one
_ROUNDING = 1e-9  # scans


@dataclass(frozen=True)
class Counted:
    """What delays make of a trace.

    outputs: on spans of the output [s]; their number is the count
    belongs: for each block of the trace the output that it belongs to, from 0, or None where it was ignored
    """

    outputs: Spans
    belongs: tuple[int | None, ...]

    @property
    def count(self) -> int:
        """How many vehicles the eye tells."""
        return len(self.outputs)


def what_counts(on_delay: float, off_delay: float, spans: Sequence[Sequence[float]]) -> Counted:
    """What an eye with these delays makes of a trace, in continuous time.

    on_delay, off_delay: [s], 0 or more
    spans: when the beam is blocked [s], sorted; spans that touch are one block
    Raises BadInput.
    """
    outputs = debounce(on_delay, off_delay, spans)
    return Counted(outputs, tuple(_owner(outputs, block, off_delay) for block in checked_spans(spans)))


def _owner(outputs: Spans, block: Span, off_delay: float) -> int | None:
    """The output that a block starts or prolongs."""
    for i, (on, off) in enumerate(outputs):
        if on < block[1] and block[1] + off_delay <= off:
            return i
    return None


@dataclass(frozen=True)
class Cell:
    """Settings [s]: on-delay from on_from to below on_below, off-delay from off_from to below off_below; may be inf."""

    on_from: float
    on_below: float
    off_from: float
    off_below: float


@dataclass(frozen=True)
class CountMap:
    """How many vehicles each setting tells for one trace; exact.

    on_delays, off_delays: where rows and columns of cells begin [s], from 0, rising; each ends where the next begins,
        the last never
    counts: vehicles, a row for each on-delay and a column for each off-delay
    """

    on_delays: Floats
    off_delays: Floats
    counts: npt.NDArray[np.int64]

    def cells(self, wanted: int) -> tuple[Cell, ...]:
        """All settings that give the wanted count, as rectangles that do not overlap; none where no setting does."""
        found: list[Cell] = []
        growing: list[Cell] = []
        for i, row in enumerate(self.counts == wanted):
            on, below = float(self.on_delays[i]), _next(self.on_delays, i)
            before = {(one.off_from, one.off_below): one.on_from for one in growing}
            runs = [(float(self.off_delays[j]), _next(self.off_delays, k)) for j, k in _runs(row)]
            found += [one for one in growing if (one.off_from, one.off_below) not in runs]
            growing = [Cell(before.get(run, on), below, *run) for run in runs]
        return (*found, *growing)


def _next(starts: Floats, i: int) -> float:
    return float(starts[i + 1]) if i + 1 < len(starts) else np.inf


def _runs(row: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last index of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], row, [False]]).astype(np.int8)))
    return [(int(first), int(last) - 1) for first, last in zip(edges[::2], edges[1::2], strict=True)]


def count_map(spans: Sequence[Sequence[float]]) -> CountMap:
    """How many vehicles an eye tells for one trace, for every pair of delays, exactly.

    spans: when the beam is blocked [s], sorted, at most MOST_BLOCKS; spans that touch are one block. Raises BadInput.
    """
    blocks = np.array(checked_spans(spans), dtype=np.float64).reshape(-1, 2)
    if len(blocks) > MOST_BLOCKS:
        raise BadInput("spans", Told(f"{len(blocks)} blocks"), f"at most {MOST_BLOCKS} blocks")
    starts, ends = blocks.T
    gaps = (starts[np.newaxis] - ends[:, np.newaxis])[np.triu_indices(len(blocks), 1)]
    on_delays = np.unique(np.round([0.0, *(ends - starts)], _DECIMALS))
    off_delays = np.unique(np.round([0.0, *gaps], _DECIMALS))
    counts = _counts(blocks, _within(on_delays)[:, np.newaxis], _within(off_delays)[np.newaxis])
    return CountMap(on_delays, off_delays, counts)


def _within(starts: Floats) -> Floats:
    """A setting well inside each cell, so that rounding at its ends cannot matter."""
    return starts + np.append(np.diff(starts), 1.0) / 2


def _counts(blocks: Floats, on_delay: Floats, off_delay: Floats) -> npt.NDArray[np.int64]:
    """`debounce` for many settings at once, counting alone."""
    shape = np.broadcast_shapes(on_delay.shape, off_delay.shape)
    count, held = np.zeros(shape, dtype=np.int64), np.full(shape, -np.inf)
    for start, end in blocks:
        bridged = start <= held + off_delay
        begins = ~bridged & (end - start > on_delay)
        count += begins
        held = np.where(bridged | begins, end, held)
    return count


def scanned(scan_time: float, phase: float, spans: Sequence[Sequence[float]]) -> Spans:
    """What a controller sees of a signal that it reads once a scan: every edge up to one scan late [s].

    scan_time: [s], above 0; phase: the moment of any one reading [s], finite
    spans: when the signal is on [s], sorted. What falls between two readings is lost, on or off. Raises BadInput.
    """
    require_above_zero("scan_time", scan_time, "s")
    require_finite("phase", phase)
    readings = _readings(scan_time, phase, checked_spans(spans))
    return tuple((phase + on * scan_time, phase + off * scan_time) for on, off in readings)


def _readings(scan_time: float, phase: float, blocks: Spans) -> tuple[tuple[int, int], ...]:
    """Blocks as readings, by number: the first that is on and the first after it that is off."""
    whole = [tuple(int(np.ceil((edge - phase) / scan_time - _ROUNDING)) for edge in one) for one in blocks]
    seen: list[tuple[int, int]] = []
    for on, off in whole:
        if seen and on == seen[-1][1] and off > on:
            seen[-1] = (seen[-1][0], off)
        elif off > on:
            seen.append((on, off))
    return tuple(seen)


@dataclass(frozen=True)
class CountRange:
    """Fewest and most vehicles that a scanned eye may tell for one trace, over all moments of reading."""

    least: int
    most: int


def scanned_count(
    on_delay: float,
    off_delay: float,
    spans: Sequence[Sequence[float]],
    scan_time: float,
    delays_in: str = "controller",
) -> CountRange:
    """What scanning may make of a count, exactly, over all moments at which the readings may fall.

    on_delay, off_delay: [s], 0 or more
    spans: when the beam is blocked [s], sorted
    scan_time: [s], above 0
    delays_in: controller (its timers run on what it reads and are found run out at a reading, so a delay counts as
        whole scans, rounded up) or eye (its delays run in continuous time, the controller reads its output)
    Raises BadInput.
    """
    require_above_zero("scan_time", scan_time, "s")
    require_from_zero("on_delay", on_delay, "s")
    require_from_zero("off_delay", off_delay, "s")
    require_one_of("delays_in", delays_in, ("controller", "eye"))
    blocks = checked_spans(spans)
    if delays_in == "eye":
        read, delays = debounce(on_delay, off_delay, blocks), (0.0, 0.0)
    else:
        read, delays = blocks, (_whole(on_delay, scan_time), _whole(off_delay, scan_time))
    counts = [len(debounce(*delays, _readings(scan_time, phase, read))) for phase in _phases(read, scan_time)]
    return CountRange(min(counts), max(counts))


def _whole(delay: float, scan_time: float) -> float:
    """A delay in whole scans, rounded up."""
    return float(np.ceil(delay / scan_time - _ROUNDING))


def _phases(blocks: Spans, scan_time: float) -> Floats:
    """A moment of reading between each two at which some edge falls on a reading: all that can differ."""
    edges = np.unique(np.mod(np.array(blocks, dtype=np.float64).ravel(), scan_time))
    ends = np.concatenate([[0.0], edges, [scan_time]])
    between: Floats = (ends[:-1] + ends[1:]) / 2
    return between


def fewest_wrong(spans: Sequence[Sequence[float]], wanted: int) -> tuple[int, tuple[Cell, ...]]:
    """The count nearest to the wanted one that any setting gives, and the settings that give it.

    spans: as count_map; wanted: how many vehicles there really were, a whole number from 0. Raises BadInput.
    """
    require_whole("wanted", wanted, least=0)
    found = count_map(spans)
    nearest = min(np.unique(found.counts).tolist(), key=lambda count: (abs(count - wanted), count))
    return nearest, found.cells(nearest)
