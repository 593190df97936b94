"""What a test tells, in bits, and what simple rules for choosing the next test cost against the best policy."""

from collections.abc import Callable, Sequence

import numpy as np

from trainer.solver.diagnosis import FaultTable
from trainer.solver.numbers import (
    BadInput,
    Floats,
    Numbers,
    require,
    require_from_zero,
    require_one_of,
    require_share,
    require_whole,
)


def entropy(weights: Sequence[float] | Floats) -> float:
    """Uncertainty of a choice between things of these weights (0 or more, not all 0; proportions count) [bit].

    Raises BadInput. Source: Shannon, A Mathematical Theory of Communication (1948), section 6.
    """
    given = require_from_zero("weights", weights).ravel()
    if not given.any():
        raise BadInput("weights", given.tolist(), "weights of which one at least is above 0")
    return float(-np.sum(_bits(given / given.sum()))) + 0.0


def information(share: Numbers) -> Numbers:
    """Bits told by a test of two outcomes when one of them has this likelihood [bit].

    share: from 0 to 1; broadcasts. Raises BadInput. Source: Shannon (1948), section 6.
    """
    one = require_share("share", share)
    return -(_bits(one) + _bits(1 - one)) + 0.0


def _bits(share: Floats) -> Numbers:
    # log2 of 1 where the share is 0: nothing times minus infinity counts as nothing.
    bits: Numbers = share * np.log2(np.where(share > 0, share, 1.0))
    return bits


def half_split_tests(parts: Numbers) -> Numbers:
    """Fewest tests of two outcomes that find one faulty part among equally likely ones: log2 of parts, rounded up.

    parts: a whole number from 1 to 2^53; broadcasts. Raises BadInput.
    Source: half-split troubleshooting; each test leaves at best half.
    """
    count = require_whole("parts", parts)
    require("parts", count, count <= 2**53, "at most 2^53")
    # The exponent of n - 1 is its number of binary digits: exact, where a logarithm may round.
    _, digits = np.frexp(count - 1)
    return digits * 1.0


def fewest_tests(faults: int, outcomes: int) -> int:
    """Fewest tests of so many outcomes (2 or more) that could tell so many faults (1 or more) apart. Raises BadInput.

    A bound: whether tests exist that reach it depends on the machine. Source: counting outcomes.
    """
    require_whole("faults", faults)
    require_whole("outcomes", outcomes, least=2)
    tests, told = 0, 1
    while told < faults:
        tests, told = tests + 1, told * outcomes
    return tests


Score = Callable[[FaultTable, int, int, float], float]


def _gain_per_minute(table: FaultTable, survivors: int, test: int, minutes: float) -> float:
    parts = table.split(survivors, test).values()
    return -entropy([table.likelihood(part) for part in parts]) / minutes


def _largest_part(table: FaultTable, survivors: int, test: int, _: float) -> float:
    return max(table.likelihood(part) for part in table.split(survivors, test).values())


def _minutes(_table: FaultTable, _survivors: int, _test: int, minutes: float) -> float:
    return minutes


def _left_with_likeliest(table: FaultTable, survivors: int, test: int, _: float) -> float:
    """How much stays possible beside the likeliest fault when that is the one."""
    weights = [w if survivors >> bit & 1 else 0.0 for bit, w in enumerate(table.weights)]
    likeliest = 1 << weights.index(max(weights))
    return next(table.likelihood(p) for p in table.split(survivors, test).values() if p & likeliest)


# Each rule takes the test of the least score; on a tie the lowest test.
RULES: dict[str, Score] = {
    "information_per_minute": _gain_per_minute,
    "half_split": _largest_part,
    "cheapest_first": _minutes,
    "likeliest_first": _left_with_likeliest,
}
_TIE = 1e-12


def rule_test(table: FaultTable, rule: str, survivors: int, isolated: bool = False) -> int | None:
    """The test that a rule takes while these groups are left, among those that tell anything; None where none does.

    rule: information_per_minute, half_split (evenest split), cheapest_first, likeliest_first (the test that leaves
        least beside the likeliest fault when it is that one). A forbidden test counts with the minutes of isolating.
    Raises BadInput.
    """
    require_one_of("rule", rule, tuple(RULES))
    chosen, least = None, np.inf
    for test in table.telling(survivors):
        score = RULES[rule](table, survivors, test, act_minutes(table, test, isolated))
        if chosen is None or score < least - _TIE * abs(least):
            chosen, least = test, score
    return chosen


def act_minutes(table: FaultTable, test: int, isolated: bool) -> float:
    """Minutes of a test with the isolating that it needs first."""
    needs = test in table.after_isolation and not isolated
    return table.minutes[test] + (table.isolation_minutes if needs else 0.0)


def rule_minutes(table: FaultTable, rule: str) -> float:
    """Expected minutes of a rule until the fault is known or no test can tell more, by walking every outcome.

    rule: as rule_test; never below best_policy(table).expected_minutes. Raises BadInput.
    """
    require_one_of("rule", rule, tuple(RULES))
    known: dict[tuple[int, bool], float] = {}

    def walk(survivors: int, isolated: bool) -> float:
        """Likelihood times expected minutes from here."""
        if (survivors, isolated) not in known:
            test, total = rule_test(table, rule, survivors, isolated), 0.0
            if test is not None:
                after = isolated or test in table.after_isolation
                total = act_minutes(table, test, isolated) * table.likelihood(survivors)
                total += sum(walk(part, after) for part in table.split(survivors, test).values())
            known[survivors, isolated] = total
        return known[survivors, isolated]

    return walk(table.everything, False) / table.likelihood(table.everything)
