"""Orders of suspects against every order there is."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.solver.suspects import best_series, series_minutes, series_order

suspects = st.integers(1, 5).flatmap(
    lambda n: st.tuples(
        st.lists(st.integers(0, 9), min_size=n, max_size=n).filter(any),
        st.lists(st.integers(1, 30), min_size=n, max_size=n),
    )
)


@given(given_=suspects, inferred=st.booleans())
def test_no_order_is_better(given_, inferred):
    prior, minutes = given_
    least = min(series_minutes(prior, minutes, order, inferred) for order in permutations(range(len(prior))))
    order = best_series(prior, minutes, inferred)
    assert series_minutes(prior, minutes, order, inferred) == pytest.approx(least, abs=1e-9)


@given(given_=suspects)
def test_minutes_are_those_of_each_suspect_in_turn(given_):
    prior, minutes = given_
    order = tuple(reversed(range(len(prior))))
    by_suspect = sum(
        p * sum(minutes[one] for one in order[: order.index(suspect) + 1]) for suspect, p in enumerate(prior)
    )
    assert series_minutes(prior, minutes, order) == pytest.approx(by_suspect / sum(prior))


def test_the_impossible_comes_last_and_equals_keep_their_order():
    assert series_order([0, 1, 1, 2], [1, 3, 3, 2]) == (3, 1, 2, 0)


def test_one_suspect_need_not_be_checked_where_it_is_inferred():
    assert series_minutes([1], [7], [0], last_inferred=True) == 0
    assert series_minutes([1], [7], [0]) == 7


def test_refusals():
    for call in (
        lambda: series_minutes([1, 1], [1, 1], [0, 0]),
        lambda: series_minutes([1, 1], [1], [0, 1]),
        lambda: series_order([], []),
        lambda: series_order([0, 0], [1, 1]),
        lambda: series_order([1, -1], [1, 1]),
        lambda: series_order([1, 1], [0, 1]),
    ):
        with pytest.raises(BadInput):
            call()


def test_many_suspects_of_equal_ratio_keep_their_order():
    # Sixty suspects, every third one twice as quick to check: both kinds in the order of the list.
    minutes = [1.0 if n % 3 == 0 else 2.0 for n in range(60)]
    quick = [n for n in range(60) if n % 3 == 0]
    assert series_order([1.0] * 60, minutes) == (*quick, *(n for n in range(60) if n % 3))


def test_a_likelihood_of_zero_divides_nothing():
    with np.errstate(all="raise"):
        assert series_order([1.0, 0.0, 1.0], [2.0, 1.0, 1.0]) == (2, 0, 1)


def test_the_last_suspect_is_checked_unless_said_otherwise():
    # By the series rule 0, 1; with the last one inferred, the other way round saves the dear check.
    assert best_series([9.0, 1.0], [8.0, 1.0]) == (0, 1)
    assert best_series([9.0, 1.0], [8.0, 1.0], last_inferred=True) == (1, 0)
