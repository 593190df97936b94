"""Fitting the Rasch model by conditional likelihood, against girth's `rasch_conditional` on the same answers."""

from time import perf_counter

import numpy as np
import pytest
from girth import rasch_conditional

from tests.benchmarks.paired import paired
from trainer.statistics.rasch import fit_rasch

PEOPLE, ITEMS = 1000, 60


def made_up(number):
    """Answers of people and items that both spread by one logit."""
    rng = np.random.default_rng(number)
    theta, b = rng.normal(size=(PEOPLE, 1)), rng.normal(size=ITEMS)
    return (rng.random((PEOPLE, ITEMS)) < 1 / (1 + np.exp(b - theta))).astype(float)


def test_a_thousand_people_by_sixty_items_against_girth():
    data = [made_up(number) for number in range(4)]
    whole = [one.T.astype(int) for one in data]
    for ours, theirs in zip(data[:2], whole[:2], strict=True):
        # girth stops when a round of one-item searches moves nothing by 0.001.
        assert fit_rasch(ours).difficulties == pytest.approx(
            rasch_conditional(theirs)["Difficulty"], abs=2e-3
        )
    found = paired(
        lambda i: fit_rasch(data[i % 4]), lambda i: rasch_conditional(whole[i % 4]), rounds=5, calls=1
    )
    found.say("Rasch, 1,000 people x 60 items, against girth")
    print(f"times as fast: {1 / found.ratio:.1f}")
    assert 1 / found.ratio >= 3  # 15 on a quiet machine


def test_time_where_everybody_was_asked_something_else():
    rng, data = np.random.default_rng(5), made_up(5)
    for row in data:
        row[rng.permutation(ITEMS)[24:]] = np.nan
    start = perf_counter()
    found = fit_rasch(data)
    print(
        f"\n1,000 people x 24 of 60 items, each other ones: {perf_counter() - start:.2f} s, {found.steps} steps"
    )
    assert found.counted > 900
