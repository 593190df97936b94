"""Scores of whole exams: published data, and what a jackknife must give."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.scores import LEAST_SITTINGS, scores_of

# Totals of the ten people of the East Carolina University statistics help file "KR20", three times over: mean and
# spread stay, and there are enough people to say something of.
ECU = [8, 7, 7, 2, 2, 9, 8, 9, 7, 7] * 3


def test_reliability_and_verdicts_of_published_scores():
    found = scores_of(ECU, [one >= 7 for one in ECU], 10, 7)
    # KR-21 and Huynh's method as computed for the reference note from the file's totals (population variance 5.84).
    assert found.reliability.value == pytest.approx(0.684170, abs=1e-6)
    assert found.agreement.value == pytest.approx(0.758446, abs=1e-6)
    assert found.kappa.value == pytest.approx(0.510307, abs=1e-6)
    assert found.error_at_cut == pytest.approx(1.527525, abs=1e-6)  # Lord: sqrt(7 x 3 / 9)
    assert (found.mean.value, found.passed.count, found.passed.of) == (pytest.approx(6.6), 24, 30)


def test_the_interval_of_the_jackknife_covers_the_truth_about_as_often_as_it_says():
    """KR-21 of equally hard items: what it estimates is alpha / (alpha + beta + n) of a beta-binomial turned round."""
    rng = np.random.default_rng(11)
    a, b, items = 6.0, 3.0, 24
    truth = items / (
        items + a + b
    )  # reliability of a beta-binomial score; from memory (Lord and Novick 1968)
    held = 0
    for _ in range(60):
        scores = rng.binomial(items, rng.beta(a, b, 120))
        found = scores_of(scores, list(scores >= 17), items, 17)
        held += found.reliability.low <= truth <= found.reliability.high
    assert held >= 51  # of 60, with a chance of 0.95 each: 51 or more in 999 of 1,000


def test_too_few_people_give_no_figure():
    assert scores_of([5] * (LEAST_SITTINGS - 1), [True] * (LEAST_SITTINGS - 1), 10, 5) is None


def test_scores_that_do_not_vary_have_no_reliability():
    found = scores_of([5] * 40, [False] * 40, 10, 7)
    assert (found.reliability, found.error, found.agreement, found.kappa) == (None, None, None, None)
    assert found.passed.value == 0


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(0, 12), min_size=LEAST_SITTINGS, max_size=60), st.integers(1, 12))
def test_intervals_hold_their_figures_and_stay_in_range(scores, cut):
    found = scores_of(scores, [one >= cut for one in scores], 12, cut)
    for one in (found.reliability, found.agreement, found.kappa):
        if one is not None:
            assert -1 <= one.low <= one.value <= one.high <= 1


@pytest.mark.parametrize(
    ("scores", "cut", "said"),
    [([13] * 30, 5, "at most 12"), ([5] * 30, 13, "from 1 to 12"), ([[5]], 5, "one number")],
)
def test_scores_out_of_range_are_refused_by_name(scores, cut, said):
    with pytest.raises(BadInput, match=said):
        scores_of(scores, [True] * len(scores), 12, cut)
