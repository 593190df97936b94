"""Differences between groups, and overlap of forms: values computed apart from the program, and by scipy."""

import numpy as np
import pytest
from scipy import stats

from trainer.statistics.difference import exposure, overlap, two_groups

# [reference right, wrong], [focal right, wrong] at three levels; the values were computed with statsmodels.
C29 = [[[40, 10], [35, 15]], [[60, 15], [50, 25]], [[30, 5], [28, 7]]]


def test_c29_mantel_haenszel():
    found = two_groups(C29)
    assert found.odds == pytest.approx(1.809524, abs=1e-6)
    assert found.delta == pytest.approx(-1.393700, abs=1e-6)
    assert found.chi_square == pytest.approx(4.371842, abs=1e-6)
    assert found.chance == pytest.approx(0.036537, abs=1e-6)
    assert (found.size, found.people) == ("B", (160, 160))


def test_of_one_table_the_odds_are_the_sample_odds_ratio_and_its_error_is_woolfs():
    """scipy's odds ratio and interval; with one table the formula of 1986 is 1/a + 1/b + 1/c + 1/d (Woolf 1955)."""
    table = np.array([[70, 30], [55, 45]])
    found, theirs = two_groups([table]), stats.contingency.odds_ratio(table, kind="sample")
    assert found.odds == pytest.approx(theirs.statistic)
    low, high = theirs.confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((-2.35 * np.log(high), -2.35 * np.log(low)))


def test_intervals_hold_the_truth_as_often_as_they_say():
    """2,000 simulated sets of 5 levels of 60 people, true odds 1.6: within four standard errors of 95 in 100."""
    rng, held = np.random.default_rng(7), 0
    logit = np.linspace(-1, 1.5, 5)
    for _ in range(2000):
        reference = rng.binomial(30, 1 / (1 + np.exp(-logit - np.log(1.6))))
        focal = rng.binomial(30, 1 / (1 + np.exp(-logit)))
        right = np.stack([reference, focal], axis=1)
        found = two_groups(np.stack([right, 30 - right], axis=2))
        held += found.low <= -2.35 * np.log(1.6) <= found.high
    assert abs(held / 2000 - 0.95) < 4 * np.sqrt(0.95 * 0.05 / 2000)


def test_c35_overlap():
    assert overlap([0.5] * 20 + [0.125] * 80) == pytest.approx(0.3125, abs=1e-12)
    assert overlap([0.2] * 100) == pytest.approx(0.2)


def test_overlap_is_what_pairs_of_drawn_forms_share():
    """1,000 forms of one of two families out of each of 10 pairs; the mean over pairs of forms counted one by one."""
    rng = np.random.default_rng(3)
    first = rng.random((1000, 10)) < 0.7
    forms = np.concatenate([first, ~first], axis=1).astype(int)
    together = forms @ forms.T
    pairs = together[np.triu_indices(1000, 1)].mean() / 10
    assert overlap(exposure(forms)) == pytest.approx(pairs, abs=0.001)
