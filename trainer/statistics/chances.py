"""Chances of as much by luck alone: of two shares, and of many things looked at together."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from math import comb
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)


def fisher(hits: int, of: int, other_hits: int, of_others: int) -> float:
    """Fisher's exact two-sided p: the chance of every split of the hits that is no likelier than this one.

    hits of `of` on one side, other_hits of `of_others` on the other; whole numbers, hits at most as many.
    Exact in whole numbers, so that equally likely splits count as equal. Source: scipy.stats.fisher_exact.
    """
    both, everyone = hits + other_hits, of + of_others
    ways = [
        comb(of, mine) * comb(of_others, both - mine)
        for mine in range(max(0, both - of_others), min(both, of) + 1)
    ]
    this = comb(of, hits) * comb(of_others, other_hits)
    return sum(one for one in ways if one <= this) / comb(everyone, both)


def holm(chances: Mapping[Key, float]) -> dict[Key, float]:
    """Each p adjusted for how many were looked at (Holm's step-down), at most 1.

    It holds however the tests hang together.
    """
    adjusted: dict[Key, float] = {}
    least = 0.0
    for done, (key, chance) in enumerate(sorted(chances.items(), key=lambda one: one[1])):
        least = max(least, min(1.0, (len(chances) - done) * chance))
        adjusted[key] = least
    return adjusted
