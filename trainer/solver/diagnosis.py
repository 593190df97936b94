"""Which test to make next so that a fault is found in the least expected time, exactly.

One fault is present, each test always says the same under the same fault, and a test can be made at any time: faults
that come and go, tests that err and repairs between tests are outside this model.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from trainer.solver.numbers import (
    BadInput,
    Floats,
    Told,
    as_floats,
    require,
    require_above_zero,
    require_from_zero,
    shape_of,
)

MOST_FAULTS = 18
MOST_TESTS = 64
_TIE = 1e-12  # costs nearer than this share are equal: rounding must not choose the test
_DONE, _ISOLATE = -1, -2

_Whole = npt.NDArray[np.int64]


@dataclass(frozen=True)
class FaultTable:
    """Likelihood of each fault, minutes of each test, and what each test says under each fault.

    prior sums to 1. Tests in after_isolation are forbidden until isolation, which takes isolation_minutes, is verified.
    Made by fault_table, which checks it. Sets of faults are bits: bit k stands for groups[k].
    """

    prior: tuple[float, ...]
    minutes: tuple[float, ...]
    outcomes: tuple[tuple[int, ...], ...]
    after_isolation: frozenset[int]
    isolation_minutes: float

    @cached_property
    def groups(self) -> tuple[tuple[int, ...], ...]:
        """Faults that can be there, those together that no test tells apart."""
        alike: dict[tuple[int, ...], list[int]] = {}
        for fault, likelihood in enumerate(self.prior):
            if likelihood > 0:
                alike.setdefault(tuple(row[fault] for row in self.outcomes), []).append(fault)
        return tuple(tuple(faults) for faults in alike.values())

    @cached_property
    def weights(self) -> tuple[float, ...]:
        """Likelihood of each group."""
        return tuple(sum(self.prior[fault] for fault in group) for group in self.groups)

    @cached_property
    def parts(self) -> tuple[dict[int, int], ...]:
        """For each test, the groups that give each outcome."""
        found: list[dict[int, int]] = []
        for row in self.outcomes:
            sets: dict[int, int] = {}
            for bit, group in enumerate(self.groups):
                sets[row[group[0]]] = sets.get(row[group[0]], 0) | 1 << bit
            found.append(sets)
        return tuple(found)

    @property
    def everything(self) -> int:
        """All groups."""
        return (1 << len(self.groups)) - 1

    def bits(self, faults: Collection[int]) -> int:
        """The groups of these faults. Raises BadInput for a fault that is not in the table."""
        for fault in faults:
            if fault not in range(len(self.prior)):
                raise BadInput("faults", fault, f"a fault from 0 to {len(self.prior) - 1}")
        return sum(1 << bit for bit, group in enumerate(self.groups) if set(group) & set(faults))

    def faults(self, survivors: int) -> tuple[int, ...]:
        """The faults of these groups, in order."""
        return tuple(
            sorted(f for bit, group in enumerate(self.groups) if survivors >> bit & 1 for f in group)
        )

    def likelihood(self, survivors: int) -> float:
        """How likely it was beforehand that the fault is one of these groups."""
        return sum(weight for bit, weight in enumerate(self.weights) if survivors >> bit & 1)

    def split(self, survivors: int, test: int) -> dict[int, int]:
        """What is left after each outcome that is still possible."""
        return {said: left for said, part in self.parts[test].items() if (left := part & survivors)}

    def telling(self, survivors: int) -> Iterator[int]:
        """The tests that can tell some of these groups apart."""
        return (test for test in range(len(self.minutes)) if len(self.split(survivors, test)) > 1)


def fault_table(
    prior: Sequence[float] | Floats,
    minutes: Sequence[float] | Floats,
    outcomes: Sequence[Sequence[int]] | Floats,
    after_isolation: Collection[int] = (),
    isolation_minutes: float = 0.0,
) -> FaultTable:
    """A checked table of faults and tests.

    prior: likelihood of each of n faults, 0 or more, not all 0; only their proportions count. A fault of likelihood 0
        cannot be there.
    minutes: of each of m tests, finite and above 0, at most 64 tests
    outcomes: m rows of n whole numbers: what test j says under fault i
    after_isolation: tests that are forbidden until isolation is verified; isolation_minutes: of isolating, verifying
        and giving back [min], 0 or more
    Raises BadInput.
    """
    likelihoods, times = _row("prior", prior), _row("minutes", minutes)
    said = _rows(outcomes, times.size, likelihoods.size)
    require_from_zero("prior", likelihoods)
    require_above_zero("minutes", times, "min")
    require_from_zero("isolation_minutes", isolation_minutes, "min")
    total = likelihoods.sum()
    require("prior", total, np.isfinite(total) & (total > 0), "likelihoods of which one at least is above 0")
    if times.size > MOST_TESTS:
        raise BadInput("minutes", Told(f"a list of {times.size}"), f"of at most {MOST_TESTS} tests")
    for test in after_isolation:
        if test not in range(times.size):
            raise BadInput("after_isolation", test, f"tests from 0 to {times.size - 1}")
    return FaultTable(
        prior=tuple((likelihoods / total).tolist()),
        minutes=tuple(times.tolist()),
        outcomes=tuple(tuple(int(one) for one in row) for row in said),
        after_isolation=frozenset(after_isolation),
        isolation_minutes=float(isolation_minutes),
    )


def _row(name: str, values: object) -> Floats:
    row = as_floats(name, values)
    if row.ndim != 1 or not row.size:
        raise BadInput(name, shape_of(row), "a list of one number or more")
    return row


def _rows(outcomes: object, tests: int, faults: int) -> Floats:
    rows = as_floats("outcomes", outcomes)
    if rows.shape != (tests, faults):
        wanted = f"{tests} rows (one for each of minutes) of {faults} (one for each of prior)"
        raise BadInput("outcomes", shape_of(rows), wanted)
    require(
        "outcomes",
        rows,
        (np.abs(rows) < 2**53) & (rows == np.round(rows)),
        "whole numbers below 2^53 in size",
    )
    return rows


@dataclass(frozen=True)
class Choice:
    """The best thing to do next: this test, or isolate first, or neither; and the expected minutes to the end."""

    test: int | None
    isolate: bool
    minutes: float


@dataclass(frozen=True)
class Policy:
    """The best choice for every set of faults that may be left; least expected minutes from the beginning.

    cost[layer, set] is likelihood times expected minutes, act[layer, set] what to do; layer 1 is isolated.
    """

    table: FaultTable
    cost: Floats
    act: _Whole

    @property
    def expected_minutes(self) -> float:
        """Least expected minutes until the fault is known or no test can tell more."""
        return self.choose(self.table.everything).minutes

    @property
    def first_test(self) -> int | None:
        """The first test (after isolating, if that comes first); None where no test can tell anything."""
        everything = self.table.everything
        first = self.choose(everything)
        return self.choose(everything, isolated=True).test if first.isolate else first.test

    def choose(self, survivors: int, isolated: bool = False) -> Choice:
        """The best choice while these groups are left."""
        act = int(self.act[int(isolated), survivors])
        minutes = float(self.cost[int(isolated), survivors])
        likelihood = self.table.likelihood(survivors)
        return Choice(
            test=act if act >= 0 else None,
            isolate=act == _ISOLATE,
            minutes=minutes / likelihood if act != _DONE else 0.0,
        )

    def best(self, faults: Collection[int], isolated: bool = False) -> Choice:
        """The best choice while these faults are left. Raises BadInput for none, or one that is not in the table."""
        survivors = self.table.bits(faults)
        if not survivors:
            raise BadInput("faults", list(faults), "at least one fault that can be there")
        return self.choose(survivors, isolated)

    def after(self, survivors: int, test: int, isolated: bool) -> float:
        """Expected minutes to the end when this test is made next and the best follows."""
        parts = self.table.split(survivors, test).values()
        rest = sum(float(self.cost[int(isolated), part]) for part in parts)
        return self.table.minutes[test] + rest / self.table.likelihood(survivors)


def fault_policy(
    prior: Sequence[float] | Floats,
    minutes: Sequence[float] | Floats,
    outcomes: Sequence[Sequence[int]] | Floats,
    after_isolation: Collection[int] = (),
    isolation_minutes: float = 0.0,
) -> Policy:
    """The policy of least expected minutes that goes on until the fault is known or no test can tell more.

    Inputs as fault_table. At most 18 faults that can be there and that tests tell apart. Of choices that cost the same
    the lowest test is taken, and a test before isolating. Raises BadInput.
    Source: dynamic programming (Bellman 1957) over the sets of faults that may be left.
    """
    return best_policy(fault_table(prior, minutes, outcomes, after_isolation, isolation_minutes))


def best_policy(table: FaultTable) -> Policy:
    """As fault_policy, for a table that is already made. Raises BadInput."""
    n = len(table.groups)
    if n > MOST_FAULTS:
        told = Told(f"a list with {n} faults to tell apart")
        raise BadInput("prior", told, f"of at most {MOST_FAULTS} such faults")
    likelihood = _sums(table.weights)
    cost, act = np.zeros((2, 1 << n)), np.full((2, 1 << n), _DONE, dtype=np.int64)
    for sets in _by_size(n):
        isolated = _tests_cost(table, cost[1], sets, likelihood[sets])
        _settle(cost[1], act[1], sets, isolated)
        if table.after_isolation:
            live = _tests_cost(table, cost[0], sets, likelihood[sets], table.after_isolation)
            isolating = table.isolation_minutes * likelihood[sets] + cost[1, sets]
            _settle(cost[0], act[0], sets, np.vstack([live, isolating]))
    if table.after_isolation:
        act[0, act[0] == len(table.minutes)] = _ISOLATE
    else:
        cost[0], act[0] = cost[1], act[1]
    return Policy(table, cost, act)


def _sums(weights: Sequence[float]) -> Floats:
    """The sum of weights of every set of them, by its bits."""
    sums = np.zeros(1)
    for weight in weights:
        sums = np.concatenate([sums, sums + weight])
    return sums


def _by_size(n: int) -> Iterator[_Whole]:
    """The sets of two or more of n things, all of one size together, small ones first."""
    size = np.zeros(1, dtype=np.int64)
    for _ in range(n):
        size = np.concatenate([size, size + 1])
    ordered = np.argsort(size, kind="stable")
    ends = np.cumsum(np.bincount(size))
    return iter(np.split(ordered, ends[:-1])[2:])


def _tests_cost(
    table: FaultTable,
    cost: Floats,
    sets: _Whole,
    likelihood: Floats,
    forbidden: Collection[int] = (),
) -> Floats:
    """Likelihood times expected minutes of making each test next; infinite where it is forbidden or tells nothing."""
    found = np.full((len(table.minutes), sets.size), np.inf)
    for test, (minutes, parts) in enumerate(zip(table.minutes, table.parts, strict=True)):
        if test in forbidden or len(parts) < 2:
            continue
        left = sets & np.array(list(parts.values()), dtype=np.int64)[:, np.newaxis]
        total = minutes * likelihood + cost[left].sum(axis=0)
        found[test] = np.where((left == sets).any(axis=0), np.inf, total)
    return found


def _settle(cost: Floats, act: _Whole, sets: _Whole, choices: Floats) -> None:
    """Keep the least cost of each set and the lowest choice that has it.

    There always is one: groups differ in some test, so two of them can be told apart.
    """
    least = choices.min(axis=0)
    cost[sets] = least
    act[sets] = (choices <= least * (1 + _TIE)).argmax(axis=0)
