"""How good a person's search for a fault was: cost, what was left after each act, and the regret of each act."""

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.solver.diagnosis import Choice, FaultTable, Policy
from trainer.solver.numbers import BadInput

_ROUNDING = 1e-9  # of the expected minutes: less regret than this is none


@dataclass(frozen=True)
class Move:
    """One act of a search: a test and what it said, or (no test) isolating and verifying that."""

    test: int | None = None
    outcome: int | None = None


ISOLATE = Move()


@dataclass(frozen=True)
class ScoredMove:
    """A move with the best choice at that moment, the minutes so far, and what is known after it.

    regret: expected minutes lost against the best choice, 0 or more
    posterior: likelihood of each fault after it; possible: the faults that are still possible
    violation: a test before the isolation that it needs
    """

    move: Move
    best: Choice
    minutes: float
    regret: float
    posterior: tuple[float, ...]
    possible: tuple[int, ...]
    violation: bool


@dataclass(frozen=True)
class ScoredPath:
    """A whole search. settled: the fault is known or no test can tell more; regret: the moves' regrets together."""

    moves: tuple[ScoredMove, ...]
    minutes: float
    regret: float
    settled: bool
    possible: tuple[int, ...]

    @property
    def violations(self) -> tuple[int, ...]:
        """Places of the moves that used a test before the isolation that it needs."""
        return tuple(place for place, one in enumerate(self.moves) if one.violation)


def score_path(policy: Policy, moves: Sequence[Move]) -> ScoredPath:
    """Score a search against the best policy.

    A move that tells nothing costs its minutes. A test before the isolation that it needs is a violation; it gains
    nothing: its regret is counted as though isolating had come first. Raises BadInput for a test that is not in the
    table and for an outcome that no fault still possible can give.
    """
    table, survivors, isolated, spent = policy.table, policy.table.everything, False, 0.0
    scored: list[ScoredMove] = []
    for move in moves:
        best, regret = policy.choose(survivors, isolated), _regret(policy, survivors, isolated, move)
        violation = move.test in table.after_isolation and not isolated
        spent += table.isolation_minutes if move.test is None else table.minutes[move.test]
        survivors = _after(table, survivors, move)
        isolated = isolated or move.test is None
        posterior, possible = posterior_of(table, survivors), table.faults(survivors)
        scored.append(ScoredMove(move, best, spent, regret, posterior, possible, violation))
    return ScoredPath(
        moves=tuple(scored),
        minutes=spent,
        regret=sum(one.regret for one in scored),
        settled=not any(table.telling(survivors)) if survivors else True,
        possible=table.faults(survivors),
    )


def _regret(policy: Policy, survivors: int, isolated: bool, move: Move) -> float:
    table = policy.table
    _require_test(table, move)
    best = policy.choose(survivors, isolated).minutes
    if move.test is None:
        expected = table.isolation_minutes + policy.choose(survivors, isolated=True).minutes
    elif move.test in table.after_isolation and not isolated:
        expected = table.isolation_minutes + policy.after(survivors, move.test, isolated=True)
    else:
        expected = policy.after(survivors, move.test, isolated)
    lost = expected - best
    return lost if lost > _ROUNDING * expected else 0.0


def _require_test(table: FaultTable, move: Move) -> None:
    if move.test is not None and move.test not in range(len(table.minutes)):
        raise BadInput("test", move.test, f"a test from 0 to {len(table.minutes) - 1}")


def _after(table: FaultTable, survivors: int, move: Move) -> int:
    """What is left after a move."""
    if move.test is None:
        return survivors
    parts = table.split(survivors, move.test)
    if move.outcome not in parts:
        said = ", ".join(map(str, sorted(parts)))
        raise BadInput("outcome", move.outcome, f"one that test {move.test} can still give: {said}")
    return parts[move.outcome]


def posterior_of(table: FaultTable, survivors: int) -> tuple[float, ...]:
    """Likelihood of each fault once only these groups are left."""
    left, total = set(table.faults(survivors)), table.likelihood(survivors)
    return tuple(prior / total if fault in left else 0.0 for fault, prior in enumerate(table.prior))


def best_path(policy: Policy, fault: int) -> tuple[Move, ...]:
    """The moves of the best policy when this fault (one that can be there) is the one. Raises BadInput."""
    table, isolated = policy.table, False
    if not table.bits([fault]):
        raise BadInput("fault", fault, "a fault of likelihood above 0")
    survivors, moves = table.everything, list[Move]()
    while (choice := policy.choose(survivors, isolated)).isolate or choice.test is not None:
        move = ISOLATE if choice.test is None else Move(choice.test, table.outcomes[choice.test][fault])
        survivors, isolated = _after(table, survivors, move), isolated or choice.isolate
        moves.append(move)
    return tuple(moves)
