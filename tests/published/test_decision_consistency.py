"""Consistency of verdicts: published inputs, values computed apart from the program, and scipy's distributions.

The ECU set (10 people, 10 items) is that of East Carolina University's help file on KR-20. The methods are from memory;
each figure without another mark was computed for this program with scipy and by plain sums.
"""

import numpy as np
import pytest
from scipy import integrate, stats

from tests.statistics.lsat import LSAT_7
from trainer.statistics.consistency import (
    TrueShares,
    effective_length,
    huynh,
    livingston_lewis,
    livingston_lewis_of,
    peng_subkoviak,
    subkoviak,
)

ECU = [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
KR20, KR21, VARIANCE = 0.696347, 0.684170, 5.84


def test_c9_subkoviak():
    found = subkoviak(ECU, 10, 7, KR20)
    assert (found.agreement, found.kappa) == pytest.approx((0.707933, 0.394384), abs=1e-6)


def test_c10_peng_subkoviak():
    found = peng_subkoviak(6.6, np.sqrt(VARIANCE), 7, KR21)
    assert (found.agreement, found.kappa) == pytest.approx((0.740071, 0.479576), abs=1e-5)


@pytest.mark.parametrize(
    ("r", "agreement", "kappa"),
    [
        (0.1, 0.53188, 0.06377), (0.3, 0.59699, 0.19397), (0.5, 0.66667, 0.33333), (0.7, 0.74682, 0.49363),
        (0.9, 0.85643, 0.71287),
    ],
)  # fmt: skip
def test_c11_at_the_mean_the_closed_form_holds(r, agreement, kappa):
    found = peng_subkoviak(6.5, 2.0, 7, r)
    assert (found.agreement, found.kappa) == pytest.approx((agreement, kappa), abs=1e-5)
    assert found.agreement == pytest.approx(0.5 + np.arcsin(r) / np.pi, abs=1e-12)


@pytest.mark.parametrize("mean", [3.0, 6.5, 9.8])
@pytest.mark.parametrize("r", [0.05, 0.6, 0.97])
def test_the_bivariate_normal_is_that_of_scipy(mean, r):
    found, z = peng_subkoviak(mean, 2.0, 7, r), (6.5 - mean) / 2
    both = stats.multivariate_normal([0, 0], [[1, r], [r, 1]], abseps=1e-10, releps=1e-10).cdf([z, z])
    assert found.agreement == pytest.approx(1 - 2 * (stats.norm.cdf(z) - both), abs=1e-7)


def test_c12_huynh():
    found = huynh(6.6, 10, 7, KR21)
    assert (found.agreement, found.kappa) == pytest.approx((0.758446, 0.510307), abs=2e-6)
    assert 1 - found.passing == pytest.approx(0.442019, abs=1e-6)


@pytest.mark.parametrize(
    ("mean", "items", "cut", "r"), [(30.0, 40, 32, 0.8), (11.0, 12, 9, 0.2), (60.0, 80, 70, 0.05)]
)
def test_huynh_passes_as_many_as_scipys_beta_binomial(mean, items, cut, r):
    a = mean * (1 / r - 1)
    expected = stats.betabinom.sf(cut - 1, items, a, items / r - items - a)
    assert huynh(mean, items, cut, r).passing == pytest.approx(expected, abs=1e-9)


def test_c13_livingston_lewis_from_parameters():
    """The example of the R package betafunctions: Beta(5, 3) over 0.25 to 0.75, length 50, cut 25."""
    found = livingston_lewis(TrueShares(5, 3, 0.25, 0.75), 50, 25)
    assert (found.agreement, found.kappa) == pytest.approx((0.774991, 0.397886), abs=1e-6)
    assert (found.passing, found.accuracy) == pytest.approx((0.751298, 0.836981), abs=1e-6)


@pytest.mark.parametrize(
    ("a", "b", "length", "cut"),
    [
        (0.4, 0.3, 20, 16),
        (0.7, 9.0, 24, 19),
        (1 + 1e-13, 0.02, 24, 19),
        (2.5, 1.5, 10, 10),
        (900.0, 300.0, 40, 30),
        (2.0, 1.0, 150, 145),
    ],
)
def test_livingston_lewis_is_the_integral_that_scipy_finds(a, b, length, cut):
    true, split = stats.beta(a, b), cut / length

    def mean(value, low, high):
        # By the distribution's own quantiles, so that poles at the ends do no harm.
        edges = true.cdf([low, high])
        return integrate.quad(lambda u: value(true.ppf(u)), *edges, limit=500, epsabs=1e-10)[0]

    def passing(share):
        return stats.binom.sf(cut - 1, length, share)

    found = livingston_lewis(TrueShares(a, b), length, cut)
    assert found.passing == pytest.approx(mean(passing, 0, 1), abs=1e-6)
    right = mean(passing, split, 1) + mean(lambda share: 1 - passing(share), 0, split)
    assert found.accuracy == pytest.approx(right, abs=1e-6)
    alike = mean(lambda share: passing(share) ** 2 + (1 - passing(share)) ** 2, 0, 1)
    assert found.agreement == pytest.approx(alike, abs=1e-6)


def test_c13b_livingston_lewis_from_scores():
    """LSAT-7, cut 4, by alpha; betafunctions finds 0.683, 0.326, 0.703 with another rule of fit."""
    scores = LSAT_7.sum(axis=1)
    variance = scores.var(ddof=1)
    alpha = 5 / 4 * (1 - LSAT_7.var(axis=0, ddof=1).sum() / variance)
    assert alpha == pytest.approx(0.453409, abs=1e-6)
    assert effective_length(scores.mean(), variance, 5, alpha) == 5
    found = livingston_lewis_of(scores.mean(), variance, 5, 4, alpha)
    assert (found.agreement, found.kappa, found.accuracy) == pytest.approx((0.684, 0.327, 0.7036), abs=0.005)


def test_two_simulated_forms_agree_as_often_as_said():
    """40,000 people whose shares are Beta(6, 2) sit two forms of 24, 19 to pass; within four standard errors."""
    rng, n = np.random.default_rng(4), 40_000
    share = rng.beta(6, 2, n)
    first, second = (rng.binomial(24, share) >= 19 for _ in range(2))
    found = livingston_lewis(TrueShares(6, 2), 24, 19)
    for seen, said in (
        ((first == second).mean(), found.agreement),
        (first.mean(), found.passing),
        ((first == (share >= 19 / 24)).mean(), found.accuracy),
    ):
        assert abs(seen - said) < 4 * np.sqrt(said * (1 - said) / n)
