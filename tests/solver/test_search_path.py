"""A scored search: no regret on the best path, regret that adds up on any other, violations with their place."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.solver.faults import tables
from trainer.solver.diagnosis import best_policy, fault_policy
from trainer.solver.numbers import BadInput
from trainer.solver.search_path import ISOLATE, Move, best_path, score_path

# Three faults: test 0 tells 0 from the rest, test 1 tells all but waits for isolation, test 2 tells 1 from the rest.
ROWS = [[0, 1, 1], [0, 1, 2], [0, 1, 0]]


def policy(isolation=10):
    return fault_policy([8, 1, 1], [2, 1, 6], ROWS, after_isolation={1}, isolation_minutes=isolation)


def there(table):
    return [fault for fault, likelihood in enumerate(table.prior) if likelihood > 0]


@given(table=tables(most_faults=6, most_tests=5, hazards=True))
@settings(deadline=None)
def test_the_best_path_has_no_regret_and_ends_at_the_fault(table):
    best = best_policy(table)
    expected = 0.0
    for fault in there(table):
        scored = score_path(best, best_path(best, fault))
        assert (scored.regret, scored.violations, scored.settled) == (0, (), True)
        assert fault in scored.possible
        expected += table.prior[fault] * scored.minutes
    assert expected == pytest.approx(best.expected_minutes, abs=1e-9)


@given(table=tables(most_faults=5, most_tests=5, hazards=True), data=st.data())
@settings(deadline=None)
def test_regret_is_never_negative_and_posteriors_are_by_bayes(table, data):
    best, fault = best_policy(table), data.draw(st.sampled_from(there(table)))
    tests = data.draw(st.lists(st.none() | st.integers(0, len(table.minutes) - 1), max_size=6))
    moves = [ISOLATE if test is None else Move(test, table.outcomes[test][fault]) for test in tests]
    scored = score_path(best, moves)
    assert scored.regret == pytest.approx(sum(one.regret for one in scored.moves))
    assert all(one.regret >= 0 for one in scored.moves)
    for place, one in enumerate(scored.moves):
        seen = [move for move in moves[: place + 1] if move.test is not None]
        agree = [all(table.outcomes[m.test][f] == m.outcome for m in seen) for f in range(len(table.prior))]
        joint = [p * ok for p, ok in zip(table.prior, agree, strict=True)]
        assert one.posterior == pytest.approx([p / sum(joint) for p in joint])
        assert one.possible == tuple(f for f, p in enumerate(joint) if p > 0)
        assert (place in scored.violations) == (
            one.move.test in table.after_isolation and ISOLATE not in moves[:place]
        )


def test_each_step_says_what_would_have_been_best():
    scored = score_path(policy(), [Move(2, 0), Move(0, 1)])
    first, second = scored.moves
    # The best is test 0, then test 2 in a fifth of the cases: 2 + 0.2 · 6. Test 2 first costs 6 and in nine tenths of
    # the cases test 0 after it.
    assert (first.best.test, first.best.minutes) == (0, pytest.approx(3.2))
    assert first.regret == pytest.approx(6 + 0.9 * 2 - 3.2)
    assert first.posterior == pytest.approx((8 / 9, 0, 1 / 9))
    assert (second.best.test, second.regret, second.minutes) == (0, 0, 8)
    assert (scored.possible, scored.settled, scored.minutes) == ((2,), True, 8)


def test_a_test_before_isolation_is_a_violation_and_gains_nothing():
    scored = score_path(policy(), [Move(0, 1), Move(1, 2)])
    assert scored.violations == (1,)
    # The best now is test 2 (6); isolating and test 1 would be 11.
    assert scored.moves[1].regret == pytest.approx(5)
    assert scored.minutes == 3
    right = score_path(policy(), [Move(0, 1), ISOLATE, Move(1, 2)])
    assert (right.violations, right.minutes) == ((), 13)
    assert right.regret == pytest.approx(5)


def test_after_a_violation_the_rest_is_counted_as_isolated():
    # Both tests wait for isolation; each tells one fault from the other two.
    strict = fault_policy(
        [1, 1, 1], [3, 3], [[1, 0, 0], [0, 1, 0]], after_isolation={0, 1}, isolation_minutes=10
    )
    scored = score_path(strict, [Move(0, 0), Move(1, 1)])
    assert scored.violations == (0, 1)
    assert [one.regret for one in scored.moves] == [0, 0]
    assert (scored.minutes, scored.settled) == (6, True)


def test_what_tells_nothing_costs_its_minutes():
    scored = score_path(policy(), [Move(0, 1), Move(0, 1), ISOLATE, ISOLATE])
    assert scored.moves[1].regret == pytest.approx(2)
    assert scored.moves[3].regret == pytest.approx(10)
    assert (scored.settled, scored.possible) == (False, (1, 2))


def test_an_empty_path_is_only_settled_where_nothing_is_to_be_told():
    assert not score_path(policy(), []).settled
    assert score_path(fault_policy([1], [1], [[0]]), []).settled


def test_refusals():
    with pytest.raises(BadInput, match="test is 3"):
        score_path(policy(), [Move(3, 0)])
    with pytest.raises(BadInput, match=r"outcome is 2.*still give: 0, 1"):
        score_path(policy(), [Move(0, 2)])
    with pytest.raises(BadInput, match=r"outcome is 0.*still give: 1"):
        score_path(policy(), [Move(0, 1), Move(0, 0)])
    with pytest.raises(BadInput, match="fault"):
        best_path(fault_policy([1, 0], [1], [[0, 1]]), 1)
