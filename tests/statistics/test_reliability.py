import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from trainer.solver.numbers import BadInput
from trainer.statistics.reliability import (
    alpha,
    alpha_interval,
    kr20,
    kr21,
    livingston,
    phi,
    standard_error,
    standard_error_at,
)

tables = arrays(float, st.tuples(st.integers(3, 12), st.integers(2, 8)), elements=st.sampled_from([0.0, 1.0]))


@given(tables)
def test_kr20_is_alpha_and_at_least_kr21(table):
    scores = table.sum(axis=1)
    assume(np.ptp(scores) > 0)
    assert kr20(table) == pytest.approx(alpha(table), abs=1e-9)
    assert kr21(table.shape[1], scores.mean(), scores.var()) <= kr20(table) + 1e-9
    assert kr20(table) <= 1 + 1e-9


@given(tables)
def test_two_copies_of_each_item_are_more_reliable(table):
    """Spearman and Brown's law for a doubled test needs parallel halves; copies are such halves."""
    scores = table.sum(axis=1)
    assume(np.ptp(scores) > 0)
    one, two = alpha(table), alpha(np.hstack([table, table]))
    assert two >= one - 1e-9


@given(tables)
def test_the_interval_of_alpha_holds_it_and_more_people_make_it_narrower(table):
    assume(np.ptp(table.sum(axis=1)) > 0)
    low, high = alpha_interval(table)
    more_low, more_high = alpha_interval(np.vstack([table, table]))
    assert low <= alpha(table) <= high <= 1
    assert more_high - more_low < high - low or alpha(table) == pytest.approx(1)


def test_a_cut_at_the_mean_is_the_worst_place():
    assert livingston(0.7, 6, 4, 6, 10) == pytest.approx(0.7)
    assert livingston(0.7, 6, 4, 9, 10) > 0.7
    assert phi(10, 0.6, 0.04, 0.9) > phi(10, 0.6, 0.04, 0.6)


def test_errors_are_largest_in_the_middle_and_nothing_at_the_ends():
    assert standard_error_at(0, 10) == standard_error_at(10, 10) == 0
    assert standard_error_at(5, 10) > standard_error_at(7, 10)
    assert standard_error(2.0, 1.0) == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: kr20(np.ones((4, 3))),
        lambda: kr20(np.array([[1.0, np.nan], [0, 1]])),
        lambda: alpha(np.ones((1, 3))),
        lambda: kr20(np.array([[1.0], [0.0]])),
        lambda: kr21(10, 5, 0),
        lambda: kr21(1, 0.5, 1),
        lambda: standard_error(1, 1.2),
        lambda: standard_error_at(11, 10),
        lambda: livingston(0.5, 6, 0, 6, 10),
        lambda: livingston(0.5, 6, 4, 11, 10),
        lambda: livingston(0.5, 6, 4, -1, 10),
        lambda: livingston(0.5, 6, -1, 9, 10),
        lambda: phi(10, 0.5, 0, 0.5),
        lambda: phi(10, 0.5, 0.04, 1.1),
        lambda: phi(10, 0.5, -0.01, 0.9),
        lambda: alpha_interval(np.ones((4, 3))),
    ],
)
def test_what_is_not_defined_is_refused(call):
    with pytest.raises(BadInput):
        call()
