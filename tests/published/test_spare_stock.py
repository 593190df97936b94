"""Spares for a lead time against a textbook problem, public worked cases and a table of the Poisson distribution."""

import numpy as np
import pytest
from scipy import stats

from trainer.solver.spares import compare_pooling, poisson_cdf, spares, stock_for

HOUR = 3600.0
# Barlow's problem in Trivedi, Probability and Statistics with Reliability, Queuing and Computer Science Applications,
# chapter 6: three parts, in use for 1300, 1500 and 1200 h, each failing 0.002 times an hour; enough with chance 0.90.
# The book sets the problem; the answers are worked here from the Poisson distribution.
HOURS = np.array([1300.0, 1500.0, 1200.0])
RATE = 0.002 / HOUR


def test_c125_one_drawer_for_all():
    assert spares(RATE, HOURS.sum() * HOUR, 0.90) == 12
    assert poisson_cdf(np.array([11, 12]), 8.0) == pytest.approx([0.888076, 0.936203], abs=1e-6)


def test_c126_a_drawer_for_each():
    found = compare_pooling(RATE * HOURS * HOUR, 0.90)
    assert found.separate == (6, 6, 5)
    assert (sum(found.separate), found.pooled) == (17, 12)
    # The product of the three chances, by scipy's distribution: 0.982830 · 0.966491 · 0.964327.
    assert found.separate_service == pytest.approx(0.916012, abs=1e-6)
    assert found.separate_service == pytest.approx(np.prod(stats.poisson.cdf([6, 6, 5], [2.6, 3.0, 2.4])))


@pytest.mark.parametrize(("life", "stock"), [(100_000, 3), (200_000, 2), (300_000, 1)])
def test_c127_forty_five_units_over_ninety_days(life, stock):
    # A public wiki on logistics poses 45 units for 90 days (2160 h) at mean lives of 100 000 to 300 000 h and 95 %. It
    # prints 3, 2 and 2 from a rounded-up normal approximation; the Poisson distribution itself gives 1 for the last.
    assert spares(45 / (life * HOUR), 2160 * HOUR, 0.95) == stock


def test_c128_twenty_parts_over_ninety_days():
    # 20 parts, 1e-4 failures an hour, 90 days: m = 4.32, 95 % (problem of a logistics text, from memory).
    assert spares(20 * 1e-4 / HOUR, 90 * 24 * HOUR, 0.95) == 8
    assert poisson_cdf(np.array([7, 8]), 4.32) == pytest.approx([0.92750, 0.967508], abs=1e-5)


def test_c129_table_of_the_distribution():
    # Any printed table of the cumulative Poisson distribution; scipy as an independent library.
    table = {
        1.0: [0.367879, 0.735759, 0.919699, 0.981012, 0.996340],
        0.5: [0.60653, 0.90980, 0.98561, 0.99825],
    }
    for mean, printed in table.items():
        counts = np.arange(len(printed))
        assert poisson_cdf(counts, mean) == pytest.approx(printed, abs=5e-6)
        assert poisson_cdf(counts, mean) == pytest.approx(stats.poisson.cdf(counts, mean), abs=1e-14)
    assert stock_for(1.0, 0.95) == 3
