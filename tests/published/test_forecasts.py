"""Means and forecasts: Brier's score by a worked example, Student's t and intervals by scipy."""

import pytest
from scipy import stats

from trainer.statistics.forgetting import calibration
from trainer.statistics.means import mean_of, t_quantile, t_tails


def test_c39_brier_and_its_parts():
    """Ten forecasts, computed by hand and with scikit-learn; three times over, so that they are enough."""
    said = [0.9, 0.9, 0.6, 0.6, 0.3, 1, 0.5, 0.7, 0.7, 0.9] * 3
    came = [1, 1, 1, 0, 0, 1, 0, 1, 0, 1] * 3
    found = calibration(said, came, edges=(0, 0.4, 0.55, 0.65, 0.8, 0.95, 1))
    assert found.brier.value == pytest.approx(0.147, abs=1e-12)
    parts = found.reliability, found.resolution, found.uncertainty
    assert parts == pytest.approx((0.047, 0.140, 0.240), abs=1e-12)
    assert (found.within, found.bias.value, found.skill) == pytest.approx((0, 0.11, 0.3875), abs=1e-12)


@pytest.mark.parametrize("df", [1, 2, 3, 4, 7, 10, 61, 1000])
def test_students_t_is_that_of_scipy(df):
    for t in (0.0, 0.3, 1.0, 2.5, 12.0):
        assert t_tails(t, df) == pytest.approx(2 * stats.t.sf(t, df), abs=1e-12)
    for chance in (0.5, 0.05, 0.001):
        assert t_quantile(chance, df) == pytest.approx(stats.t.isf(chance / 2, df), rel=1e-8)


def test_the_interval_of_a_mean_is_that_of_scipy():
    values = [0.1, 0.4, -0.2, 0.3, 0.9, 0.0]
    found = mean_of(values)
    theirs = stats.ttest_1samp(values, 0).confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high))
