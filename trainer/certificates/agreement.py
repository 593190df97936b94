"""How well two observers of the same practicals agree: percent agreement, Cohen's kappa, and how sure both are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

LEAST = 20  # practicals seen twice before a kappa is printed; common practice, no source
SURE = 0.95

Table = Sequence[Sequence[int]]


@dataclass(frozen=True)
class Twice:
    """One practical as two observers marked it: for each step, whether the first and the second counted it as met."""

    practical: str
    marks: Mapping[str, tuple[bool, bool]]


@dataclass(frozen=True)
class Agreement:
    """How often two observers marked alike, and kappa with its interval where it can be estimated.

    seen: marks that both gave; same: those that agree
    kappa, low, high: None where there are too few practicals, or where nobody can tell agreement from chance
    """

    seen: int
    same: int
    kappa: float | None = None
    low: float | None = None
    high: float | None = None

    @property
    def share(self) -> float | None:
        """The share of marks that agree, 0 to 1; None without any."""
        return self.same / self.seen if self.seen else None


def kappa(table: Table) -> float | None:
    """Cohen's kappa of a square table of counts, the first observer in rows; None where chance explains everything.

    Source: statsmodels, stats/inter_rater.py; first in Cohen (1960), from memory.
    """
    n, rows, columns = _margins(table)
    expected = sum(row * column for row, column in zip(rows, columns, strict=True))
    if n == 0 or expected >= n * n:
        return None
    same = sum(table[one][one] for one in range(len(table)))
    return (n * same - expected) / (n * n - expected)


def kappa_error(table: Table) -> float | None:
    """Standard error of Cohen's kappa for independent pairs, by its large-sample variance; None where kappa is.

    Source: statsmodels, stats/inter_rater.py, which follows SAS; first in Fleiss, Cohen & Everitt (1969), from memory.
    """
    value = kappa(table)
    if value is None:
        return None
    n, rows, columns = _margins(table)
    p = [[count / n for count in row] for row in table]
    first, second = [row / n for row in rows], [column / n for column in columns]
    size, chance = range(len(table)), 1 - value
    expected = sum(first[i] * second[i] for i in size)
    agreed = sum(p[i][i] * (1 - (first[i] + second[i]) * chance) ** 2 for i in size)
    apart = chance**2 * sum(p[i][j] * (second[i] + first[j]) ** 2 for i in size for j in size if i != j)
    spread = agreed + apart - (value - expected * chance) ** 2
    return sqrt(max(0.0, spread) / n) / (1 - expected)


def _margins(table: Table) -> tuple[int, list[int], list[int]]:
    rows = [sum(row) for row in table]
    return sum(rows), rows, [sum(column) for column in zip(*table, strict=True)]


def step_agreement(twice: Sequence[Twice], step: str, least: int = LEAST) -> Agreement:
    """The agreement on one step; each practical gives one pair, so pairs are independent."""
    table = _table([one.marks[step] for one in twice if step in one.marks])
    seen, same = sum(map(sum, table)), table[0][0] + table[1][1]
    value, error = kappa(table), kappa_error(table)
    if seen < least or value is None or error is None:
        return Agreement(seen, same)
    return _around(Agreement(seen, same, value), error)


def whole_agreement(twice: Sequence[Twice], least: int = LEAST) -> Agreement:
    """The agreement on every step of every practical together.

    The steps of one practical hang together, so the interval comes from leaving out one whole practical at a time
    (jackknife; from memory).
    """
    table = _table([pair for one in twice for pair in one.marks.values()])
    seen, same = sum(map(sum, table)), table[0][0] + table[1][1]
    value = kappa(table)
    without = [kappa(_less(table, _table(list(one.marks.values())))) for one in twice]
    known = [one for one in without if one is not None]
    if len(twice) < max(least, 2) or value is None or len(known) < len(without):
        return Agreement(seen, same)
    n, middle = len(known), sum(known) / len(known)
    return _around(
        Agreement(seen, same, value), sqrt((n - 1) / n * sum((one - middle) ** 2 for one in known))
    )


def _table(pairs: Sequence[tuple[bool, bool]]) -> list[list[int]]:
    counts = [[0, 0], [0, 0]]
    for first, second in pairs:
        counts[not first][not second] += 1
    return counts


def _less(table: Table, part: Table) -> list[list[int]]:
    return [[a - b for a, b in zip(row, less, strict=True)] for row, less in zip(table, part, strict=True)]


def _around(found: Agreement, error: float) -> Agreement:
    assert found.kappa is not None
    half = NormalDist().inv_cdf(0.5 + SURE / 2) * error
    low, high = max(-1.0, found.kappa - half), min(1.0, found.kappa + half)
    return Agreement(found.seen, found.same, found.kappa, low, high)


@dataclass(frozen=True)
class AgreementReport:
    """What is known about two observers seeing the same: as a whole and step by step.

    asked: practicals for which the draw asked for a second observer; missing: those that never got one
    """

    asked: int
    missing: int
    twice: int
    least: int
    whole: Agreement
    steps: Mapping[str, Agreement]


def agreement_report(
    twice: Sequence[Twice], steps: Sequence[str], *, missing: int, least: int = LEAST
) -> AgreementReport:
    """The report over practicals seen twice; `missing`: how many more should have been."""
    return AgreementReport(
        asked=len(twice) + missing,
        missing=missing,
        twice=len(twice),
        least=least,
        whole=whole_agreement(twice, least),
        steps={step: step_agreement(twice, step, least) for step in steps},
    )
