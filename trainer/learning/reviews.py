"""When a skill is to be asked again: FSRS, with fuzz off so that every schedule replays."""

from __future__ import annotations

from datetime import datetime

from fsrs import Card, Rating, Scheduler

from trainer.learning.parameters import DESIRED_RETENTION, LONGEST_INTERVAL_DAYS

# Steps of minutes are for vocabulary; here a wrong answer is asked again in the same sitting by the drill itself.
SCHEDULER = Scheduler(
    desired_retention=DESIRED_RETENTION,
    learning_steps=(),
    relearning_steps=(),
    maximum_interval=LONGEST_INTERVAL_DAYS,
    enable_fuzzing=False,
)


def after_review(card: str | None, *, right: bool, helped: bool, at: datetime) -> tuple[str, datetime]:
    """The schedule's state and the next due moment after one answer.

    The first card is numbered 0: its number is not used, and the library would otherwise take it from the clock.
    """
    before = Card(card_id=0, due=at) if card is None else Card.from_json(card)
    moved, _ = SCHEDULER.review_card(before, rating(right=right, helped=helped), review_datetime=at)
    return moved.to_json(), moved.due


def rating(*, right: bool, helped: bool) -> Rating:
    """Wrong is Again, right with help is Hard, right alone is Good."""
    return Rating.Again if not right else Rating.Hard if helped else Rating.Good
