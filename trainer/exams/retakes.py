"""What tries do to a pass: chances of a fixed form, and of passing at least once in several tries. Binomial models."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb, fsum


def chance_to_pass(share: float, items: int, cut: int) -> float:
    """The chance of at least `cut` right of `items` when each is right with the same chance, independently (binomial).

    share: from 0 to 1; cut: from 0 to items. Raises ValueError.
    """
    if not 0 <= share <= 1 or not 0 <= cut <= items:
        raise ValueError(f"share {share} must be from 0 to 1 and cut {cut} from 0 to items {items}")
    return fsum(comb(items, k) * share**k * (1 - share) ** (items - k) for k in range(cut, items + 1))


def passes_once(each: float, tries: int) -> float:
    """The chance to pass at least once: 1 - (1 - a)^k. each: the chance a of one try; tries: k, 1 or more."""
    if not 0 <= each <= 1 or tries < 1:
        raise ValueError(f"the chance {each} must be from 0 to 1 and tries {tries} 1 or more")
    return 1 - (1 - each) ** tries


@dataclass(frozen=True)
class Inflation:
    """Of 100 people who know this share of what is asked, how many pass after each number of tries."""

    share: float
    of_hundred: tuple[float, ...]


def inflation(shares: Sequence[float], items: int, cut: int, tries: int) -> tuple[Inflation, ...]:
    """A row a share, a figure a number of tries from 1; independent tries, nobody learns in between."""
    return tuple(
        Inflation(
            share,
            tuple(100 * passes_once(chance_to_pass(share, items, cut), k) for k in range(1, tries + 1)),
        )
        for share in shares
    )
