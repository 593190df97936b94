"""Rules of thumb never beat the best policy; bits against scipy; tests counted by hand."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy import stats

from tests.solver.faults import policies, tables
from trainer.solver.diagnosis import best_policy, fault_table
from trainer.solver.numbers import BadInput
from trainer.solver.search_rules import (
    RULES,
    entropy,
    fewest_tests,
    half_split_tests,
    information,
    rule_minutes,
    rule_test,
)


@given(table=tables(most_faults=7, most_tests=6, hazards=True), rule=st.sampled_from(sorted(RULES)))
@settings(deadline=None)
def test_no_rule_beats_the_best_policy(table, rule):
    best = best_policy(table).expected_minutes
    assert rule_minutes(table, rule) >= best * (1 - 1e-9)


@given(table=tables(most_faults=4, most_tests=3, hazards=True), rule=st.sampled_from(sorted(RULES)))
@settings(deadline=None)
def test_a_rules_minutes_are_those_of_some_policy(table, rule):
    costs = [sum(table.prior[f] * minutes for f, minutes in way.items()) for way in policies(table)]
    assert np.isclose(costs, rule_minutes(table, rule), rtol=1e-9, atol=1e-9).any()


def test_each_rule_takes_what_its_name_says():
    # Test 0 is cheap and tells little, test 1 halves, test 2 asks for the likeliest fault, test 3 tells all, dearly.
    table = fault_table([4, 2, 2, 2], [1, 6, 5, 40], [[0, 0, 0, 1], [0, 0, 1, 1], [1, 0, 0, 0], [0, 1, 2, 3]])
    chosen = {rule: rule_test(table, rule, table.everything) for rule in RULES}
    assert chosen == {
        # 0.722 bit in 1 min, 0.971 in 6 and in 5, 1.922 in 40
        "information_per_minute": 0,
        "half_split": 3,  # its largest part is 0.4, the others' 0.8, 0.6 and 0.6
        "cheapest_first": 0,
        "likeliest_first": 2,
    }


def test_a_forbidden_test_counts_with_its_isolating():
    table = fault_table([1, 1], [2, 1], [[0, 1], [0, 1]], after_isolation={1}, isolation_minutes=5)
    assert rule_test(table, "cheapest_first", table.everything) == 0
    assert rule_test(table, "cheapest_first", table.everything, isolated=True) == 1
    assert rule_minutes(table, "cheapest_first") == 2


def test_of_equal_scores_the_lowest_test_is_taken():
    # 0.1 + 0.2 is larger than 0.3 in the last bit only.
    table = fault_table([1, 1], [0.1 + 0.2, 0.3], [[0, 1], [0, 1]])
    assert {rule_test(table, rule, table.everything) for rule in RULES} == {0}


def test_nothing_left_to_tell():
    table = fault_table([1, 1], [2], [[0, 0]])
    assert rule_test(table, "half_split", table.everything) is None
    assert rule_minutes(table, "half_split") == 0


@example(weights=[1.0, 1.0, 5e-324])
@given(weights=st.lists(st.floats(0, 1e6), min_size=1, max_size=9).filter(lambda row: sum(row) > 1e-6))
def test_entropy_agrees_with_scipy(weights):
    assert entropy(weights) == pytest.approx(stats.entropy(weights, base=2), abs=1e-9)


@given(share=st.floats(0, 1))
def test_information_is_the_entropy_of_two(share):
    assert information(share) == pytest.approx(stats.entropy([share, 1 - share], base=2), abs=1e-12)


def test_a_sure_answer_tells_nothing():
    assert information(np.array([0.0, 0.5, 1.0])).tolist() == [0, 1, 0]
    assert entropy([0, 5]) == 0


@given(parts=st.integers(1, 2**53))
def test_half_split_leaves_one_and_no_test_is_spare(parts):
    tests = int(half_split_tests(parts))
    assert 2**tests >= parts
    assert tests == 0 or 2 ** (tests - 1) < parts
    assert fewest_tests(parts, 2) == tests


def test_three_outcomes_tell_more():
    assert [fewest_tests(faults, 3) for faults in (1, 2, 3, 4, 9, 10, 27, 28)] == [0, 1, 1, 2, 2, 3, 3, 4]


def test_refusals():
    table = fault_table([1, 1], [2], [[0, 1]])
    for call in (
        lambda: entropy([0, 0]),
        lambda: entropy([]),
        lambda: entropy([-1, 2]),
        lambda: information(1.1),
        lambda: information(float("nan")),
        lambda: half_split_tests(0),
        lambda: half_split_tests(2.5),
        lambda: half_split_tests(2.0**60),
        lambda: fewest_tests(0, 2),
        lambda: fewest_tests(4, 1),
        lambda: rule_minutes(table, "luck"),
        lambda: rule_test(table, "luck", 1),
    ):
        with pytest.raises(BadInput):
            call()
