"""Agreement of two observers, against printed examples, another road to the same variance, and simulation."""

import random
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.certificates.agreement import (
    LEAST,
    Agreement,
    Twice,
    agreement_report,
    kappa,
    kappa_error,
    step_agreement,
    whole_agreement,
)

TABLES = st.integers(2, 4).flatmap(
    lambda size: st.lists(
        st.lists(st.integers(0, 30), min_size=size, max_size=size), min_size=size, max_size=size
    )
)


def test_kappa_and_its_error_agree_with_a_printed_example():
    # statsmodels, stats/tests/test_inter_rater.py, `UnweightedCohens`: its check against a printout of SAS,
    # "Simple Kappa Coefficient": kappa 0.4842, ASE 0.1380, 95 % limits 0.2137 and 0.7547.
    table = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
    value, error = kappa(table), kappa_error(table)
    assert (round(value, 4), round(error, 4)) == (0.4842, 0.1380)
    assert round(value - 1.959964 * error, 4) == 0.2137
    assert round(value + 1.959964 * error, 4) == 0.7547


def test_kappa_agrees_with_another_package():
    # statsmodels, the same file, `test_cohens_kappa_irr`: R, package irr, kappa2(anxiety[,2:3]): -0.006289308.
    rows = [
        3, 3, 3, 4, 5, 5, 2, 3, 5, 2, 2, 6, 1, 5, 2, 2, 1, 2, 4, 3, 3, 6, 4, 6, 2, 4, 2, 4, 3, 3, 2, 3, 3, 3, 2, 2, 1,
        3, 3, 4, 2, 1, 4, 4, 3, 2, 1, 6, 1, 1, 1, 2, 3, 3, 1, 1, 3, 3, 2, 2,
    ]  # fmt: skip
    second, third = rows[20:40], rows[40:60]
    table = [[0] * 6 for _ in range(6)]
    for one, other in zip(second, third, strict=True):
        table[one - 1][other - 1] += 1
    assert kappa(table) == pytest.approx(-0.006289308, abs=5e-10)


def delta_method(table):
    """The same error by another road: derivatives taken numerically, and the covariance of a multinomial."""
    cells = [count for row in table for count in row]
    n, size = sum(cells), len(table)

    def at(p):
        square = [p[i * size : (i + 1) * size] for i in range(size)]
        same = sum(square[i][i] for i in range(size))
        by_chance = sum(sum(square[i]) * sum(row[i] for row in square) for i in range(size))
        return (same - by_chance) / (1 - by_chance)

    p, h = [one / n for one in cells], 1e-6
    slopes = []
    for k in range(len(p)):
        up, down = list(p), list(p)
        up[k], down[k] = up[k] + h, down[k] - h
        slopes.append((at(up) - at(down)) / (2 * h))
    mean = sum(a * b for a, b in zip(p, slopes, strict=True))
    return sqrt(max(0.0, sum(a * b * b for a, b in zip(p, slopes, strict=True)) - mean**2) / n)


@given(TABLES)
def test_the_error_is_that_of_the_delta_method(table):
    value = kappa(table)
    n = sum(map(sum, table))
    chance = sum(sum(table[i]) * sum(row[i] for row in table) for i in range(len(table)))
    if value is None:
        assert n == 0 or chance == n * n
        assert kappa_error(table) is None
    elif chance < 0.9 * n * n:
        # Near full chance agreement the numerical derivative is no oracle.
        assert kappa_error(table) == pytest.approx(delta_method(table), rel=1e-3, abs=2e-5)
        assert -1 <= value <= 1


@given(TABLES)
def test_exchanging_the_observers_changes_nothing(table):
    turned = [list(column) for column in zip(*table, strict=True)]
    assert kappa(turned) == (None if kappa(table) is None else pytest.approx(kappa(table)))
    assert kappa_error(turned) == (None if kappa_error(table) is None else pytest.approx(kappa_error(table)))


def twice(count, marks):
    """So many practicals, each with its marks made from its number."""
    return [Twice(str(number), marks(number)) for number in range(count)]


def test_perfect_agreement_is_one_and_a_constant_cannot_be_told_from_chance():
    both = twice(LEAST, lambda number: {"a": (number % 2 == 0,) * 2, "b": (True, True)})
    assert step_agreement(both, "a") == Agreement(LEAST, LEAST, 1.0, 1.0, 1.0)
    assert step_agreement(both, "b") == Agreement(LEAST, LEAST)
    assert step_agreement(both, "b").share == 1.0


def test_below_the_stated_number_only_the_share_is_told():
    few = twice(LEAST - 1, lambda number: {"a": (number % 2 == 0, number % 3 == 0)})
    found = step_agreement(few, "a")
    assert (found.kappa, found.low, found.high) == (None, None, None)
    assert found.share == pytest.approx(found.same / (LEAST - 1))
    assert whole_agreement(few).kappa is None
    assert step_agreement([], "a").share is None


def test_the_report_counts_what_was_asked_and_what_is_missing():
    both = twice(3, lambda number: {"a": (True, number > 0)})
    report = agreement_report(both, ["a", "gone"], missing=2)
    assert (report.asked, report.missing, report.twice) == (5, 2, 3)
    assert (report.steps["a"].seen, report.steps["a"].same) == (3, 2)
    assert report.steps["gone"] == Agreement(0, 0)


def observe(chance, practicals, steps):
    """Practicals whose steps hang together: a good or a poor day, and two observers who each misread one in ten."""
    found = []
    for number in range(practicals):
        good = 0.95 if chance.random() < 0.7 else 0.35
        truth = [chance.random() < good for _ in range(steps)]
        seen = [tuple(one if chance.random() < 0.9 else not one for _ in range(2)) for one in truth]
        found.append(Twice(str(number), {str(step): pair for step, pair in enumerate(seen)}))
    return found


def test_the_interval_of_the_whole_holds_the_true_kappa_about_as_often_as_it_says():
    # The truth comes from one very large draw of the same model, so it owes nothing to the interval.
    truth = whole_agreement(observe(random.Random(1), 4000, 8)).kappa
    held = 0
    for seed in range(200):
        found = whole_agreement(observe(random.Random(1000 + seed), 40, 8))
        held += found.low <= truth <= found.high
    # 95 % of 200 is 190 with a standard deviation of 3; a jackknife of 40 practicals errs by a few per cent more.
    assert 178 <= held <= 199
