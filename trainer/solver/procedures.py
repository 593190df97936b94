"""What a procedure is: acts that are demanded, which must come before which, and what an order of steps breaks.

A procedure is a partial order: every order that keeps each constraint is right, and a wrong one breaks named clauses.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from trainer.solver.numbers import BadInput, require_one_of

CFR = "29 CFR 1910.147"


@dataclass(frozen=True)
class Step:
    """One act of a procedure: for one energy source or, without a source, for all; who did it where that matters."""

    act: str
    source: str | None = None
    person: str | None = None


@dataclass(frozen=True)
class Constraint:
    """One act that must come before another, and the clause that says so; per source where each source has its own."""

    first: str
    then: str
    clause: str

    @property
    def rule(self) -> str:
        """Key of the rule, `first_before_then`."""
        return f"{self.first}_before_{self.then}"


@dataclass(frozen=True)
class Broken:
    """A broken constraint: index of the step that came too early (None: an act is missing), rule key, clause."""

    step: int | None
    rule: str
    clause: str
    source: str | None = None


@dataclass(frozen=True)
class Verdict:
    """Whether an order is right, and every constraint that it breaks, in the order of the steps."""

    valid: bool
    broken: tuple[Broken, ...]


@dataclass(frozen=True)
class Procedure:
    """Acts of a procedure with the clause that demands each, which of them go source by source, and their order.

    optional: acts that may still lie ahead when the steps are judged.
    """

    demands: dict[str, str]
    per_source: frozenset[str]
    constraints: tuple[Constraint, ...]
    optional: frozenset[str] = frozenset()

    @property
    def acts(self) -> tuple[str, ...]:
        """All acts, in one right order."""
        return tuple(self.demands)


def verdict(faults: Sequence[Broken]) -> Verdict:
    """The verdict on these faults: by step, what is missing last."""
    last = float("inf")
    found = sorted(faults, key=lambda fault: last if fault.step is None else fault.step)
    return Verdict(valid=not found, broken=tuple(found))


def procedure_check(
    procedure: Procedure, steps: Sequence[Step], sources: Sequence[str] = ("machine",)
) -> Verdict:
    """Whether the steps keep a procedure, and every constraint they break. Raises BadInput for an unknown word."""
    require_known(procedure.acts, sources, steps)
    return verdict(order_faults(procedure, sources, steps))


def order_faults(procedure: Procedure, sources: Sequence[str], steps: Sequence[Step]) -> list[Broken]:
    """Every constraint of a procedure that the steps break, then every demanded act that they leave out."""
    faults: dict[Broken, None] = {}
    for constraint in procedure.constraints:
        for source, seen in _chains(procedure, constraint, sources):
            faults.update(dict.fromkeys(_too_early(constraint, source, seen, steps)))
    told = {(fault.rule.split("_before_")[0], fault.source) for fault in faults}
    for act, clause in procedure.demands.items():
        for source in sources if act in procedure.per_source else [None]:
            done = any(step.act == act and covers(step, source) for step in steps)
            if not done and act not in procedure.optional and (act, source) not in told:
                faults[Broken(None, f"{act}_missing", clause, source)] = None
    return list(faults)


def _chains(
    procedure: Procedure, constraint: Constraint, sources: Sequence[str]
) -> Iterator[tuple[str | None, str | None]]:
    """The sources for which a constraint holds one by one: (source to report, source to match)."""
    if procedure.per_source & {constraint.first, constraint.then}:
        for source in sources:
            yield (source if constraint.first in procedure.per_source else None), source
    else:
        yield None, None


def _too_early(
    constraint: Constraint, reported: str | None, source: str | None, steps: Sequence[Step]
) -> Iterator[Broken]:
    """Each step of the later act that has no step of the earlier act before it."""
    ready = False
    for index, step in enumerate(steps):
        if step.act == constraint.then and covers(step, source) and not ready:
            yield Broken(index, constraint.rule, constraint.clause, reported)
        ready = ready or (step.act == constraint.first and covers(step, source))


def covers(step: Step, source: str | None) -> bool:
    """Whether a step is about a source; a step or a question without a source is about all."""
    return source is None or step.source is None or step.source == source


def require_known(acts: tuple[str, ...], sources: Sequence[str], steps: Sequence[Step]) -> None:
    """Refuse sources that are none or named twice, and steps whose act or source is not known."""
    if not sources or len(set(sources)) != len(sources):
        raise BadInput("sources", list(sources), "at least one energy source, each once")
    for step in steps:
        require_one_of("act", step.act, acts)
        if step.source is not None:
            require_one_of("source", step.source, tuple(sources))


def right_orders(procedure: Procedure) -> Iterator[tuple[str, ...]]:
    """Every order of a procedure's acts, for one energy source, that keeps all constraints."""
    for order in orders(plan_of([(procedure, ("one",))])):
        yield tuple(step.act for step in order)


@dataclass(frozen=True)
class Plan:
    """A procedure laid out for a machine: one step per act and source, and the steps that must come before each.

    edges: (index of the step that comes first, of the later step, clause)
    """

    steps: tuple[Step, ...]
    edges: tuple[tuple[int, int, str], ...]

    def ready(self, done: Collection[int]) -> list[int]:
        """The steps that may be taken next, by index."""
        waiting = {then for first, then, _ in self.edges if first not in done}
        return [index for index in range(len(self.steps)) if index not in done and index not in waiting]


def plan_of(parts: Sequence[tuple[Procedure, Sequence[str]]]) -> Plan:
    """One plan of several procedures, each with the energy sources that it is about; equal acts are one step."""
    steps: dict[Step, int] = {}
    edges: dict[tuple[int, int, str], None] = {}
    for procedure, sources in parts:
        for act in procedure.acts:
            for step in _laid_out(procedure, act, sources):
                steps.setdefault(step, len(steps))
        for constraint in procedure.constraints:
            for first in _laid_out(procedure, constraint.first, sources):
                for then in _laid_out(procedure, constraint.then, sources):
                    if None in (first.source, then.source) or first.source == then.source:
                        edges[steps[first], steps[then], constraint.clause] = None
    return Plan(tuple(steps), tuple(edges))


def _laid_out(procedure: Procedure, act: str, sources: Sequence[str]) -> list[Step]:
    return [Step(act, source) for source in sources] if act in procedure.per_source else [Step(act)]


def orders(plan: Plan, done: tuple[int, ...] = ()) -> Iterator[tuple[Step, ...]]:
    """Every right order of a plan; they soon become very many."""
    if len(done) == len(plan.steps):
        yield tuple(plan.steps[index] for index in done)
    for index in plan.ready(done):
        yield from orders(plan, (*done, index))


def count_orders_of(plan: Plan) -> int:
    """How many right orders a plan has, counted over the sets of steps that may be done at one moment."""

    @cache
    def ways(done: frozenset[int]) -> int:
        if len(done) == len(plan.steps):
            return 1
        return sum(ways(done | {index}) for index in plan.ready(done))

    return ways(frozenset())
