"""Knowledge tracing and review intervals against published runs."""

from datetime import UTC, datetime

import pytest
from fsrs import Card, Rating, Scheduler

from trainer.learning.mastery import traced
from trainer.learning.parameters import Tracing
from trainer.learning.reviews import after_review


def test_c37_knowledge_tracing_trace():
    # Inputs of the public helper page "BKT" (known .5, learn .4, slip .2, guess .2; answers 0 0 1 1 1 0 1 1 0 1);
    # the values follow from the equations of Corbett & Anderson (1995), recomputed by formula and by matrix.
    t = Tracing(known=0.5, learn=0.4, slip=0.2, guess=0.2)
    known, trace = t.known, []
    for right in (0, 0, 1, 1, 1, 0, 1, 1, 0, 1):
        known = traced(known, bool(right), t)
        trace.append(known)
    assert trace == pytest.approx(
        [0.52, 0.527869, 0.890355, 0.982080, 0.997275, 0.993514, 0.999022, 0.999853, 0.999648, 0.999947],
        abs=1e-6,
    )


def test_c40_review_intervals_of_the_scheduler_we_rely_on():
    # py-fsrs test suite: Good x6, Again x2, Good x5 from 2022-11-29 12:30 UTC, each at its due moment.
    scheduler, card, at = Scheduler(enable_fuzzing=False), Card(), datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
    days = []
    for rating in [Rating.Good] * 6 + [Rating.Again] * 2 + [Rating.Good] * 5:
        card, _ = scheduler.review_card(card, rating, at)
        days.append((card.due - card.last_review).days)
        at = card.due
    assert days == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_our_schedule_is_that_scheduler_without_its_minutes():
    # The same library's published weights: a first Good gives its initial stability, w[2] = 2.3065 days, as interval 2.
    at = datetime(2026, 1, 5, 12, 0, tzinfo=UTC)
    card, due = after_review(None, right=True, helped=False, at=at)
    assert (due - at).days == round(Scheduler().parameters[2])
    again, sooner = after_review(card, right=False, helped=False, at=due)
    assert (sooner - due).days == 1
    assert after_review(card, right=False, helped=False, at=due) == (again, sooner)
