"""The Rasch model by conditional likelihood: LSAT-6 and LSAT-7, worked out with eRm 1.0-2 (R 4.2.2) and girth 0.8.0.

The data are published (tests/statistics/lsat.py); the estimates are computed ones, equal by both packages and by plain
numpy; Andersen's ratio by eRm alone. Asked for are all digits that were noted, not only three.
"""

import numpy as np
import pytest
from girth import rasch_conditional
from scipy import optimize, stats

from tests.statistics.lsat import LSAT_6, LSAT_7
from trainer.statistics.chi_square import chi_square_tail
from trainer.statistics.misfit import andersen_test, item_fit
from trainer.statistics.places import places, score_places
from trainer.statistics.rasch import fit_rasch

SIX = [-1.256128, 0.474906, 1.235984, 0.168411, -0.623172]
SEVEN = [-0.541470, 0.536546, -0.133583, 0.805166, -0.666659]


@pytest.mark.parametrize(
    ("data", "difficulties", "errors", "log_likelihood", "counted"),
    [
        (LSAT_6, SIX, [0.10441, 0.06992, 0.06878, 0.07262, 0.08592], -1091.5697, 699),
        (LSAT_7, SEVEN, [0.07917, 0.06796, 0.07313, 0.06746, 0.08152], -1182.6999, 680),
    ],
    ids=["LSAT-6", "LSAT-7"],
)
def test_c22_difficulties_and_errors(data, difficulties, errors, log_likelihood, counted):
    found = fit_rasch(data)
    assert found.difficulties == pytest.approx(difficulties, abs=1e-6)
    assert found.errors == pytest.approx(errors, abs=1e-5)
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=1e-4)
    assert (found.counted, found.extreme) == (counted, 1000 - counted)
    theirs = rasch_conditional(data.T.astype(int))["Difficulty"]
    # girth stops when a round of one-item searches moves nothing by 0.001.
    assert found.difficulties == pytest.approx(theirs, abs=1e-3)


@pytest.mark.parametrize(
    ("data", "expected"),
    [(LSAT_6, [-1.6015, -0.4743, 0.4809, 1.5999]), (LSAT_7, [-1.4861, -0.4426, 0.4363, 1.4870])],
    ids=["LSAT-6", "LSAT-7"],
)
def test_places_of_scores(data, expected):
    found = score_places(fit_rasch(data).difficulties)
    assert found.place[1:-1] == pytest.approx(expected, abs=1e-4)
    assert list(found.place[[0, -1]]) == [-np.inf, np.inf]


@pytest.mark.parametrize(
    ("data", "statistic", "p"), [(LSAT_6, 0.168, 0.997), (LSAT_7, 10.835, 0.028)], ids=["LSAT-6", "LSAT-7"]
)
def test_c23_andersens_test_lets_the_one_pass_and_finds_the_other(data, statistic, p):
    """LSAT-7 is known not to follow the model: a test that passed it would find nothing."""
    found = andersen_test(data, data.sum(axis=1) > 3)
    assert (found.statistic, found.p, found.df) == pytest.approx((statistic, p, 4), abs=1e-3)


def test_c25_fit_of_items():
    # eRm and plain numpy; with items by joint likelihood the same data give 0.984 to 1.015.
    found = item_fit(LSAT_6, fit_rasch(LSAT_6).difficulties)
    assert found.people == 699
    assert found.infit == pytest.approx([0.8277, 0.9680, 0.9728, 0.9541, 0.8953], abs=1e-4)
    assert found.outfit == pytest.approx([0.8008, 0.9577, 0.9494, 0.9438, 0.8721], abs=1e-4)


@pytest.mark.parametrize("df", [1, 2, 3, 4, 7, 10, 59, 200])
@pytest.mark.parametrize("statistic", [0.0, 0.01, 1.0, 10.835, 60.0, 250.0])
def test_the_tail_of_chi_square_is_scipys(df, statistic):
    assert chi_square_tail(statistic, df) == pytest.approx(
        stats.chi2.sf(statistic, df), rel=1e-10, abs=1e-300
    )


def test_weighted_places_are_where_scipy_finds_them():
    """Warm's estimate makes log likelihood plus half the log of the information largest: by scipy's own search."""
    b, asked = np.array([-1.5, -0.2, 0.1, 0.9, 2.0]), np.array([True, True, False, True, True])

    def less(theta, right):
        p = 1 / (1 + np.exp(b[asked] - theta))
        return -(right * theta - np.log1p(np.exp(theta - b[asked])).sum() + np.log((p * (1 - p)).sum()) / 2)

    for right in range(5):
        found = places(b, asked[None], [right], "weighted").place[0]
        best = optimize.minimize_scalar(
            less, args=(right,), bounds=(-9, 9), method="bounded", options={"xatol": 1e-9}
        )
        assert found == pytest.approx(best.x, abs=1e-6)
