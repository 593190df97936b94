"""A panel that sets the cut: what its judges said, how far they agree, what may be adopted, and when it counts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

LEAST_JUDGES = 3
MOST_ROUNDS = 3
LEAST_RATING, MOST_RATING = 0, 100  # per cent
NO_MORE_THAN = 2  # standard errors from the panel's own cut
_HAIR = 1e-9


@dataclass(frozen=True)
class Judge:
    """A member of the panel: who, with what qualification, and how many rounds they have handed in."""

    id: int
    person_id: int
    name: str
    qualification: str
    handed_in: int = 0


@dataclass(frozen=True)
class Rating:
    """In per cent: of people who are only just competent, how many a judge expects to get an item right."""

    judge: int
    round: int
    item: int
    per_cent: int


@dataclass(frozen=True)
class Study:
    """What one round came to.

    sums: each judge's cut, in items; cut: their mean; sd, se: of the sums (n - 1), se = sd / sqrt(judges)
    single, mean: ICC(A,1) and ICC(A,k), agreement of one judge and of the panel's mean; None where ratings do not vary
    items: the panel's mean for each item
    """

    sums: tuple[float, ...]
    cut: float
    sd: float
    se: float
    single: float | None
    mean: float | None
    items: tuple[float, ...]

    @property
    def pass_mark(self) -> int:
        """The right answers that are needed: the cut, up to the next whole item."""
        return math.ceil(self.cut - _HAIR)

    @property
    def band(self) -> tuple[int, int]:
        """The cuts that may be adopted, whole items within two standard errors of the panel's own."""
        reach = NO_MORE_THAN * self.se
        low = math.ceil(self.cut - reach - _HAIR)
        return min(low, self.pass_mark), max(math.floor(self.cut + reach + _HAIR), self.pass_mark)


def study(rows: Sequence[Sequence[float]]) -> Study:
    """What a round came to. rows: a judge each, two or more, of one chance (0 to 1) an item. Raises ValueError.

    Angoff's method: a judge's cut is the sum of their ratings. Agreement is two-way and absolute, as in McGraw and
    Wong 1996 (from memory).
    """
    if len(rows) < 2 or not rows[0] or len({len(row) for row in rows}) != 1:
        raise ValueError("a study needs two judges or more, with one rating an item each")
    sums = tuple(math.fsum(row) for row in rows)
    cut = math.fsum(sums) / len(sums)
    sd = math.sqrt(math.fsum((one - cut) ** 2 for one in sums) / (len(sums) - 1))
    single, mean = _agreement(rows)
    return Study(sums, cut, sd, sd / math.sqrt(len(sums)), single, mean, _means(rows))


def _means(rows: Sequence[Sequence[float]]) -> tuple[float, ...]:
    return tuple(math.fsum(column) / len(rows) for column in zip(*rows, strict=True))


def _agreement(rows: Sequence[Sequence[float]]) -> tuple[float | None, float | None]:
    """ICC(A,1) and ICC(A,k) from the mean squares of items, judges and what is left."""
    judges, items = len(rows), len(rows[0])
    if items < 2:
        return None, None
    grand = math.fsum(map(math.fsum, rows)) / (judges * items)
    whole = math.fsum((one - grand) ** 2 for row in rows for one in row)
    of_items = judges * math.fsum((one - grand) ** 2 for one in _means(rows))
    of_judges = items * math.fsum((math.fsum(row) / items - grand) ** 2 for row in rows)
    between_items, between_judges = of_items / (items - 1), of_judges / (judges - 1)
    left = max(0.0, whole - of_items - of_judges) / ((items - 1) * (judges - 1))
    one = between_items + (judges - 1) * left + judges * (between_judges - left) / items
    many = between_items + (between_judges - left) / items
    if one <= _HAIR or many <= _HAIR:
        return None, None
    return (between_items - left) / one, (between_items - left) / many


