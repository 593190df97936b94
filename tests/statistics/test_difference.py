"""Differences between groups and periods: symmetry, small numbers, refusals. Published values: tests/published."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from trainer.solver.numbers import BadInput
from trainer.statistics.difference import LEAST_A_GROUP, drift, exposure, overlap, strata, two_groups
from trainer.statistics.families import FamilyPlace

TABLES = arrays.arrays(
    np.int64, st.tuples(st.integers(1, 6), st.just(2), st.just(2)), elements=st.integers(1, 90)
)


@given(TABLES, st.randoms())
def test_levels_in_any_order_and_groups_that_change_places(tables, random):
    found = two_groups(tables)
    order = random.sample(range(len(tables)), len(tables))
    assert two_groups(tables[order]).odds == pytest.approx(found.odds)
    swapped = two_groups(tables[:, ::-1])
    assert swapped.delta == pytest.approx(-found.delta, abs=1e-9)
    assert (swapped.chance, swapped.size) == (pytest.approx(found.chance, abs=1e-9), found.size)


@given(TABLES)
def test_a_level_with_one_group_alone_adds_nothing(tables):
    alone = np.array([[[30, 12], [0, 0]]])
    assert two_groups(np.concatenate([tables, alone])) == two_groups(tables)


def test_the_size_of_a_difference():
    def size(reference, focal, people):
        return two_groups([[[reference, people - reference], [focal, people - focal]]]).size

    assert size(800, 800, 1000) == "A"
    assert size(80, 72, 100) == "A"  # beyond 1, but not surely off 0
    assert size(800, 720, 1000) == "B"
    assert size(85, 70, 100) == "B"  # beyond 1.5, but not surely beyond 1
    assert size(800, 600, 1000) == "C"
    assert size(80, 40, LEAST_A_GROUP) == "C"
    assert size(80, 40, LEAST_A_GROUP - 1) is None


def test_groups_that_never_differ_within_a_level_cannot_be_compared():
    assert two_groups([[[10, 0], [12, 0]]]) is None
    assert two_groups([[[10, 0], [8, 4]]]) is None and two_groups([[[8, 4], [10, 0]]]) is None
    assert two_groups([[[10, 3], [0, 0]], [[0, 0], [5, 5]]]) is None


def test_strata_count_people_by_their_score():
    found = strata([1, 0, 1, 1, 0], [3, 3, 5, 3, 5], [False, False, True, True, True])
    assert found.tolist() == [[[1, 1], [1, 0]], [[0, 0], [1, 1]]]


def test_people_who_know_as_much_answer_alike_though_one_group_knows_less():
    """The focal group stands a logit lower; the question is the same. Crude odds differ, matched ones do not."""
    rng, people = np.random.default_rng(11), 4000
    focal = np.arange(people) % 2 == 1
    theta = rng.normal(size=people) - focal
    answers = rng.random((people, 20)) < 1 / (1 + np.exp(np.linspace(-2, 2, 20) - theta[:, None]))
    found = two_groups(strata(answers[:, 9], answers.sum(axis=1), focal))
    assert found.size == "A" and found.low < 0 < found.high
    crude = two_groups(strata(answers[:, 9], np.zeros(people), focal))
    assert crude.size == "C"


def place(at, source="answers", error=0.2):
    return FamilyPlace(at, error, 50, source)


def test_one_family_that_became_harder_is_found_and_the_scale_may_move_as_a_whole():
    before = [place(at) for at in (-1.0, 0.0, 0.5, 1.0, 2.0)]
    after = [place(one.place + 0.3 + (1.5 if number == 1 else 0)) for number, one in enumerate(before)]
    found = drift(before, after)
    assert [one.moved for one in found] == pytest.approx([0, 1.5, 0, 0, 0])
    reach = 1.959964 * np.hypot(0.2, 0.2)
    assert (found[1].low, found[1].high) == pytest.approx((1.5 - reach, 1.5 + reach), abs=1e-6)
    assert found[1].chance < 1e-6 < 0.9 < found[0].chance


def test_a_belief_does_not_drift_and_few_others_hold_no_scale():
    before = [place(0), place(0, "prior"), place(0), place(0), place(0)]
    found = drift(before, [place(1.0), *[place(0)] * 4])
    assert found[1] is None and found[0].moved == 1.0
    assert drift(before[:3], [place(0)] * 3) == (None, None, None)


def test_what_does_not_fit_together_is_refused():
    for call in (
        lambda: two_groups([[1, 2], [3, 4]]), lambda: two_groups([[[1, -2], [3, 4]]]),
        lambda: strata([1, 0], [3], [True, False]), lambda: strata([2], [3], [True]),
        lambda: drift([place(0)], []), lambda: exposure([]), lambda: overlap([0, 0]), lambda: overlap([1.2]),
    ):  # fmt: skip
        with pytest.raises(BadInput):
            call()
