"""What the scheduler forecast before each answer, worked out again from the answers themselves.

A schedule depends on nothing but a person's answers on a skill, so its forecasts need not be kept: replaying gives
them, by the scheduler as it is set today.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple

from fsrs import Card, Rating, State

from trainer.learning.reviews import SCHEDULER, rating

_DAY_0 = datetime(
    2000, 1, 1, tzinfo=UTC
)  # the schedule knows whole days between answers, never which day it is
Memory = tuple[float, float]  # stability [days] and difficulty


class Forecast(NamedTuple):
    """One answer that was forecast.

    days: whole days since the answer before it; recalled: the chance of a right answer that the scheduler saw, 0 to 1
    right: whether it came true; helped: whether steps stood in sight
    """

    days: int
    recalled: float
    right: bool
    helped: bool


def forecasts(answers: Iterable[tuple[datetime, bool, bool]]) -> Iterator[Forecast]:
    """The forecast before every answer but the first, of one person's answers on one skill, oldest first.

    answers: moment (aware), whether right, whether helped. Within a day of the answer before, the forecast is 1.
    """
    memory: Memory | None = None
    last: datetime | None = None
    for at, right, helped in answers:
        days = 0 if last is None else (at - last).days
        recalled, moved = _step(memory, days, rating(right=right, helped=helped))
        if memory is not None:
            yield Forecast(days, recalled, right, helped)
        memory, last = moved, at


@lru_cache(maxsize=2**16)
def _step(memory: Memory | None, days: int, given: Rating) -> tuple[float, Memory]:
    """The forecast so many days after the answer before, and what is remembered after this one."""
    now = _DAY_0 + timedelta(days=days)
    if memory is None:
        card = Card(card_id=0, due=now)
    else:
        stability, difficulty = memory
        card = Card(
            card_id=0,
            state=State.Review,
            stability=stability,
            difficulty=difficulty,
            due=now,
            last_review=_DAY_0,
        )
    moved, _ = SCHEDULER.review_card(card, given, review_datetime=now)
    if moved.stability is None or moved.difficulty is None:
        raise LookupError("the scheduler gave a card without a memory")
    return SCHEDULER.get_card_retrievability(card, now), (moved.stability, moved.difficulty)
