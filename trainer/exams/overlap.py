"""How much forms have in common, how often each family is used, and what is too much of either."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from math import fsum

OWN_LIMIT = 0.35  # share of a form that stood on the same person's last one; common practice, no source
BESIDE_LIMIT = 0.5  # share of a form that stood on a co-worker's recent one; the same
EXPOSED = 0.5  # a family on more of the recent forms than this goes to the back of its skill; the same
COUNTED_FROM = 10  # forms before an exposure rate says anything


def shared(form: Collection[str], other: Collection[str]) -> float:
    """The share of a form's families that stand on another form too; 0 for an empty form."""
    return len(set(form) & set(other)) / len(set(form)) if form else 0.0


def exposure(forms: Sequence[Collection[str]]) -> Mapping[str, float]:
    """The share of the forms on which each family stands; most used first, then by name."""
    counts = Counter(name for form in forms for name in set(form))
    in_order = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
    return {name: count / len(forms) for name, count in in_order}


def overexposed(forms: Sequence[Collection[str]]) -> frozenset[str]:
    """The families that are used too often; none while there are too few forms to say."""
    if len(forms) < COUNTED_FROM:
        return frozenset()
    return frozenset(name for name, rate in exposure(forms).items() if rate > EXPOSED)


def mean_overlap(rates: Sequence[float]) -> float:
    """Share of families that two forms have in common on average: sum r^2 / sum r over the exposure rates.

    rates: of every family of the pool, each from 0 to 1, not all 0. Raises ValueError. It equals (N / L) var(r) + L / N
    for N families and forms of L (population variance).
    """
    total = fsum(rates)
    if total <= 0 or min(rates) < 0 or max(rates) > 1:
        raise ValueError("exposure rates must be from 0 to 1, and not all 0")
    return fsum(rate * rate for rate in rates) / total
