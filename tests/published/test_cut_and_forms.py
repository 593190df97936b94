"""Cut of a panel, curves of forms, chances of tries: figures worked out apart from the program, with other tools.

The methods are published (Angoff; McGraw and Wong's ICC; Lord and Wingersky's recursion; the Rasch model; the binomial
distribution); the methods' texts are from memory. The figures are computed ones: no printed table stands behind them.
"""

from itertools import product
from math import comb, exp

import numpy as np
import pytest
from scipy import integrate, stats
from scipy.optimize import brentq

from trainer.exams import curves, overlap, panel, retakes

# Five judges by ten items, made up for the check; mean, SD and SE worked with a calculator's formulas, agreement with
# the program pingouin (ICC2 and ICC2k).
PANEL = [
    [0.80, 0.70, 0.55, 0.90, 0.65, 0.75, 0.60, 0.85, 0.50, 0.70],
    [0.75, 0.65, 0.60, 0.85, 0.70, 0.80, 0.55, 0.90, 0.45, 0.75],
    [0.85, 0.75, 0.50, 0.95, 0.60, 0.70, 0.65, 0.80, 0.55, 0.65],
    [0.70, 0.60, 0.65, 0.85, 0.75, 0.75, 0.50, 0.85, 0.40, 0.70],
    [0.80, 0.75, 0.55, 0.90, 0.60, 0.80, 0.60, 0.90, 0.50, 0.75],
]
A, B, C = (-1, -0.5, 0, 0.5, 1), (-0.9, -0.6, 0, 0.4, 1.1), (-0.5, 0, 0.5, 1, 1.5)


def form(places, spread=0.0):
    return [curves.Difficulty(place, spread) for place in places]


def chances(places, theta):
    return [curves.chance_right(one, theta) for one in form(places)]


def test_the_cut_of_a_panel():
    found = panel.study(PANEL)
    assert found.sums == pytest.approx([7.00, 7.00, 7.00, 6.75, 7.15])
    assert (found.cut, found.sd, found.se) == pytest.approx((6.98, 0.144049, 0.064420), abs=1e-6)
    assert found.pass_mark == 7


def test_the_agreement_of_a_panel():
    found = panel.study(PANEL)
    assert (found.single, found.mean) == pytest.approx((0.852183, 0.966472), abs=1e-5)
    # The same from a table of variance by numpy, and k raters stepped up from one (Spearman and Brown hold for absolute
    # agreement too, McGraw and Wong 1996).
    assert found.mean == pytest.approx(5 * found.single / (1 + 4 * found.single), abs=1e-12)


def test_the_curve_of_a_form():
    assert [curves.expected_score(form(one), 0.5) for one in (A, B, C)] == pytest.approx(
        [3.048633, 3.054226, 2.5], abs=1e-6
    )
    assert [curves.spread_of_score(form(one), 0.5) for one in (A, B, C)] == pytest.approx(
        [1.032359, 1.029183, 1.055098], abs=1e-6
    )


def test_the_chance_to_pass_a_form():
    found = [curves.pass_chance(chances(one, 0.5), (), 4) for one in (A, B, C)]
    assert found == pytest.approx([0.340354, 0.342378, 0.169603], abs=1e-5)
    for places, chance in zip((A, B, C), found, strict=True):
        p = chances(places, 0.5)
        whole = sum(
            np.prod([q if x else 1 - q for x, q in zip(marks, p, strict=True)])
            for marks in product((0, 1), repeat=5)
            if sum(marks) >= 4
        )
        assert chance == pytest.approx(whole, abs=1e-12)
    # A score of 3.5 on A, at the same place on the scale, is 3.502200 on B and 2.989812 on C.
    theta = brentq(lambda at: curves.expected_score(form(A), at) - 3.5, -5, 5)
    assert [curves.expected_score(form(one), theta) for one in (B, C)] == pytest.approx(
        [3.502200, 2.989812], abs=1e-5
    )


@pytest.mark.parametrize(
    ("spread", "expected"), [(0, 0.731059), (0.25, 0.728278), (0.5, 0.720581), (1, 0.696735)]
)
def test_a_family_flattens_the_curve(spread, expected):
    found = curves.chance_right(curves.Difficulty(0, spread), 1)
    assert found == pytest.approx(expected, abs=1e-6)
    if spread:
        adaptive, _ = integrate.quad(lambda b: stats.norm.pdf(b, 0, spread) / (1 + exp(b - 1)), -8, 8)
        assert found == pytest.approx(adaptive, abs=1e-6)


def test_equal_items_are_binomial():
    for cut in range(13):
        found = curves.pass_chance([0.7] * 12, (), cut)
        assert found == pytest.approx(stats.binom.sf(cut - 1, 12, 0.7), abs=1e-12)


def test_critical_items_must_all_be_right():
    found = curves.pass_chance([0.7] * 10, [0.9] * 4, 11)
    assert found == pytest.approx(0.9**4 * stats.binom.sf(6, 10, 0.7), abs=1e-12)


def test_errors_of_a_fixed_form():
    # Binomial, 20 questions of which 16 pass, and 40 of which 32 pass; also by scipy.
    found = [retakes.chance_to_pass(p, 20, 16) for p in (0.6, 0.7)] + [
        1 - retakes.chance_to_pass(0.9, 20, 16)
    ]
    assert found == pytest.approx([0.050952, 0.237508, 0.043174], abs=1e-6)
    found = [retakes.chance_to_pass(p, 40, 32) for p in (0.6, 0.7)] + [
        1 - retakes.chance_to_pass(0.9, 40, 32)
    ]
    assert found == pytest.approx([0.006065, 0.111009, 0.015495], abs=1e-6)
    assert retakes.chance_to_pass(0.37, 25, 9) == pytest.approx(stats.binom.sf(8, 25, 0.37), abs=1e-12)
    assert retakes.chance_to_pass(0.5, 4, 0) == 1 and comb(4, 0) == 1


def test_tries_raise_a_false_pass():
    found = [retakes.passes_once(0.0433, tries) for tries in (1, 2, 3, 5)]
    assert found == pytest.approx([0.0433, 0.0847, 0.1244, 0.1985], abs=1e-4)


def test_the_overlap_of_forms():
    rates = [0.5] * 20 + [0.125] * 80
    assert overlap.mean_overlap(rates) == pytest.approx(0.3125, abs=1e-12)
    n, length = len(rates), sum(rates)
    assert overlap.mean_overlap(rates) == pytest.approx(n / length * np.var(rates) + length / n, abs=1e-12)
    assert overlap.mean_overlap([0.2] * 100) == pytest.approx(0.2, abs=1e-12)
