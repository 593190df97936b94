"""All that a question can draw: every combination where they are few, else an even sample with every corner."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

import numpy as np
import numpy.typing as npt

from trainer.language.questions import Question
from trainer.quantities.dimensions import System

Indices = npt.NDArray[np.int64]
ENUMERATED = 20_000


@dataclass(frozen=True)
class Space:
    """Draws as an array of grid indices for each drawn number; `whole` when none is left out."""

    indices: tuple[Indices, ...]
    count: int
    whole: bool


def space_of(question: Question, system: System, samples: int) -> Space:
    """Every draw in one unit system when there are at most 20,000 (or `samples`, if more), else a sample."""
    sizes = [len(drawn.grids[system].values) for drawn in question.numbers.drawn]
    total = prod(sizes)
    if total <= max(ENUMERATED, samples):
        return Space(tuple(np.indices(sizes).reshape(len(sizes), total)) if sizes else (), total, True)
    indices = np.concatenate([_corners(sizes), _even(sizes, samples)])
    return Space(tuple(indices.T), len(indices), False)


def _corners(sizes: Sequence[int]) -> Indices:
    """Every combination of first and last values."""
    return np.array(list(product(*({0, size - 1} for size in sizes))), np.int64)


def _even(sizes: Sequence[int], samples: int) -> Indices:
    """Points that fill the space evenly, the same each time: an additive recurrence on powers of one irrational.

    Source: M. Roberts, 'The unreasonable effectiveness of quasirandom sequences' (2018), from memory.
    """
    base = 2.0
    for _ in range(50):  # the positive root of x^(d+1) = x + 1
        base = (1.0 + base) ** (1.0 / (len(sizes) + 1))
    steps = base ** -np.arange(1.0, len(sizes) + 1)
    points = (0.5 + np.outer(np.arange(1, samples + 1), steps)) % 1.0
    return np.asarray(np.floor(points * np.array(sizes)), np.int64)
