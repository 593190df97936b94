"""Timing two things in turn, A B A B, and the ratio of their medians."""

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter


@dataclass(frozen=True)
class Paired:
    """Medians of one call each [s], and the median of the rounds' own ratios: a slow moment slows both of a pair."""

    ours: float
    reference: float
    ratio: float

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
    ratio = median(one / other for one, other in zip(*times, strict=True))
    return Paired(median(times[0]), median(times[1]), ratio)
