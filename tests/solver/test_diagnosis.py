"""The best policy against every policy there is, against a walk fault by fault, and what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings

from tests.solver.faults import least_minutes, tables
from trainer.solver.diagnosis import best_policy, fault_policy, fault_table
from trainer.solver.numbers import BadInput


@given(table=tables())
@settings(max_examples=150, deadline=None)
def test_no_policy_at_all_is_better_and_one_is_as_good(table):
    assert best_policy(table).expected_minutes == pytest.approx(least_minutes(table), rel=1e-9, abs=1e-12)


@given(table=tables(most_faults=4, most_tests=3, hazards=True))
@settings(max_examples=150, deadline=None)
def test_nor_where_tests_wait_for_isolation(table):
    assert best_policy(table).expected_minutes == pytest.approx(least_minutes(table), rel=1e-9, abs=1e-12)


@given(table=tables(most_faults=6, most_tests=6, hazards=True))
@settings(deadline=None)
def test_the_policy_takes_the_minutes_that_it_promises(table):
    policy, total = best_policy(table), 0.0
    for fault, likelihood in enumerate(table.prior):
        left, isolated = {f for f, p in enumerate(table.prior) if p > 0}, False
        if fault not in left:
            continue
        while (choice := policy.best(left, isolated)).isolate or choice.test is not None:
            if choice.isolate:
                total, isolated = total + likelihood * table.isolation_minutes, True
                continue
            assert isolated or choice.test not in table.after_isolation
            row = table.outcomes[choice.test]
            left = {f for f in left if row[f] == row[fault]}
            total += likelihood * table.minutes[choice.test]
        assert fault in left
        assert len({tuple(row[f] for row in table.outcomes) for f in left}) == 1
    assert policy.expected_minutes == pytest.approx(total, rel=1e-9, abs=1e-12)


def test_of_equal_tests_the_lowest_is_first():
    assert fault_policy([1, 1], [5, 5, 5], [[0, 0], [0, 1], [1, 0]]).first_test == 1
    # 0.1 + 0.2 and 0.3 minutes differ in the last bit only.
    policy = fault_policy([1, 1, 1], [0.3, 0.1 + 0.2], [[0, 1, 2], [2, 1, 0]])
    assert policy.first_test == 0
    assert fault_policy([1, 1, 1], [0.1 + 0.2, 0.3], [[0, 1, 2], [2, 1, 0]]).first_test == 0


def test_faults_that_no_test_tells_apart_are_one_end():
    policy = fault_policy([0.5, 0.25, 0.25], [4, 7], [[0, 1, 1], [0, 0, 0]])
    assert (policy.expected_minutes, policy.first_test) == (4, 0)
    assert policy.table.groups == ((0,), (1, 2))
    assert policy.best([1, 2]).test is None


def test_where_nothing_is_to_be_told_nothing_is_tested():
    for prior in ([1.0], [0, 3, 0]):
        policy = fault_policy(prior, [5], [list(range(len(prior)))])
        assert (policy.expected_minutes, policy.first_test) == (0, None)


def test_an_impossible_fault_costs_nothing():
    # Test 0 tells only the impossible fault from the others.
    policy = fault_policy([0, 0.5, 0.5], [1, 9], [[1, 0, 0], [0, 0, 1]])
    assert (policy.expected_minutes, policy.first_test) == (9, 1)


def test_only_proportions_of_the_likelihoods_count():
    rows = [[0, 1, 1, 0], [0, 0, 1, 1]]
    one, other = fault_policy([4, 3, 2, 1], [3, 5], rows), fault_policy([0.4, 0.3, 0.2, 0.1], [3, 5], rows)
    assert one.expected_minutes == pytest.approx(other.expected_minutes)
    assert one.table.prior == pytest.approx((0.4, 0.3, 0.2, 0.1))


def test_isolating_is_put_off_until_it_pays():
    # Test 1 tells everything but waits for isolation; test 0 tells the likely fault from the others without.
    rows = [[0, 1, 1], [0, 1, 2]]
    policy = fault_policy([8, 1, 1], [2, 1], rows, after_isolation={1}, isolation_minutes=10)
    assert policy.first_test == 0
    assert policy.expected_minutes == pytest.approx(2 + 0.2 * (10 + 1))
    assert policy.best([1, 2]).isolate
    assert policy.best([1, 2], isolated=True).test == 1
    cheap = fault_policy([8, 1, 1], [2, 1], rows, after_isolation={1}, isolation_minutes=0.5)
    assert cheap.best([0, 1, 2]).isolate
    assert (cheap.first_test, cheap.expected_minutes) == (1, 1.5)


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"prior": [0, 0]}, "prior"),
        ({"prior": [-1, 2]}, "prior"),
        ({"prior": [np.nan, 1]}, "prior"),
        ({"prior": [np.inf, 1]}, "prior"),
        ({"prior": []}, "prior"),
        ({"prior": [[1, 1]]}, "prior"),
        ({"prior": [1, 1, 1]}, "outcomes"),
        ({"prior": ["much", 1]}, "prior"),
        ({"prior": list(range(1, 20)), "outcomes": [list(range(19))]}, "prior"),
        ({"minutes": [0]}, "minutes"),
        ({"minutes": [-3]}, "minutes"),
        ({"minutes": [np.nan]}, "minutes"),
        ({"minutes": [1, 2]}, "outcomes"),
        ({"minutes": [1] * 65, "outcomes": [[0, 1]] * 65}, "minutes"),
        ({"outcomes": [[0, 0.5]]}, "outcomes"),
        ({"outcomes": [[0, np.nan]]}, "outcomes"),
        ({"outcomes": [[0, 1e300]]}, "outcomes"),
        ({"outcomes": [[0], [1]]}, "outcomes"),
        ({"outcomes": [[0, 1], [1]]}, "outcomes"),
        ({"after_isolation": [1]}, "after_isolation"),
        ({"isolation_minutes": -1}, "isolation_minutes"),
    ],
)
def test_what_is_no_table_is_refused_by_name(changed, named):
    with pytest.raises(BadInput) as refused:
        fault_policy(**({"prior": [1, 1], "minutes": [5], "outcomes": [[0, 1]]} | changed))
    assert refused.value.name == named


def test_the_limit_is_said():
    with pytest.raises(BadInput, match=r"19 faults to tell apart.*at most 18"):
        fault_policy([1] * 19, [1], [list(range(19))])
    # Faults that look alike are no burden.
    assert fault_policy([1] * 40, [1], [[0, 1] * 20]).expected_minutes == 1


def test_faults_that_are_not_there_are_refused():
    policy = fault_policy([1, 1, 0], [1], [[0, 1, 1]])
    for faults in ([3], [-1], [], [2]):
        with pytest.raises(BadInput, match="faults"):
            policy.best(faults)


def test_a_table_is_checked_once_and_solved_as_often_as_wanted():
    table = fault_table(np.array([1.0, 2.0]), np.array([3.0]), np.array([[0.0, 1.0]]))
    assert best_policy(table).expected_minutes == 3
    assert table.outcomes == ((0, 1),)


def test_isolating_costs_nothing_unless_said():
    given_ = ([1, 1], [5], [[0, 1]], {0})
    assert fault_table(*given_).isolation_minutes == 0
    assert fault_policy(*given_).expected_minutes == 5


def test_eighteen_faults_and_outcomes_of_any_size_are_allowed():
    policy = fault_policy([1] * 18, [3], [[n * 10**12 for n in range(18)]])
    assert (policy.expected_minutes, policy.table.outcomes[0][17]) == (3, 17 * 10**12)
