"""Families: places with few answers, spread of instances, likeness of counts."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.families import LEAST_ANSWERS, Prior, family_places, response
from trainer.statistics.likeness import equivalence, homogeneity
from trainer.statistics.rasch import fit_rasch
from trainer.statistics.spread import WIDEST, family_spread

PRIORS = [Prior(0.85, 10), Prior(0.75, 10), Prior(0.75, 10), Prior(0.65, 10)]


def made_up(people, b, seed=1, asked=1.0, mean=0.0):
    rng = np.random.default_rng(seed)
    theta = mean + rng.normal(size=(people, 1))
    answers = (rng.random((people, len(b))) < 1 / (1 + np.exp(np.array(b) - theta))).astype(float)
    answers[rng.random(answers.shape) >= asked] = np.nan
    return answers


def test_without_answers_every_family_is_as_believed():
    sure = [Prior(one.chance, 1000) for one in PRIORS]
    found = family_places(np.full((3, 4), np.nan), sure)
    assert [one.source for one in found] == ["prior"] * 4 and [one.answers for one in found] == [0] * 4
    assert [one.place for one in found] == pytest.approx(
        [-np.log(p / (1 - p)) for p in (0.85, 0.75, 0.75, 0.65)], abs=0.01
    )
    assert found[0].place < found[1].place == found[2].place < found[3].place


def test_a_family_with_few_answers_says_what_is_believed_and_says_so():
    data = made_up(400, [-1, 0, 0.5, 1])
    data[25:, 2] = np.nan
    found = family_places(data, PRIORS)
    assert [one.source for one in found] == ["answers", "answers", "prior", "answers"]
    assert found[2].answers < LEAST_ANSWERS
    assert (found[2].place, found[2].error) == PRIORS[2].place_and_error
    assert all(
        one.error < other.place_and_error[1]
        for one, other in zip(found, PRIORS, strict=True)
        if one.answers > 30
    )


def test_answers_outweigh_belief_as_they_come():
    """The differences of the places come to those of the plain fit; the belief keeps the scale where it was."""
    wrong = [Prior(0.5, 10)] * 4
    gaps = []
    for people in (60, 600, 6000):
        data = made_up(people, [-1.5, -0.5, 0.5, 1.5])
        plain, held = fit_rasch(data), np.array([one.place for one in family_places(data, wrong)])
        gaps.append(np.abs(held - held.mean() - plain.difficulties).max())
        assert held.mean() == pytest.approx(0, abs=1e-6)
    assert gaps[0] > gaps[1] > gaps[2] and gaps[2] < 0.01


def test_answers_that_fix_nothing_by_themselves_are_no_obstacle():
    data = np.array(
        [[1, 1, 0, np.nan], [1, 0, 1, np.nan]] * 40
    )  # nobody has the first wrong, nobody saw the last
    found = family_places(data, PRIORS)
    assert found[0].place < PRIORS[0].place_and_error[0]
    assert found[3].source == "prior"
    assert all(np.isfinite([one.place, one.error]).all() for one in found)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=15, deadline=None)
def test_the_order_of_people_and_families_goes_through(seed):
    data, rng = made_up(120, [-1, 0, 0.5, 1], seed, 0.7), np.random.default_rng(seed)
    order = rng.permutation(4)
    found = family_places(data, PRIORS)
    moved = family_places(rng.permutation(data)[:, order], [PRIORS[one] for one in order])
    assert [one.place for one in moved] == pytest.approx([found[one].place for one in order], abs=1e-7)
    assert [one.source for one in moved] == [found[one].source for one in order]


@pytest.mark.parametrize(
    ("chance", "weight"), [(0, 10), (1, 10), (0.5, 0), (0.5, -1), (np.nan, 1), (0.5, np.inf)]
)
def test_refuses_a_belief_that_is_none(chance, weight):
    with pytest.raises(BadInput, match="prior"):
        Prior(chance, weight)


def test_refuses_beliefs_that_do_not_match():
    with pytest.raises(BadInput, match="priors"):
        family_places(np.full((3, 4), np.nan), PRIORS[:3])


def test_a_wider_spread_flattens_the_curve():
    theta = np.linspace(-3, 3, 13)
    curves = response(theta, 0.0, np.array([[0.0], [0.5], [1.0]]))
    assert (np.diff(np.abs(curves - 0.5), axis=0)[:, np.abs(theta) > 0.1] < 0).all()
    assert curves[:, 6] == pytest.approx(0.5)
    assert curves + curves[:, ::-1] == pytest.approx(np.ones((3, 13)))


def answered(spread, seed, instances=40, each=30):
    rng = np.random.default_rng(seed)
    instance, theta = np.repeat(np.arange(instances), each), rng.normal(size=instances * each)
    b = 0.5 + spread * rng.normal(size=instances)
    return instance, theta, (rng.random(len(theta)) < 1 / (1 + np.exp(b[instance] - theta))).astype(float)


def test_the_interval_of_the_spread_holds_the_truth_as_often_as_it_says():
    """0.6 in 60 made-up families: 95 % of intervals, within three errors of a share of 60."""
    found = [family_spread(*answered(0.6, seed, 20, 15)) for seed in range(60)]
    held = np.mean([one.low <= 0.6 <= one.high for one in found])
    assert held >= 0.95 - 3 * np.sqrt(0.95 * 0.05 / 60)


def test_a_spread_is_seen_in_forty_instances_of_thirty_answers():
    assert all(family_spread(*answered(0.6, seed)).p < 0.05 for seed in range(5))


def test_a_family_without_spread_is_seldom_called_one_with():
    p = np.array([family_spread(*answered(0, seed, 20, 15)).p for seed in range(60)])
    assert (p < 0.05).mean() <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / 60)
    assert (p == 1).any()  # at its bound: no spread is likelier than none


def test_instances_answered_once_say_nothing_of_the_spread():
    rng = np.random.default_rng(3)
    theta = rng.normal(size=200)
    found = family_spread(np.arange(200), theta, rng.random(200) < 1 / (1 + np.exp(-theta)))
    assert found.low == 0 and found.high > 1


def test_the_order_of_answers_changes_nothing():
    instance, theta, right = answered(0.6, 4)
    order = np.random.default_rng(4).permutation(len(right))
    one, other = (
        family_spread(instance, theta, right),
        family_spread(instance[order] * 7, theta[order], right[order]),
    )
    assert (one.place, one.spread, one.gain) == pytest.approx(
        (other.place, other.spread, other.gain), abs=1e-4
    )
    turned = family_spread(instance, -theta, 1 - right)
    assert (turned.place, turned.spread) == pytest.approx((-one.place, one.spread), abs=1e-4)
    assert 0 < one.low < one.spread < one.high < WIDEST


@pytest.mark.parametrize(
    ("instance", "theta", "right"),
    [
        ([0, 0], [0, 0], [1, 0]),
        ([0, 1], [0, 0], [1, 1]),
        ([0, 1], [0, np.nan], [1, 0]),
        ([0, 1, 2], [0, 0], [1, 0]),
        ([0, 1], [0, 0], [1, 0.5]),
    ],
    ids=["one instance", "all right", "no place", "not as many", "half right"],
)
def test_refuses_answers_without_a_spread(instance, theta, right):
    with pytest.raises(BadInput, match="right"):
        family_spread(instance, theta, right)


counts = st.lists(st.tuples(st.integers(0, 30), st.integers(1, 30)), min_size=2, max_size=8).map(
    lambda pairs: ([min(pair) for pair in pairs], [max(pair) for pair in pairs])
)


@given(counts)
@settings(max_examples=100, deadline=None)
def test_homogeneity_is_bounded_and_turns_over(pair):
    right, asked = np.array(pair[0]), np.array(pair[1])
    found, turned = homogeneity(right, asked), homogeneity(asked - right, asked)
    assert 0 <= found.p <= 1 and found.statistic >= 0
    assert found.statistic == pytest.approx(turned.statistic, abs=1e-9)
    same = homogeneity([right[0], right[0]], [asked[0], asked[0]])
    assert (same.statistic, same.p) == pytest.approx((0, 1))


def test_homogeneity_says_when_it_cannot_be_trusted():
    assert homogeneity([40, 45], [60, 60]).trusted
    assert not homogeneity([3, 2], [4, 4]).trusted
    assert homogeneity([4, 4], [4, 4]).p == 1 and not homogeneity([4, 4], [4, 4]).trusted


@given(st.integers(1, 39), st.integers(1, 39), st.floats(0.01, 0.3))
@settings(max_examples=100, deadline=None)
def test_equivalence_is_what_its_interval_says(one, other, margin):
    found = equivalence((one, other), (40, 40), margin)
    inside = -margin < found.low and found.high < margin
    assert found.equivalent == inside or abs(found.p - 0.05) < 1e-6
    turned = equivalence((other, one), (40, 40), margin)
    assert (turned.p, turned.low) == pytest.approx((found.p, -found.high))


@pytest.mark.parametrize(
    ("act", "name"),
    [
        (lambda: homogeneity([1], [2]), "right"),
        (lambda: homogeneity([3, 1], [2, 2]), "right"),
        (lambda: homogeneity([1, 1, 1], [2, 2]), "right"),
        (lambda: homogeneity([0, 0], [0, 2]), "asked"),
        (lambda: equivalence((40, 40), (40, 40), 0.1), "right"),
        (lambda: equivalence((20, 20), (40, 40), 0), "margin"),
    ],
)  # fmt: skip
def test_refuses_counts_that_are_none(act, name):
    with pytest.raises(BadInput) as refused:
        act()
    assert refused.value.name == name
