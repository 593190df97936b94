"""The chi-square distribution for whole degrees of freedom: finite sums, nothing to converge."""

from __future__ import annotations

import math

from trainer.solver.numbers import require_from_zero, require_whole


def chi_square_tail(statistic: float, df: int) -> float:
    """The chance of a value at least as large, 0 to 1.

    statistic: finite, 0 or more; df: degrees of freedom, whole, 1 or more. Raises BadInput.
    Source: integrating by parts; Abramowitz and Stegun 26.4.4 (odd) and 26.4.5 (even), from memory.
    """
    require_from_zero("statistic", statistic)
    require_whole("df", df)
    half = statistic / 2
    if half == 0:
        return 1.0
    first = 0.5 if df % 2 else 0.0
    log_terms = [
        (first + n) * math.log(half) - half - math.lgamma(first + n + 1)
        for n in range(math.ceil(df / 2 - first))
    ]
    head = math.erfc(math.sqrt(half)) if df % 2 else 0.0
    return min(1.0, head + math.fsum(map(math.exp, log_terms)))
