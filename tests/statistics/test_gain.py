"""Gain from the first attempt to the last."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.gain import LEAST_PEOPLE, gain

SHARES = st.floats(0, 1)
PEOPLE = st.lists(st.tuples(SHARES, SHARES), min_size=LEAST_PEOPLE, max_size=40)


def test_ten_people_by_hand():
    first, last = [0.4] * 5 + [0.6] * 5, [0.8] * 5 + [0.6] * 3 + [0.5] * 2
    found = gain(first, last)
    assert (found.first.value, found.last.value, found.gained.value) == pytest.approx((0.5, 0.68, 0.18))
    assert (found.better.count, found.worse.count, found.better.of) == (5, 2, 10)
    assert found.of_possible == pytest.approx(0.18 / 0.5)


@given(PEOPLE, st.randoms())
def test_people_in_any_order_and_attempts_that_change_places(people, random):
    first, last = np.array(people).T
    found, back = gain(first, last), gain(last, first)
    assert (back.better, back.worse) == (found.worse, found.better)
    assert (back.gained.low, back.gained.high) == pytest.approx(
        (-found.gained.high, -found.gained.low), abs=1e-9
    )
    mixed = np.array(random.sample(people, len(people))).T
    assert gain(*mixed).gained.value == pytest.approx(found.gained.value, abs=1e-9)
    assert found.of_possible is None or found.of_possible <= 1 + 1e-9


def test_pairs_tell_more_than_two_heaps():
    """Everybody gains about as much, and people differ widely: the means overlap, and the gain is sure."""
    first = np.linspace(0.1, 0.7, 20)
    found = gain(first, first + 0.1 + 0.01 * (-1) ** np.arange(20))
    assert found.gained.low > 0.09 and found.first.high > found.last.low


def test_few_people_say_nothing_and_what_was_known_leaves_nothing_to_gain():
    assert gain([0.5] * (LEAST_PEOPLE - 1), [0.9] * (LEAST_PEOPLE - 1)) is None
    assert gain([1.0] * 10, [1.0] * 10).of_possible is None


def test_what_does_not_fit_together_is_refused():
    for first, last in (([0.5], [0.5, 0.6]), ([1.5], [0.5]), ([0.5], [float("nan")])):
        with pytest.raises(BadInput):
            gain(first, last)
