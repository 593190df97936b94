"""Time to mastery. Published values: tests/published/test_mastering.py."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.solver.numbers import BadInput
from trainer.statistics.mastering import LEAST_PEOPLE, Half, mastering, whole

PEOPLE = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 1)), min_size=LEAST_PEOPLE, max_size=40)


@given(PEOPLE, st.randoms())
def test_the_curve_only_falls_within_its_interval_and_looks_at_no_order(people, random):
    found = mastering(*zip(*people, strict=True))
    other = mastering(*zip(*random.sample(people, len(people)), strict=True))
    assert np.array_equal(found.open_, other.open_) and found.half == other.half
    steps = np.concatenate([[1.0], found.open_])
    assert (np.diff(steps) < 0).all() and (steps >= 0).all()
    assert (found.low <= found.open_ + 1e-12).all() and (found.open_ <= found.high + 1e-12).all()
    assert found.mastered.sum() == sum(done for _, done in people) and found.people == len(people)


@given(st.lists(st.integers(0, 30), min_size=LEAST_PEOPLE, max_size=40))
def test_where_everybody_mastered_the_share_is_the_plain_share(times):
    found = mastering(times, [1] * len(times))
    for time in (0, 7, 30):
        assert found.by(time).value == pytest.approx(np.mean(np.array(times) <= time))
    assert found.half.value == sorted(times)[(len(times) - 1) // 2]


@given(PEOPLE, st.integers(1, 20))
def test_people_who_were_never_seen_again_change_nothing_later(people, more):
    """Whoever was last seen at time 0 is never among those who could still master."""
    later = [(time + 1, done) for time, done in people]
    found, wider = (mastering(*zip(*some, strict=True)) for some in (later, later + [(0, 0)] * more))
    assert np.array_equal(found.open_, wider.open_) and np.array_equal(found.at_risk, wider.at_risk)


def test_counting_those_who_have_not_mastered_as_never_or_leaving_them_out_would_both_be_wrong():
    """Everybody masters with chance 1/2 each week, and people are followed for 1 to 20 weeks: by week 1 half have."""
    rng = np.random.default_rng(4)
    takes, followed = rng.geometric(0.5, 4000), rng.integers(1, 21, 4000)
    found = mastering(np.minimum(takes, followed), takes <= followed)
    one, two, four = (found.by(week) for week in (1, 2, 4))
    assert one.low < 0.5 < one.high and two.low < 0.75 < two.high and four.low < 0.9375 < four.high
    assert one.high - one.low < 0.04


def test_where_nobody_or_everybody_has_mastered_the_interval_keeps_its_width():
    nobody = mastering([30.0] * 10, [0] * 10)
    assert nobody.half == Half(None, None, None)
    assert (nobody.by(7).value, nobody.by(7).low) == (0, 0) and 0.2 < nobody.by(7).high < 0.4
    assert nobody.by(31) is None, "nobody was followed so long"
    everybody = mastering([3.0] * 10, [1] * 10)
    assert (everybody.by(90).value, everybody.by(90).high) == (1, 1) and 0.6 < everybody.by(90).low < 0.8
    assert everybody.by(2).value == 0


def test_below_ten_people_nothing_is_said():
    assert mastering([1.0] * 9, [1] * 9) is None
    assert mastering([], []) is None


def test_a_time_is_never_told_shorter_than_it_is():
    assert [whole(time) for time in (None, 0.0, 0.2, 1.0, 1.01, 9)] == [None, 1, 1, 1, 2, 9]


def test_what_does_not_fit_together_is_refused():
    for time, done in (([1.0, 2.0], [1]), ([-1.0], [1]), ([1.0], [0.5]), ([float("nan")], [1])):
        with pytest.raises(BadInput):
            mastering(time, done)
