"""Practice of many invented learners at once, against the rule of mastery applied to one after the other."""

from datetime import UTC, datetime

import numpy as np
import pytest

from trainer.learning.mastery import Answered, Standing, after
from trainer.learning.simulated import AskedBy, Rules, practise

NOW = datetime(2026, 1, 5, 12, tzinfo=UTC)
NUMBER = AskedBy("number", lambda theta: 1 / (1 + np.exp(-theta)))
CHOICE = AskedBy("choice", lambda theta: 1 / (1 + np.exp(0.5 - theta)))


def always(chance, kind="number"):
    return AskedBy(kind, lambda theta: np.full(len(theta), chance))


def run(people=50, families=(NUMBER,), hazard=False, gain=0.0, most=60, place=0.0, seed=1):
    places = np.full(people, place)
    rng = np.random.default_rng(seed)
    return practise(places, families, Rules(hazard=hazard), gain=gain, most=most, rng=rng), places


@pytest.mark.parametrize("hazard", [False, True])
def test_standings_are_those_of_the_real_rule(hazard):
    """Random answers, kinds mixed: whether proven and whether helped agree after each, for 40 people of 25 answers."""
    rng, rules = np.random.default_rng(2), Rules(hazard=hazard)
    kinds = ["number", "choice"]
    real, at = [Standing("simulated")] * 40, np.zeros(40, dtype=np.intp)
    for _ in range(25):
        family, right = rng.integers(2, size=40), rng.random(40) < 0.75
        at, proven, helped = rules.move(at, kinds, family, right)
        real = [
            after(one, Answered(kinds[kind], bool(good), one.support, NOW), hazard=hazard)
            for one, kind, good in zip(real, family, right, strict=True)
        ]
        assert proven.tolist() == [one.mastered_at is not None for one in real]
        assert helped.tolist() == [one.support != "alone" for one in real]
    assert 0 < sum(one.mastered_at is not None for one in real) < 40


def test_who_is_always_right_proves_it_in_the_fewest_answers_that_the_rule_allows():
    for hazard in (False, True):
        standing, fewest = Standing("any"), 0
        while standing.mastered_at is None:
            standing = after(standing, Answered("number", True, standing.support, NOW), hazard=hazard)
            fewest += 1
        found, _ = run(families=(always(1.0),), hazard=hazard)
        assert found.proven.all() and set(found.answers) == {fewest}


def test_who_knows_nothing_proves_nothing():
    found, places = run(families=(always(0.0),), most=30)
    assert not found.proven.any() and set(found.answers) == {30}
    assert set(places) == {0.0}


def test_answers_are_counted_and_each_adds_its_gain():
    found, places = run(gain=0.25, place=-1.0)
    assert places == pytest.approx(-1 + 0.25 * found.answers)
    assert found.proven.all()


def test_hazard_takes_more_answers_and_so_does_a_lower_place():
    plain, hard = (run(2000, hazard=hazard, place=2.0)[0].answers.mean() for hazard in (False, True))
    low = run(2000, place=0.5)[0].answers.mean()
    assert plain < hard and plain < low


def test_the_same_seed_gives_the_same_and_kinds_are_mixed():
    one, other = run(families=(NUMBER, CHOICE)), run(families=(NUMBER, CHOICE))
    assert np.array_equal(one[0].answers, other[0].answers)
    assert not np.array_equal(one[0].answers, run(families=(NUMBER, CHOICE), seed=2)[0].answers)
