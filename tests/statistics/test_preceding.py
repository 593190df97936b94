"""Which lesson precedes which slip. Fisher and Holm by printed examples: tests/statistics/test_chances.py."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.stats import fisher_exact

from trainer.solver.numbers import BadInput
from trainer.statistics.preceding import LEAST_PEOPLE, LEVEL, SOON, preceding
from trainer.statistics.simulating import Share

NEVER = np.nan
DAYS = st.sampled_from([NEVER, 0.0, 1.0, 5.0, 20.0, 40.0])


def house(*groups, teaches=(True, False)):
    """Groups of (people, days of reading each of two lessons, day of the answer, how many of them slip)."""
    read, answered, made = [], [], []
    for people, readings, day, slips in groups:
        read += [readings] * people
        answered += [[day]] * people
        made += [[number < slips] for number in range(people)]
    return preceding(read, answered, made, [list(teaches)])


def test_a_lesson_that_misleads_is_named_and_the_other_is_not():
    found = house((20, (0.0, NEVER), 1.0, 15), (20, (NEVER, NEVER), 1.0, 2))
    [pair] = found.pairs
    assert (pair.lesson, pair.slip, pair.after, pair.without) == (0, 0, Share(15, 20), Share(2, 20))
    assert pair.sure and pair.more and found.too_few == 0, "nobody has read the second lesson"
    assert pair.chance == pytest.approx(fisher_exact([[15, 5], [2, 18]]).pvalue)
    [other] = house((20, (0.0, NEVER), 1.0, 2), (20, (NEVER, NEVER), 1.0, 15)).pairs
    assert other.sure and not other.more


def test_who_counts_where():
    """Within 14 days, and no other lesson on the subject between; who read it later had not read it."""
    without = (10, (NEVER, NEVER), 1.0, 0)
    assert house((10, (0.0, NEVER), SOON, 0), without).pairs[0].after.of == 10
    assert house((10, (0.0, NEVER), SOON + 0.1, 0), without).pairs == ()
    assert house((10, (5.0, NEVER), 1.0, 0), without, (10, (0.0, NEVER), 2.0, 0)).pairs[0].without.of == 20
    read_both = (10, (0.0, 1.0), 2.0, 0)
    assert [one.lesson for one in house(read_both, without, teaches=(True, True)).pairs] == [1]
    assert [one.lesson for one in house(read_both, without, teaches=(True, False)).pairs] == [0, 1]
    assert [one.lesson for one in house(read_both, without, teaches=(False, False)).pairs] == [0, 1]
    assert [one.lesson for one in house((10, (0.0, 1.0), NEVER, 0), without).pairs] == []


def test_too_few_on_either_side_are_not_judged_and_take_no_share_of_the_level():
    few, enough = LEAST_PEOPLE - 1, (30, (NEVER, NEVER), 1.0, 3)
    found = house((few, (0.0, NEVER), 1.0, few), enough)
    assert found.pairs == () and found.too_few == 1
    alone = house((20, (0.0, NEVER), 1.0, 9), enough).pairs[0].chance
    beside = house((20, (0.0, NEVER), 1.0, 9), enough, (few, (NEVER, 0.0), NEVER, 0)).pairs[0].chance
    assert alone == beside


def test_lessons_that_have_to_do_with_nothing_are_rarely_named():
    """500 houses of 60 people, 4 lessons and 6 slips that come by chance alone. Seen: 19 alarms."""
    rng = np.random.default_rng(8)
    alarms = 0
    for _ in range(500):
        read = np.where(rng.random((60, 4)) < 0.5, rng.uniform(0, 3, (60, 4)), NEVER)
        made = rng.random((60, 6)) < 0.3
        alarms += any(one.sure for one in preceding(read, np.full((60, 6), 4.0), made, np.eye(6, 4)).pairs)
    assert alarms <= 500 * LEVEL


@given(
    st.integers(10, 40).flatmap(
        lambda n: st.tuples(
            arrays(float, (n, 3), elements=DAYS), arrays(float, (n, 4), elements=DAYS), arrays(bool, (n, 4))
        )
    ),
    st.randoms(),
)
def test_nobody_counts_on_both_sides_and_no_order_matters(given_, random):
    read, answered, made = given_
    found = preceding(read, answered, made, np.ones((4, 3)))
    order = random.sample(range(len(read)), len(read))
    other = preceding(read[order], answered[order], made[order], np.ones((4, 3)))
    assert sorted(map(repr, found.pairs)) == sorted(map(repr, other.pairs)) and found.too_few == other.too_few
    for one in found.pairs:
        assert one.after.of + one.without.of <= len(read)
        assert one.chance >= fisher_exact(
            [
                [one.after.count, one.after.of - one.after.count],
                [one.without.count, one.without.of - one.without.count],
            ]
        ).pvalue * (1 - 1e-6)


def test_what_does_not_fit_together_is_refused():
    for read, answered, made, teaches in (
        ([[0.0]], [[1.0], [1.0]], [[True], [True]], [[True]]),
        ([[0.0]], [[1.0]], [[True, False]], [[True]]),
        ([[0.0]], [[1.0]], [[True]], [[True, True]]),
        ([0.0], [[1.0]], [[True]], [[True]]),
    ):
        with pytest.raises(BadInput):
            preceding(read, answered, made, teaches)
