"""The Rasch fit: what must not change it, what it refuses, and its derivatives against plain enumeration."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from trainer.solver.numbers import BadInput
from trainer.statistics.patterns import patterns_of
from trainer.statistics.rasch import NotFitted, conditional_log_likelihood, fit_rasch, start, state
from trainer.statistics.symmetric import moments, score_shares


def made_up(people=300, items=6, seed=1, asked=1.0, spread=1.0):
    rng = np.random.default_rng(seed)
    theta, b = rng.normal(size=(people, 1)), rng.normal(size=items) * spread
    answers = (rng.random((people, items)) < 1 / (1 + np.exp(b - theta))).astype(float)
    answers[rng.random((people, items)) >= asked] = np.nan
    return answers


def same(one, other):
    assert one.difficulties == pytest.approx(other.difficulties, abs=1e-7)
    assert one.errors == pytest.approx(other.errors, rel=1e-6)
    assert one.log_likelihood == pytest.approx(other.log_likelihood, rel=1e-9)


seeds = st.integers(0, 2**32 - 1)
share_asked = st.sampled_from([1.0, 0.7])


@given(seeds, share_asked)
@settings(max_examples=25, deadline=None)
def test_the_order_of_people_changes_nothing(seed, asked):
    data = made_up(seed=seed, asked=asked)
    same(fit_rasch(np.random.default_rng(seed).permutation(data)), fit_rasch(data))


@given(seeds, share_asked)
@settings(max_examples=25, deadline=None)
def test_the_order_of_items_goes_through(seed, asked):
    data, order = made_up(seed=seed, asked=asked), np.random.default_rng(seed).permutation(6)
    moved, found = fit_rasch(data[:, order]), fit_rasch(data)
    assert moved.difficulties == pytest.approx(found.difficulties[order], abs=1e-7)
    assert moved.errors == pytest.approx(found.errors[order], rel=1e-6)


@given(seeds, share_asked, st.integers(0, 40))
@settings(max_examples=25, deadline=None)
def test_people_with_all_or_nothing_right_say_nothing(seed, asked, more):
    data = made_up(seed=seed, asked=asked)
    added = np.repeat([[1.0] * 6, [0.0] * 6, [1, np.nan, 1, 1, np.nan, 1]], more, axis=0)
    fuller = fit_rasch(np.vstack([data, added]))
    same(fuller, fit_rasch(data))
    assert fuller.extreme == fit_rasch(data).extreme + 3 * more


@given(seeds, share_asked)
@settings(max_examples=25, deadline=None)
def test_right_for_wrong_turns_the_scale_over(seed, asked):
    data = made_up(seed=seed, asked=asked)
    turned, found = fit_rasch(1 - data), fit_rasch(data)
    assert turned.difficulties == pytest.approx(-found.difficulties, abs=1e-7)
    assert turned.log_likelihood == pytest.approx(found.log_likelihood, rel=1e-9)


@given(seeds, share_asked)
@settings(max_examples=15, deadline=None)
def test_everybody_twice_halves_the_squared_errors(seed, asked):
    data = made_up(seed=seed, asked=asked)
    twice, once = fit_rasch(np.vstack([data, data])), fit_rasch(data)
    assert twice.difficulties == pytest.approx(once.difficulties, abs=1e-7)
    assert twice.errors * np.sqrt(2) == pytest.approx(once.errors, rel=1e-6)


@given(seeds, share_asked)
@settings(max_examples=15, deadline=None)
def test_no_other_difficulties_are_likelier(seed, asked):
    data, rng = made_up(seed=seed, asked=asked), np.random.default_rng(seed)
    found = fit_rasch(data)
    assert found.difficulties.sum() == pytest.approx(0, abs=1e-9)
    for size in (1e-3, 0.1, 1.0):
        other = found.difficulties + size * rng.normal(size=6)
        assert conditional_log_likelihood(data, other) <= found.log_likelihood + 1e-9


def test_slope_and_information_are_the_differences_of_the_likelihood():
    data = made_up(seed=4, asked=0.7)
    b = np.linspace(-1.5, 2, 6)
    at, step = state(patterns_of(data), b), 1e-4
    for item in range(6):
        aside = step * np.eye(6)[item]
        up, down = (state(patterns_of(data), b + sign * aside) for sign in (1, -1))
        assert at.slope[item] == pytest.approx(
            (up.log_likelihood - down.log_likelihood) / (2 * step), abs=1e-4
        )
        assert at.information[item] == pytest.approx((down.slope - up.slope) / (2 * step), abs=1e-4)


def test_symmetric_functions_are_the_sums_over_all_subsets():
    """By their definition, with every subset of 7 items written out."""
    b = np.array([-2.0, -1, -0.3, 0, 0.4, 1.1, 3])
    e, p = np.exp(-b), 1 / (1 + np.exp(b))
    gamma = np.array([sum(np.prod(e[list(some)]) for some in combinations(range(7), r)) for r in range(8)])
    assert score_shares(p[None])[0] * np.prod(1 + e) == pytest.approx(gamma, rel=1e-12)
    people = np.array([0.0, 3, 0, 5, 1, 2, 4, 0])
    right, both = np.zeros(7), np.zeros((7, 7))
    varied = np.zeros((7, 7))
    for r in range(1, 7):
        subsets = [np.isin(np.arange(7), some).astype(float) for some in combinations(range(7), r)]
        shares = np.array([np.prod(e[one > 0]) for one in subsets]) / gamma[r]
        mean = shares @ subsets
        both = np.einsum("s,si,sl->il", shares, subsets, subsets)
        right += people[r] * mean
        varied += people[r] * (both - np.outer(mean, mean))
    found = moments(p[None], people[None])
    assert found.right[0] == pytest.approx(right, rel=1e-12)
    assert found.information[0] == pytest.approx(varied, rel=1e-10, abs=1e-12)
    assert found.log_gamma[0] + np.log1p(e).sum() == pytest.approx(np.log(gamma), rel=1e-12)


def test_many_items_lose_no_digits():
    """300 items from -4 to 4: the symmetric functions span hundreds of powers of ten. Rights add up to the scores."""
    b = np.linspace(-4, 4, 300)
    people = np.zeros((1, 301))
    people[0, 1:300] = 1
    found = moments(1 / (1 + np.exp(b))[None], people)
    assert np.isfinite(found.log_gamma).all()
    assert found.right.sum() == pytest.approx(np.arange(300).sum(), rel=1e-12)
    # Given the score nothing is left to vary in its sum.
    assert np.abs(found.information[0].sum(axis=1)).max() < 1e-9 * np.trace(found.information[0])


def test_people_who_were_asked_different_items_find_the_truth():
    """Two forms with four items in common: the items of both land on one scale, within five standard errors."""
    rng = np.random.default_rng(11)
    b = np.linspace(-1.5, 1.5, 12)
    theta = np.concatenate([rng.normal(-1, 1, 3000), rng.normal(1, 1, 3000)])[:, None]
    data = (rng.random((6000, 12)) < 1 / (1 + np.exp(b - theta))).astype(float)
    data[:3000, 8:], data[3000:, :4] = np.nan, np.nan
    found = fit_rasch(data)
    assert np.abs((found.difficulties - b) / found.errors).max() < 5
    assert found.errors.max() < 0.1


def test_one_big_block_and_many_small_ones_agree(monkeypatch):
    data = made_up(people=200, items=8, seed=3, asked=0.6)
    whole = fit_rasch(data)
    monkeypatch.setattr("trainer.statistics.rasch.BLOCK", 1)
    same(fit_rasch(data), whole)


def test_start_is_the_log_odds_of_wrong_answers():
    assert start(np.array([[1, 0], [1, 0], [0, 1.0]])) == pytest.approx(
        [-np.log(2.5 / 1.5), np.log(2.5 / 1.5)]
    )


GOOD = [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


@pytest.mark.parametrize(
    ("rows", "reason", "items"),
    [
        ([[1, 1, 0], [1, 0, 1]], "all_right", (0,)),
        ([[0, 1, 0], [0, 0, 1]], "all_wrong", (0,)),
        ([[np.nan, 1, 0], [np.nan, 0, 1], [1, np.nan, np.nan]], "unanswered", (0,)),
        ([[1, 0, np.nan, np.nan], [0, 1, np.nan, np.nan]] * 2 + [[np.nan, np.nan, 1, 0], [np.nan, np.nan, 0, 1]],
         "disconnected", (2, 3)),
        # Everybody who has one of 2 and 3 right has 0 and 1 right: they are harder by an unknown amount.
        ([[1, 0, 0, 0], [0, 1, 0, 0], [1, 1, 1, 0], [1, 1, 0, 1]], "disconnected", (2, 3)),
    ],
    ids=["all right", "all wrong", "nobody asked", "two islands", "one way only"],
)  # fmt: skip
def test_refuses_answers_that_fix_no_difficulties(rows, reason, items):
    with pytest.raises(NotFitted) as refused:
        fit_rasch(rows)
    assert (refused.value.reason, refused.value.items) == (reason, items)
    assert reason in str(refused.value)


def test_a_chain_that_closes_is_enough():
    found = fit_rasch(GOOD)
    assert found.difficulties == pytest.approx([0, 0, 0], abs=1e-9)


@pytest.mark.parametrize("rows", [[1, 0, 1], [[1], [0]], [[1, 2], [0, 1]], [[0.5, 1], [0, 1]]])
def test_refuses_what_are_no_answers(rows):
    with pytest.raises(BadInput, match=r"^answers is"):
        fit_rasch(rows)


@given(arrays(float, (12, 4), elements=st.sampled_from([0.0, 1.0, np.nan])))
@settings(max_examples=200, deadline=None)
def test_any_answers_are_fitted_or_refused_by_name(data):
    """Few answers with holes: either a finite fit at which the slope is 0, or a reason with its items."""
    try:
        found = fit_rasch(data)
    except NotFitted as refused:
        assert refused.items and set(refused.items) <= {0, 1, 2, 3}
        return
    assert np.isfinite(found.difficulties).all() and (found.errors > 0).all()
    assert np.abs(state(patterns_of(data), found.difficulties).slope).max() < 1e-6
