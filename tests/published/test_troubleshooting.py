"""Best tests, bits and orders of suspects against worked examples of troubleshooting."""

from itertools import combinations, permutations, product

import numpy as np
import pytest

from trainer.solver.diagnosis import best_policy, fault_policy, fault_table
from trainer.solver.search_rules import (
    entropy,
    fewest_tests,
    half_split_tests,
    rule_minutes,
    rule_test,
)
from trainer.solver.suspects import best_series, series_minutes, series_order

# Pattipati & Alexandridis, "Application of heuristic search and information theory to sequential fault diagnosis",
# IEEE Transactions on Systems, Man, and Cybernetics 20 (1990). Likelihoods, matrix (a row for each state, a column for
# each test) and the optimum 2.18 are from memory; that the two agree is what speaks for both.
PRIOR = [0.70, 0.01, 0.02, 0.10, 0.05, 0.12]
STATES = ["00000", "01001", "00110", "10011", "11000", "11110"]
EXAMPLE = fault_table(PRIOR, [1] * 5, [[int(state[test]) for state in STATES] for test in range(5)])


def test_c132_half_split_of_a_million_parts():
    # Half-split troubleshooting, as taught: 2^20 = 1 048 576 parts in 20 tests.
    assert half_split_tests(1_048_576) == 20
    assert half_split_tests(1_048_577) == 21


@pytest.mark.parametrize(
    ("coins", "bits"), [(1, 0.81669), (2, 1.25163), (3, 1.5), (4, 1.58496), (5, 1.48336), (6, 1)]
)
def test_c133_first_weighing_of_twelve_coins(coins, bits):
    # Twelve coins, one heavier or lighter: a weighing of k against k tilts left or right for 2k states each.
    # Bits worked by hand, as log2 3 for four against four.
    assert entropy([2 * coins, 2 * coins, 24 - 4 * coins]) == pytest.approx(bits, abs=5e-6)


def test_c134_twelve_coins_need_three_weighings_and_three_are_enough():
    # The puzzle's known answer: 24 states, 27 outcomes, three weighings.
    assert entropy([1] * 24) == pytest.approx(4.584963, abs=1e-6)
    assert fewest_tests(24, 3) == 3
    for rule in ("half_split", "information_per_minute"):
        assert rule_minutes(coins(), rule) == pytest.approx(3, abs=1e-9)


def coins():
    """States heavy and light of twelve coins, under three weighings of four against four that are set beforehand.

    A well-known answer: a coin's code says where it lies (left 1, right -1, aside 0) in each weighing, no two codes are
    equal or opposite, and all to one side is left out. Codes are turned round until left and right have four each.
    """
    all_codes = product((1, 0, -1), repeat=3)
    codes = [code for code in all_codes if code > (0, 0, 0) and code != (1, 1, 1)]
    signs = next(
        signs
        for signs in product((1, -1), repeat=12)
        if all(sum(s * code[w] for s, code in zip(signs, codes, strict=True)) == 0 for w in range(3))
    )
    rows = [
        [tilt * s * code[w] for s, code in zip(signs, codes, strict=True) for tilt in (1, -1)]
        for w in range(3)
    ]
    assert [row.count(0) for row in rows] == [8, 8, 8]
    return fault_table([1] * 24, [1] * 3, rows)


def test_c135_every_test_at_hand_is_a_code_of_huffman():
    # Cover & Thomas, Elements of Information Theory, example of Huffman's code (from memory): .25 .25 .2 .15 .15 gives
    # a mean length of 2.30 bits at an entropy of 2.285. With every split to hand, the best search is that code.
    prior = [0.25, 0.25, 0.2, 0.15, 0.15]
    splits = [[int(i in some) for i in range(5)] for size in (1, 2) for some in combinations(range(5), size)]
    assert fault_policy(prior, [1] * len(splits), splits).expected_minutes == pytest.approx(2.30, abs=1e-9)
    assert entropy(prior) == pytest.approx(2.285475, abs=1e-6)


def test_c136_published_optimum():
    policy = best_policy(EXAMPLE)
    assert policy.expected_minutes == pytest.approx(2.18, abs=1e-9)
    assert policy.first_test == 1  # t2
    assert entropy(PRIOR) == pytest.approx(1.454873, abs=1e-6)


def test_c137_one_step_information_gain_is_dearer():
    # One-step gain on the same example, worked by the rule itself: 2.86, first test t1.
    assert rule_minutes(EXAMPLE, "information_per_minute") == pytest.approx(2.86, abs=1e-9)
    assert rule_test(EXAMPLE, "information_per_minute", EXAMPLE.everything) == 0


def test_c138_rising_ratios_where_every_suspect_is_checked():
    # The series rule (rising cost over likelihood), for likelihoods .5 .3 .2 and costs 3 1 2: 1 + .7·3 + .2·2 = 3.5.
    prior, minutes = [0.5, 0.3, 0.2], [3, 1, 2]
    costs = {order: series_minutes(prior, minutes, order) for order in permutations(range(3))}
    assert series_order(prior, minutes) == (1, 0, 2)
    assert costs[1, 0, 2] == pytest.approx(3.5, abs=1e-9)
    assert min(costs.values()) == costs[1, 0, 2]


def test_c139_the_rule_may_lose_where_the_last_is_inferred():
    # The same: 1 + .7·3 = 3.1 by the rule, 1 + .7·2 = 2.4 in the order 2, 3, 1.
    prior, minutes = [0.5, 0.3, 0.2], [3, 1, 2]
    assert series_minutes(prior, minutes, (1, 0, 2), last_inferred=True) == pytest.approx(3.1, abs=1e-9)
    assert best_series(prior, minutes, last_inferred=True) == (1, 2, 0)
    assert series_minutes(prior, minutes, (1, 2, 0), last_inferred=True) == pytest.approx(2.4, abs=1e-9)
    # The same as a table in which each test asks for one suspect.
    assert fault_policy(prior, minutes, np.eye(3)).expected_minutes == pytest.approx(2.4, abs=1e-9)


def test_c140_one_after_the_other_against_half_split():
    # Eight equal suspects: (1 + 2 + … + 7 + 7) / 8 = 4.375 tests in turn, three by halves.
    assert series_minutes([1] * 8, [1] * 8, range(8), last_inferred=True) == pytest.approx(4.375, abs=1e-9)
    assert half_split_tests(8) == 3
    bits = [[fault >> bit & 1 for fault in range(8)] for bit in range(3)]
    assert fault_policy([1] * 8, [1] * 11, [*np.eye(8).tolist(), *bits]).expected_minutes == pytest.approx(3)
