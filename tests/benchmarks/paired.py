"""Timing two things in turn, A B A B, and the ratio of their medians."""

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter


@dataclass(frozen=True)
class Paired:
    """Medians of one call each [s]."""

    ours: float
    reference: float

    @property
    def ratio(self) -> float:
        return self.ours / self.reference

    def say(self, what: str) -> None:
        print(
            f"\n{what}: ours {self.ours * 1e6:.1f} µs, reference {self.reference * 1e6:.1f} µs,"
            f" ratio {self.ratio:.2f}"
        )


def paired(
    ours: Callable[[int], object], reference: Callable[[int], object], *, rounds: int, calls: int
) -> Paired:
    """Each round times `calls` calls of one, then of the other; each call gets its own number."""
    times: tuple[list[float], list[float]] = ([], [])
    for turn in range(rounds + 1):
        for into, act in zip(times, (ours, reference), strict=True):
            start = perf_counter()
            for i in range(calls):
                act(turn * calls + i)
            if turn:  # the first round warms up
                into.append((perf_counter() - start) / calls)
    return Paired(median(times[0]), median(times[1]))
