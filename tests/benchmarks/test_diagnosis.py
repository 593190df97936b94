"""The best policy over all sets of faults at once, against plain Python that recurses and remembers."""

from functools import cache
from time import perf_counter

import numpy as np
import pytest

from tests.benchmarks.paired import paired
from trainer.solver.diagnosis import best_policy, fault_table


def random_table(faults, tests, outcomes, number):
    rng = np.random.default_rng(number)
    return fault_table(
        rng.random(faults), rng.integers(1, 30, tests), rng.integers(0, outcomes, (tests, faults))
    )


def plain(table):
    """The same least expected minutes, as one would write it down: remembered recursion over sets of faults."""

    @cache
    def least(faults):
        found = []
        for minutes, row in zip(table.minutes, table.outcomes, strict=True):
            parts = {}
            for fault in faults:
                parts.setdefault(row[fault], []).append(fault)
            if len(parts) > 1:
                here = minutes * sum(table.prior[fault] for fault in faults)
                found.append(here + sum(least(tuple(part)) for part in parts.values()))
        return min(found, default=0.0)

    return least(tuple(range(len(table.prior))))


def test_thirteen_faults_against_plain_recursion():
    small = [random_table(13, 20, 2, number) for number in range(5)]
    for table in small:
        assert best_policy(table).expected_minutes == pytest.approx(plain(table))
    found = paired(lambda i: best_policy(small[i % 5]), lambda i: plain(small[i % 5]), rounds=5, calls=2)
    found.say("13 faults x 20 tests against remembered recursion")
    assert found.ratio < 0.5  # 0.2 on a quiet machine


@pytest.mark.parametrize("outcomes", [2, 4, 8])
def test_time_of_sixteen_faults_and_twenty_tests(outcomes):
    table = random_table(16, 20, outcomes, 7)
    start = perf_counter()
    policy = best_policy(table)
    print(f"\n16 faults x 20 tests, {outcomes} outcomes each: {perf_counter() - start:.3f} s")
    assert policy.expected_minutes > 0
