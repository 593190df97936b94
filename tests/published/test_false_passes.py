"""Simulated sittings against the binomial distribution: false passes of a fixed form, and what tries make of them.

The distribution is scipy's; the figures noted beside it were computed apart from the program. Each simulated share of
40,000 people must lie within four standard errors of the exact one (one in 16,000 falls outside by chance; the seeds
are fixed).
"""

import numpy as np
import pytest
from scipy import optimize, stats

from trainer.statistics.simulating import (
    Forms,
    Sat,
    Share,
    after_tries,
    margins,
    near_the_border,
    passed,
    sit,
)

PEOPLE = 40_000


def form(items, cut, chance, critical=0):
    """One form of equal items without spread; the first `critical` of them stand in a critical area."""
    area = np.zeros((1, items), dtype=int)
    area[0, :critical] = 1
    return Forms(
        place=np.full((1, items), -np.log(chance / (1 - chance))), spread=np.zeros((1, items)),
        skill=np.zeros((1, items), dtype=int), area=area, critical=np.array([False, True]), cut=cut,
    )  # fmt: skip


def share_passed(forms, seed, theta=0.0, people=PEOPLE):
    which = np.zeros(people, dtype=int)
    right = sit(np.full((people, 1), theta), forms, which, np.random.default_rng(seed))
    return passed(right, forms, which)


def near(found, exact, people=PEOPLE):
    return abs(found - exact) < 4 * np.sqrt(exact * (1 - exact) / people)


@pytest.mark.parametrize(
    ("items", "cut", "share", "expected"),
    [
        (20, 16, 0.6, 0.050952), (20, 16, 0.7, 0.237508), (20, 16, 0.9, 1 - 0.043174),
        (40, 32, 0.6, 0.006065), (40, 32, 0.7, 0.111009), (40, 32, 0.9, 1 - 0.015495),
    ],
)  # fmt: skip
def test_c21_errors_of_a_fixed_form(items, cut, share, expected):
    assert stats.binom.sf(cut - 1, items, share) == pytest.approx(expected, abs=1e-6)
    assert near(share_passed(form(items, cut, share), 1).mean(), expected)


def test_critical_items_must_all_be_right():
    exact = 0.9**4 * stats.binom.sf(11, 16, 0.9)
    assert near(share_passed(form(20, 16, 0.9, critical=4), 2).mean(), exact)


def test_c20_tries_raise_a_false_pass():
    """Somebody who passes a form with the chance 0.0433, about six items in ten; nobody learns in between."""
    share = optimize.brentq(lambda p: stats.binom.sf(15, 20, p) - 0.0433, 0.3, 0.9)
    tries = np.array([share_passed(form(20, 16, share), seed) for seed in range(5)])
    found = after_tries(Sat(np.full(tries.shape, -0.1), tries & (np.cumsum(tries, axis=0) == tries)))
    for k, noted in ((1, 0.0433), (2, 0.0847), (3, 0.1244), (5, 0.1985)):
        assert 1 - (1 - 0.0433) ** k == pytest.approx(noted, abs=1e-4)
        assert near(found[k - 1].false_pass.value, noted)


def test_instances_that_spread_lower_the_chance_as_the_curve_of_the_family_says():
    """Theta 1 above a family that spreads by 1: 0.696735 an item, by Gauss-Hermite and by the trapezoid rule."""
    forms = form(1, 1, 0.5)
    wide = Forms(forms.place, np.ones((1, 1)), forms.skill, forms.area, forms.critical, forms.cut)
    assert near(share_passed(wide, 3, theta=1.0).mean(), 0.696735)


def test_c19_wilsons_interval():
    # statsmodels gives the same for 14 of 20.
    assert Share(14, 20).interval == pytest.approx((0.481027, 0.854523), abs=1e-6)
    assert (Share(0, 20).interval[0], Share(20, 20).interval[1]) == (0, 1)
    assert Share(3, 0).interval == (0, 1) and Share(0, 0).value is None


def test_a_margin_is_the_least_of_several_means():
    places = np.array([[1.0, -1, 3], [0.5, 0.5, -2]])
    assert margins(places, np.array([[1.0, 1, 1], [2, 0, 0]])) == pytest.approx([1.0, -1 / 3])
    assert margins(places, np.array([[1.0, 3, 0]])) == pytest.approx([-0.5, 0.5])


def test_shares_are_counted_by_hand():
    """Five people, two tries: one passes second, never up to it, one who learned it; one up to it fails."""
    margin = np.array([[-0.4, -0.4, 0.3, 0.3, 0.7], [-0.3, 0.1, np.nan, 0.4, np.nan]])
    first, second = [False, False, True, False, True], [True, True, False, False, False]
    found = after_tries(Sat(margin, np.array([first, second])))
    assert [(one.false_pass.count, one.false_pass.of) for one in found] == [(0, 2), (1, 2)]
    assert [(one.false_fail.count, one.false_fail.of) for one in found] == [(1, 3), (1, 3)]
    assert [(one.among_passed.count, one.among_passed.of) for one in found] == [(0, 2), (1, 4)]
    bands = near_the_border(Sat(margin, np.array([first, second])))
    assert [(one.at_once.count, one.in_the_end.count, one.at_once.of) for one in bands] == [
        (0, 0, 0), (0, 2, 2), (1, 1, 2), (1, 1, 1),
    ]  # fmt: skip
