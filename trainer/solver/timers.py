"""What on-delay, off-delay and pulse timers make of a signal, and how long things block or clear a beam.

A signal is its on spans [[on, off], ...] in seconds: on at `on`, off again at `off`, sorted, apart from each other.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import overload

import numpy as np
import numpy.typing as npt

from trainer.solver.beam import Span, Spans, union
from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    as_floats,
    require_above_zero,
    require_finite,
    require_from_zero,
    require_one_of,
)

KINDS = ("TON", "TOF", "TP")


@overload
def timer(kind: str, preset: float, spans: Sequence[Sequence[float]]) -> Spans: ...
@overload
def timer(kind: str, preset: Floats, spans: Sequence[Sequence[float]]) -> npt.NDArray[np.object_]: ...
def timer(kind: str, preset: Numbers, spans: Sequence[Sequence[float]]) -> Spans | npt.NDArray[np.object_]:
    """On spans of the output Q of an IEC 61131-3 timer, in continuous time [s].

    kind: TON (on-delay), TOF (off-delay) or TP (pulse)
    preset: the time PT [s], 0 or more; an array gives an array of spans of its shape
    spans: on spans of the input IN [s], sorted; spans that touch are one
    TON: on once IN has stayed on for PT, off with IN. TOF: on with IN, off PT after IN, a shorter dropout is bridged.
    TP: on for PT from a rising edge, whatever IN does; it starts again only on a rise after Q has ended and IN has been
    off since, so an edge while Q is on is lost. Raises BadInput.
    Source: timing diagrams of IEC 61131-3, as kept in matiec lib/timer.txt.
    """
    require_one_of("kind", kind, KINDS)
    presets, signal = require_from_zero("preset", preset, "s"), checked_spans(spans)
    if presets.ndim == 0:
        return _output(kind, float(presets), signal)
    outputs = np.empty(presets.shape, dtype=np.object_)
    for index in np.ndindex(presets.shape):
        outputs[index] = _output(kind, float(presets[index]), signal)
    return outputs


def _output(kind: str, preset: float, signal: Spans) -> Spans:
    if kind == "TON":
        return tuple((on + preset, off) for on, off in signal if off - on > preset)
    if kind == "TOF":
        return union([(on, off + preset) for on, off in signal])
    return tuple(_pulses(preset, signal))


def _pulses(preset: float, signal: Spans) -> Iterator[Span]:
    """Pulses of TP; with PT = 0 there are none."""
    ends = float("-inf")
    for on, _ in signal if preset > 0 else ():
        if on > ends:
            ends = on + preset
            yield (on, ends)


def _require_preset(preset: float) -> None:
    if require_from_zero("preset", preset, "s").ndim:
        raise BadInput("preset", preset, "one number")


def checked_spans(spans: Sequence[Sequence[float]]) -> Spans:
    """The spans as pairs, those that touch joined; BadInput where they are not sorted, apart and on before off."""
    pairs = as_floats("spans", spans if len(spans) else [[]])
    if pairs.size == 0:
        return ()
    if pairs.ndim != 2 or pairs.shape[1] != 2:
        raise BadInput("spans", spans, "a list of pairs [on, off]")
    require_finite("spans", pairs)
    if (pairs[:, 0] >= pairs[:, 1]).any() or (pairs[1:, 0] < pairs[:-1, 1]).any():
        raise BadInput("spans", spans, "sorted and apart, each on before its off")
    return union([(float(on), float(off)) for on, off in pairs])


def elapsed(kind: str, preset: float, spans: Sequence[Sequence[float]], at: float) -> float:
    """Elapsed time ET of an IEC 61131-3 timer at a moment [s]; inputs as `timer`, `at` finite [s].

    TON counts while IN is on, holds at PT, is 0 with IN off. TOF counts from the fall and stays at PT until IN rises.
    TP counts through its pulse, stays at PT while IN stays on, then is 0. Raises BadInput.
    Source: timing diagrams of IEC 61131-3, as kept in matiec lib/timer.txt.
    """
    require_one_of("kind", kind, KINDS)
    _require_preset(preset)
    require_finite("at", at)
    signal = checked_spans(spans)
    is_on = any(on <= at < off for on, off in signal)
    if kind == "TOF":
        falls = [off for _, off in signal if off <= at]
        return 0.0 if is_on or not falls else min(at - falls[-1], preset)
    if kind == "TON":
        rises = [on for on, _ in signal if on <= at]
        return min(at - rises[-1], preset) if is_on else 0.0
    starts = [on for on, _ in _pulses(preset, signal) if on <= at]
    if not starts:
        return 0.0
    still_on = any(on <= starts[-1] + preset and at < off for on, off in signal if off > starts[-1] + preset)
    return min(at - starts[-1], preset) if at < starts[-1] + preset or still_on else 0.0


@dataclass
class ScannedTimer:
    """An IEC 61131-3 timer as a controller runs it: called once a scan with the input and the time [s]."""

    kind: str
    preset: float
    output: bool = False
    elapsed: float = 0.0
    _running: bool = field(default=False, repr=False)
    _done: bool = field(default=False, repr=False)
    _before: bool = field(default=False, repr=False)
    _started: float = field(default=0.0, repr=False)

    def __post_init__(self) -> None:
        require_one_of("kind", self.kind, KINDS)
        _require_preset(self.preset)

    def scan(self, now: float, signal: bool) -> bool:
        """Q after this scan."""
        edge = signal != self._before and signal == (self.kind != "TOF")
        if not signal if self.kind == "TON" else signal if self.kind == "TOF" else self._done and not signal:
            self._running = self._done = False
            self.elapsed = 0.0
        elif edge and not self._running and not self._done:
            self._running, self._started = True, now
        if self._running:
            self.elapsed = min(now - self._started, self.preset)
            # An edge starts the clock; only a later scan can find it run out.
            if now > self._started and self._started + self.preset <= now:
                self._running, self._done = False, True
                if self.kind == "TP" and not signal:
                    self._done, self.elapsed = False, 0.0
        self._before = signal
        self.output = {"TON": self._done, "TOF": signal or self._running, "TP": self._running}[self.kind]
        return self.output


def debounce(on_delay: float, off_delay: float, spans: Sequence[Sequence[float]]) -> Spans:
    """On spans of an eye with both delays [s]: on once blocked for on_delay, off once clear for off_delay.

    on_delay, off_delay: [s], 0 or more
    spans: when the beam is blocked [s], sorted
    While the output is on, any new block, however short, begins the off-delay anew. This is what an eye with built-in
    delays does; a TON block with a TOF block behind it also needs on_delay to hold through a gap. Raises BadInput.
    """
    require_from_zero("on_delay", on_delay, "s")
    require_from_zero("off_delay", off_delay, "s")
    held: list[Span] = []
    for on, off in checked_spans(spans):
        if held and on <= held[-1][1]:
            held[-1] = (held[-1][0], off + off_delay)
        elif off - on > on_delay:
            held.append((on + on_delay, off + off_delay))
    return tuple(held)


def walker_time(depth: Numbers, speed: Numbers) -> Numbers:
    """Time for which a walker blocks the beam [s]; body depth [m] and walking speed [m/s] above 0; broadcasts."""
    require_above_zero("depth", depth, "m")
    require_above_zero("speed", speed, "m/s")
    return depth / speed


def longest_off_delay(gap: Numbers, speed: Numbers) -> Numbers:
    """Time below which an off-delay must stay to keep two vehicles apart [s].

    gap: clear distance from tail to next nose [m], above 0; speed: of the conveyor [m/s], above 0; broadcasts.
    """
    require_above_zero("gap", gap, "m")
    require_above_zero("speed", speed, "m/s")
    return gap / speed


def bridge_time(length: Numbers, speed: Numbers) -> Numbers:
    """Least off-delay that bridges a hole in a vehicle [s]; its length [m] and speed [m/s] above 0; broadcasts."""
    require_above_zero("length", length, "m")
    require_above_zero("speed", speed, "m/s")
    return length / speed
