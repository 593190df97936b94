"""Consistency of verdicts: bounds, order, and what is refused. Published values: tests/published."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.consistency import (
    Consistency,
    TrueShares,
    effective_length,
    huynh,
    livingston_lewis,
    livingston_lewis_of,
    peng_subkoviak,
    subkoviak,
)

RELIABILITY = st.floats(0.01, 0.99)


@given(st.lists(st.integers(0, 20), min_size=1, max_size=30), st.integers(1, 20), RELIABILITY, st.randoms())
def test_subkoviak_keeps_its_bounds_and_does_not_look_at_the_order_of_people(
    scores, cut, reliability, random
):
    found = subkoviak(scores, 20, cut, reliability)
    assert 0.5 <= found.agreement <= 1 + 1e-12 and 0 <= found.passing <= 1
    mixed = random.sample(scores, len(scores))
    assert subkoviak(mixed, 20, cut, reliability).agreement == pytest.approx(found.agreement, abs=1e-12)


@given(st.floats(0.5, 23.5), st.integers(1, 24), RELIABILITY)
def test_two_forms_never_agree_less_than_by_chance(mean, cut, reliability):
    for found in (huynh(mean, 24, cut, reliability), peng_subkoviak(mean, 3.0, cut, reliability)):
        assert found.by_chance - 1e-9 <= found.agreement <= 1 + 1e-9
        assert found.accuracy is None


@given(st.floats(0.3, 50), st.floats(0.3, 50), st.integers(1, 24))
def test_right_and_wrong_may_change_places(a, b, cut):
    """Whoever counts wrong answers instead judges the same people: at most 24 - cut wrong."""
    found, mirrored = (
        livingston_lewis(TrueShares(a, b), 24, cut),
        livingston_lewis(TrueShares(b, a), 24, 25 - cut, 1 - cut / 24),
    )
    assert mirrored.passing == pytest.approx(1 - found.passing, abs=1e-8)
    assert mirrored.agreement == pytest.approx(found.agreement, abs=1e-8)
    assert mirrored.accuracy == pytest.approx(found.accuracy, abs=1e-8)


def test_more_reliable_scores_give_surer_verdicts():
    sure = [huynh(18.0, 24, 19, r).agreement for r in (0.1, 0.4, 0.7, 0.9)]
    assert sure == sorted(sure)
    longer = [livingston_lewis(TrueShares(6, 2), n, n * 3 // 4).accuracy for n in (8, 24, 80)]
    assert longer == sorted(longer)


def test_everybody_passes_and_beyond_chance_is_not_defined():
    assert Consistency(1.0, 1.0).kappa is None
    assert subkoviak([20], 20, 1, 0.9).passing == pytest.approx(1)


def test_a_cut_between_two_answers_of_the_effective_length_is_the_higher():
    length = effective_length(18.0, 20.0, 24, 0.8)
    assert length == 23 and 18 < 23 * 19 / 24 < 19
    size = 0.75 * 0.25 / (0.8 * 20 / 24**2) - 1
    expected = livingston_lewis(TrueShares(0.75 * size, 0.25 * size), 23, 19, 19 / 24)
    assert livingston_lewis_of(18.0, 20.0, 24, 19, 0.8).passing == pytest.approx(expected.passing, abs=1e-9)


def test_a_whole_cut_stays_whole_on_the_effective_length():
    """Scores without spread beyond the binomial's: the effective length is that of the test, and so is its cut."""
    share = livingston_lewis_of(18.0, 24 * 0.75 * 0.25 / (1 - 0.2), 24, 19, 0.2)
    assert share.passing == pytest.approx(huynh(18.0, 24, 19, 0.2).passing, abs=0.02)


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: subkoviak([], 10, 7, 0.5), "scores"),
        (lambda: subkoviak([11], 10, 7, 0.5), "scores"),
        (lambda: subkoviak([np.nan], 10, 7, 0.5), "scores"),
        (lambda: subkoviak([5], 10, 11, 0.5), "cut"),
        (lambda: subkoviak([5], 10, 7, 0.0), "reliability"),
        (lambda: peng_subkoviak(5, 0, 7, 0.5), "deviation"),
        (lambda: peng_subkoviak(5, 2, 7, 1.0), "reliability"),
        (lambda: huynh(10, 10, 7, 0.5), "mean"),
        (lambda: huynh(5, 10, 7, -0.1), "reliability"),
        (lambda: livingston_lewis(TrueShares(0, 1), 10, 7), "a"),
        (lambda: livingston_lewis(TrueShares(1, 1, 0.5, 0.5), 10, 7), "low"),
        (lambda: livingston_lewis_of(5, 0, 10, 7, 0.5), "variance"),
        (lambda: livingston_lewis_of(5, 90, 10, 7, 0.5), "variance"),
    ],
)  # fmt: skip
def test_what_is_not_defined_is_refused(call, named):
    with pytest.raises(BadInput) as refused:
        call()
    assert refused.value.name == named
