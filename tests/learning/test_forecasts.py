"""What the scheduler forecast: by a printed sequence, and by the cards that practice itself keeps."""

import json
from datetime import UTC, datetime, timedelta

import pytest
from fsrs import Card, Rating, Scheduler
from hypothesis import given
from hypothesis import strategies as st

from trainer.learning.forecasts import Forecast, forecasts
from trainer.learning.reviews import SCHEDULER, after_review

START = datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
GAPS = st.floats(0, 400).map(lambda days: timedelta(days=days))
ANSWERS = st.lists(st.tuples(GAPS, st.booleans(), st.booleans()), max_size=12)


def moments(gaps):
    at, found = START, []
    for gap, right, helped in gaps:
        at += gap
        found.append((at, right, helped))
    return found


def test_the_printed_curve_of_a_memory():
    """FSRS-6 with a stability of 10 days: 0.9857 after 1, 0.9 after 10, 0.8094 after 30, 0.7427 after 60.

    Worked out apart from the program by the published formula (1 + f t / S)^-d with f = 0.9^(-1/d) - 1 and d the
    scheduler's 21st weight, 0.1542; and by the library.
    """
    decay = SCHEDULER.parameters[20]
    factor = 0.9 ** (-1 / decay) - 1
    card = Card(card_id=0, stability=10.0, difficulty=5.0, last_review=START)
    for days, printed in ((1, 0.985682), (10, 0.9), (30, 0.809388), (60, 0.742717)):
        assert (1 + factor * days / 10) ** -decay == pytest.approx(printed, abs=1e-6)
        assert SCHEDULER.get_card_retrievability(card, START + timedelta(days=days)) == pytest.approx(
            printed, abs=1e-6
        )


def test_a_printed_sequence_of_the_library():
    """Again, then five times Good after 0, 0, 1, 3, 8 and 21 days: stability 53.62690, difficulty 6.357487 at the end.

    Printed in the tests of the library that we use (py-fsrs, test_memo_state); its scheduler has learning steps,
    which move due dates and no memory. The forecast 53 and 54 days later lies on both sides of 0.9.
    """
    gaps = [timedelta(days=days) for days in (0, 0, 1, 3, 8, 21)]
    rights = [False, True, True, True, True, True]
    sequence = [(gap, right, False) for gap, right in zip(gaps, rights, strict=True)]
    theirs, card, at = Scheduler(enable_fuzzing=False), Card(card_id=1, due=START), START
    expected = []
    for gap, right, _ in sequence:
        at += gap
        expected.append(theirs.get_card_retrievability(card, at))
        card, _ = theirs.review_card(card, Rating.Good if right else Rating.Again, at)
    assert (card.stability, card.difficulty) == pytest.approx((53.62690, 6.357487), abs=1e-4)
    found = list(forecasts(moments(sequence)))
    assert [one.recalled for one in found] == pytest.approx(expected[1:])
    assert [one.days for one in found] == [0, 1, 3, 8, 21] and all(one.right for one in found)
    for days, above in ((53, True), (54, False)):
        *_, last = forecasts(moments([*sequence, (timedelta(days=days), True, False)]))
        assert (last.recalled > 0.9) is above


@given(ANSWERS)
def test_the_forecast_is_that_of_the_card_that_practice_keeps(gaps):
    answers, card, expected = moments(gaps), None, []
    for at, right, helped in answers:
        if card is not None:
            kept = Card.from_json(card)
            expected.append((kept.last_review, SCHEDULER.get_card_retrievability(kept, at)))
        card, _ = after_review(card, right=right, helped=helped, at=at)
    found = list(forecasts(answers))
    assert [one.recalled for one in found] == pytest.approx([recalled for _, recalled in expected])
    assert [one.days for one in found] == [
        (at - before).days for (at, _, _), (before, _) in zip(answers[1:], expected, strict=True)
    ]
    assert card is None or json.loads(card)["card_id"] == 0


def test_the_first_answer_has_no_forecast_and_one_of_the_same_day_is_sure():
    assert list(forecasts([])) == list(forecasts([(START, True, False)])) == []
    hour = timedelta(hours=1)
    assert list(forecasts([(START, False, True), (START + hour, False, False)])) == [
        Forecast(0, 1.0, False, False)
    ]
