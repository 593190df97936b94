"""Forecasts beside what came. Published values: tests/published/test_forecasts.py."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.forgetting import EDGES, LEAST_REVIEWS, calibration

REVIEWS = st.lists(st.tuples(st.floats(0, 1), st.integers(0, 1)), min_size=LEAST_REVIEWS, max_size=80)


@given(REVIEWS, st.randoms())
def test_the_parts_make_the_whole_in_any_order(reviews, random):
    found = calibration(*np.array(reviews).T)
    whole = found.reliability - found.resolution + found.uncertainty + found.within
    assert whole == pytest.approx(found.brier.value, abs=1e-9)
    assert 0 <= found.resolution <= found.uncertainty + 1e-9 and found.reliability >= 0
    assert sum(one.right.of for one in found.levels) == len(reviews)
    assert sum(one.right.count for one in found.levels) == sum(right for _, right in reviews)
    assert all(one.low - 1e-9 <= one.forecast <= one.high + 1e-9 for one in found.levels)
    mixed = calibration(*np.array(random.sample(reviews, len(reviews))).T)
    assert mixed.brier.value == pytest.approx(found.brier.value, abs=1e-9)


@given(REVIEWS)
def test_forecasts_of_the_opposite_have_the_same_parts(reviews):
    said, came = np.array(reviews).T
    edges = (0, 0.5, 1)
    keep = said != 0.5
    if keep.sum() < LEAST_REVIEWS:
        return
    found, other = (
        calibration(said[keep], came[keep], edges),
        calibration(1 - said[keep], 1 - came[keep], edges),
    )
    assert other.brier.value == pytest.approx(found.brier.value, abs=1e-9)
    assert other.bias.value == pytest.approx(-found.bias.value, abs=1e-9)


def test_true_forecasts_lie_on_the_curve_and_hopeful_ones_do_not():
    """20,000 reviews; what was forecast is the chance itself, or a tenth more."""
    rng = np.random.default_rng(5)
    chance = rng.uniform(0.3, 0.9, 20_000)
    came = (rng.random(20_000) < chance).astype(int)
    true, hopeful = calibration(chance, came), calibration(chance + 0.1, came)
    assert true.bias.low < 0 < true.bias.high and true.reliability < 0.0005
    assert 0.05 < hopeful.bias.low < 0.1 < hopeful.bias.high and hopeful.reliability == pytest.approx(
        0.01, abs=0.002
    )
    held = [one.right.interval[0] <= one.forecast <= one.right.interval[1] for one in true.levels]
    assert sum(held) >= len(held) - 1 and len(held) == 6
    assert not any(one.right.interval[0] <= one.forecast <= one.right.interval[1] for one in hopeful.levels)


def test_ends_belong_to_a_level_and_few_reviews_are_not_judged():
    found = calibration([0.0] * 15 + [1.0] * 15, [0] * 15 + [1] * 15)
    assert [(one.low, one.high) for one in found.levels] == [(0.0, 0.5), (0.95, 1.0)]
    assert (found.brier.value, found.skill) == (0, 1)
    assert calibration([0.9] * (LEAST_REVIEWS - 1), [1] * (LEAST_REVIEWS - 1)) is None
    assert calibration([0.9] * 30, [1] * 30).skill is None


def test_what_does_not_fit_together_is_refused():
    for said, came, edges in (
        ([1.1], [1], EDGES), ([0.5], [0.5], EDGES), ([0.5], [1, 0], EDGES), ([0.5], [1], (0, 0.5)),
        ([0.5], [1], (0, 0.6, 0.5, 1)), ([0.5], [1], (0.1, 1)),
    ):  # fmt: skip
        with pytest.raises(BadInput):
            calibration(said, came, edges)
