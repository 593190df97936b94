"""Families of instances: figures worked out apart from the program, with scipy and statsmodels.

The methods are published (Pearson's test; Schuirmann's two one-sided tests; the related-siblings model of Glas and van
der Linden); their texts are from memory. No printed table
stands behind the figures.
"""

import numpy as np
import pytest
from scipy import integrate, optimize, special, stats

from trainer.statistics.families import response
from trainer.statistics.likeness import equivalence, homogeneity
from trainer.statistics.log_odds import log_odds_of_beta
from trainer.statistics.spread import family_spread


@pytest.mark.parametrize(
    ("right", "statistic", "p"),
    [([17, 15, 19, 12, 16], 8.0772, 0.0888), ([19, 18, 20, 8, 17], 31.5718, 2.3e-6)],
    ids=["keep", "split"],
)
def test_c33_homogeneity_of_a_family(right, statistic, p):
    found = homogeneity(right, [20] * 5)
    assert found.statistic == pytest.approx(statistic, abs=1e-4)
    assert found.p == pytest.approx(p, rel=0.02)
    theirs = stats.chi2_contingency([right, 20 - np.array(right)], correction=False)
    assert (found.statistic, found.p, found.df) == pytest.approx(
        (theirs.statistic, theirs.pvalue, theirs.dof)
    )
    assert found.least_expected == pytest.approx(theirs.expected_freq.min())


def test_c32_equivalence_of_two_forms():
    found = equivalence((172, 165), (200, 200), 0.10)
    assert (found.above, found.below, found.p) == pytest.approx((3.7103, -1.7864, 0.037014), abs=1e-4)
    assert (found.low, found.high) == pytest.approx((-0.02485, 0.09485), abs=1e-5)
    assert found.equivalent


@pytest.mark.parametrize(
    ("spread", "expected"), [(0, 0.731059), (0.25, 0.728278), (0.5, 0.720581), (1, 0.696735)]
)
def test_c34_the_curve_of_a_family(spread, expected):
    assert response(1.0, 0.0, spread) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("spread", [0.1, 0.4, 0.8])
@pytest.mark.parametrize("theta", [-3.0, 0.0, 2.5])
def test_the_curve_is_scipys_integral(theta, spread):
    whole, _ = integrate.quad(lambda b: stats.norm.pdf(b, 0.3, spread) * special.expit(theta - b), -9, 9)
    assert response(theta, 0.3, spread) == pytest.approx(whole, abs=1e-7)


@pytest.mark.parametrize(("a", "b"), [(0.3, 0.2), (1, 1), (8.5, 1.5), (60, 40), (1e4, 3)])
def test_log_odds_of_a_beta(a, b):
    mean, sd = log_odds_of_beta(a, b)
    assert mean == pytest.approx(special.digamma(a) - special.digamma(b), rel=1e-12, abs=1e-13)
    assert sd == pytest.approx(np.sqrt(special.polygamma(1, a) + special.polygamma(1, b)), rel=1e-12)


def test_the_spread_is_where_scipy_finds_it():
    """The same marginal likelihood by Simpson's rule on a fine grid, made largest by scipy's own search."""
    rng = np.random.default_rng(4)
    instance, theta = np.repeat(np.arange(12), 15), rng.normal(size=180)
    b = 0.4 + 0.8 * rng.normal(size=12)
    right = (rng.random(180) < special.expit(theta - b[instance])).astype(float)

    grid = np.linspace(-8, 9, 4001)
    marks = special.log_expit((2 * right - 1)[:, None] * (theta[:, None] - grid))
    of_instance = np.array([marks[instance == one].sum(axis=0) for one in range(12)])

    def less(at):
        whole = np.exp(of_instance) * stats.norm.pdf(grid, at[0], at[1])
        return -np.log(integrate.simpson(whole, x=grid)).sum()

    best = optimize.minimize(less, (0.3, 0.7), method="Nelder-Mead", options={"xatol": 1e-4, "fatol": 1e-7})
    found = family_spread(instance, theta, right)
    assert (found.place, found.spread) == pytest.approx(best.x, abs=1e-3)
    plain = -optimize.minimize_scalar(
        lambda b: -np.log(special.expit((2 * right - 1) * (theta - b))).sum(),
        bounds=(-3, 3),
        method="bounded",
    ).fun
    assert found.gain == pytest.approx(2 * (-best.fun - plain), abs=1e-3)
    for end in (found.low, found.high):
        at = optimize.minimize_scalar(
            lambda place, end=end: less((place, end)), bounds=(-0.5, 1.5), method="bounded"
        )
        assert 2 * (at.fun - best.fun) == pytest.approx(stats.chi2.isf(0.05, 1), abs=0.01)