@dataclass(frozen=True)
class Panel:
    """One panel of a site on a version of a scheme; `sealed_at` is None while it still sits.

    definition: who is only just competent, in the panel's words; round: the one that is rated now
    cut, effective_from: what was adopted and from when it counts
    """

    id: int
    public_id: str
    site_id: int
    scheme: str
    version: int
    number: int
    definition: str
    form: str
    sheet_version: int
    round: int
    opened_at: datetime
    sealed_at: datetime | None = None
    dropped_at: datetime | None = None
    sealed_by: str | None = None
    cut: int | None = None
    reason: str = ""
    effective_from: datetime | None = None
    result: str | None = None

    @property
    def is_open(self) -> bool:
        """Whether it still sits."""
        return self.sealed_at is None and self.dropped_at is None


def round_of(
    ratings: Sequence[Rating], judges: Sequence[Judge], number: int, items: int
) -> list[list[float]]:
    """The judges who have handed in a round, a row each, as chances."""
    given = {(one.judge, one.item): one.per_cent / 100 for one in ratings if one.round == number}
    return [
        [given[judge.id, item] for item in range(1, items + 1)]
        for judge in judges
        if judge.handed_in >= number
    ]


def judge_rating(panel: Panel, judge: Judge | None, rating: Rating, items: int) -> tuple[str, ...]:
    """Why a rating cannot be kept; nothing where it can."""
    if judge is None:
        return ("panel.not_judge",)
    stands = {
        "panel.sealed": panel.sealed_at is not None,
        "panel.dropped": panel.dropped_at is not None,
        "panel.round_over": panel.is_open
        and (rating.round != panel.round or judge.handed_in >= rating.round),
        "panel.no_item": not 1 <= rating.item <= items,
        "panel.rating_range": not LEAST_RATING <= rating.per_cent <= MOST_RATING,
    }
    return tuple(key for key, holds in stands.items() if holds)


def next_item(ratings: Sequence[Rating], judge: Judge, number: int, items: int) -> int | None:
    """The first item that a judge has not rated in a round; None where all are."""
    rated = {one.item for one in ratings if (one.judge, one.round) == (judge.id, number)}
    return next((item for item in range(1, items + 1) if item not in rated), None)


@dataclass(frozen=True)
class Adoption:
    """What a manager would adopt: the cut, from when, and why where it is not the panel's own.

    used: whether somebody has already sat an exam under this version here
    """

    cut: int
    effective_from: datetime
    reason: str
    used: bool


def seal_reasons(
    panel: Panel, judges: Sequence[Judge], found: Study | None, wanted: Adoption, now: datetime
) -> tuple[str, ...]:
    """Why a cut cannot be adopted and the panel sealed; nothing where it can.

    A cut never works backwards: once a version is in use, another counts from a later moment on.
    """
    if not panel.is_open:
        return ("panel.sealed" if panel.sealed_at else "panel.dropped",)
    low, high = found.band if found else (0, 0)
    stands = {
        "panel.few_judges": len(judges) < LEAST_JUDGES,
        "panel.round_open": found is None or any(judge.handed_in < panel.round for judge in judges),
        "panel.no_definition": not panel.definition.strip(),
        "panel.outside_band": found is not None and not low <= wanted.cut <= high,
        "panel.reason_needed": found is not None
        and wanted.cut != found.pass_mark
        and not wanted.reason.strip(),
        "panel.backwards": wanted.effective_from < now or (wanted.used and wanted.effective_from <= now),
    }
    return tuple(key for key, holds in stands.items() if holds)


def in_force(panels: Sequence[Panel], now: datetime) -> Panel | None:
    """The sealed panel whose cut counts now: the one that came into force last; of two at once the newer."""
    counting = [
        one
        for one in panels
        if one.sealed_at is not None and one.effective_from is not None and one.effective_from <= now
    ]
    return max(counting, key=lambda one: (one.effective_from, one.number), default=None)
