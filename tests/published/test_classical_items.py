"""Item figures and reliability of published answers.

The teaching set of ten people and ten items, its sum of pq (2.18) and its variance (5.84) are of East Carolina
University's statistics help file "KR20", read. LSAT-6 and LSAT-7: see tests/statistics/lsat.py. The other values were
computed apart from the program (pingouin, the R package psych, or by hand) from these data.
"""

import numpy as np
import pytest

from tests.statistics.lsat import LSAT_6, LSAT_7
from trainer.statistics.items import item_statistics
from trainer.statistics.reliability import (
    alpha,
    alpha_interval,
    kr20,
    kr21,
    livingston,
    phi,
    standard_error,
    standard_error_at,
)

ROWS = """1111110110 1011011101 1111011001 0010001000 0000010010
1110111111 1101110111 1111111101 0101111101 1101101110"""
TEACHING = np.array([[int(mark) for mark in row] for row in ROWS.split()], float)


def test_the_teaching_set_is_the_one_that_the_help_file_prints():
    assert TEACHING.sum(axis=1).tolist() == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    share = TEACHING.mean(axis=0)
    assert (share * (1 - share)).sum() == pytest.approx(2.18)
    assert TEACHING.sum(axis=1).var() == pytest.approx(5.84)


def test_c1_and_c2_kr20_with_one_kind_of_variance_throughout():
    assert kr20(TEACHING) == pytest.approx(0.696347, abs=1e-6)
    assert kr20(TEACHING) != pytest.approx(0.737823, abs=1e-3)  # pq beside the variance of a sample


def test_c3_kr21():
    assert kr21(10, 6.6, 5.84) == pytest.approx(0.684170, abs=1e-6)


@pytest.mark.parametrize(("given", "expected"), [(TEACHING, 0.696), (LSAT_6, 0.294997), (LSAT_7, 0.453409)])
def test_c4_alpha(given, expected):
    assert alpha(given) == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize(
    ("given", "low", "high"), [(TEACHING, 0.309, 0.911), (LSAT_6, 0.223, 0.362), (LSAT_7, 0.398, 0.505)]
)
def test_c4_feldts_interval_of_alpha(given, low, high):
    assert alpha_interval(given) == pytest.approx((low, high), abs=1e-3)


@pytest.mark.parametrize(
    ("given", "shares", "rests"),
    [
        (LSAT_6, [0.924, 0.709, 0.553, 0.763, 0.870], [0.11283, 0.15318, 0.17278, 0.14443, 0.12160]),
        (LSAT_7, [0.828, 0.658, 0.772, 0.606, 0.843], [0.24573, 0.24667, 0.31318, 0.22275, 0.17479]),
    ],
)
def test_c5_and_c6_difficulty_and_corrected_item_total(given, shares, rests):
    found = item_statistics(given)
    assert [one.right.value for one in found] == pytest.approx(shares, abs=1e-9)
    assert [one.rest for one in found] == pytest.approx(rests, abs=1e-5)


def test_c7_standard_errors():
    assert standard_error(LSAT_7.sum(axis=1).std(ddof=1), alpha(LSAT_7)) == pytest.approx(0.886130, abs=1e-6)
    assert standard_error_at(7, 10) == pytest.approx(1.527525, abs=1e-6)
    assert standard_error_at(30, 40) == pytest.approx(2.773501, abs=1e-6)


def test_c8_indices_for_a_cut():
    scores = TEACHING.sum(axis=1)
    assert livingston(kr20(TEACHING), scores.mean(), scores.var(), 7, 10) == pytest.approx(0.704444, abs=1e-6)
    shares = scores / 10
    assert phi(10, shares.mean(), shares.var(), 0.7) == pytest.approx(0.692593, abs=1e-6)


@pytest.mark.parametrize(
    ("given", "expected"),
    [(LSAT_6, [0.1966, 0.6315, 0.8109, 0.5370, 0.3203]), (LSAT_7, [0.4330, 0.7198, 0.5816, 0.7421, 0.3754])],
)
def test_c16_best_less_weakest_with_ties_counted_alike(given, expected):
    assert [one.difference for one in item_statistics(given)] == pytest.approx(expected, abs=1e-4)


def test_c17_weak_items_show_only_without_themselves():
    rests = [one.rest for one in item_statistics(TEACHING)]
    assert [rests[at] for at in (2, 6, 8)] == pytest.approx([0.0, -0.0274, -0.1236], abs=1e-4)
