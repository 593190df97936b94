"""In which orders energy may be locked out, given back and test-run, and which clause a wrong order breaks.

A procedure is a partial order over acts for the site's energy sources: every order that keeps each constraint is right.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from trainer.solver.numbers import BadInput, require_one_of

ORDERS = ("strict", "tolerant")
_CFR = "29 CFR 1910.147"


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
    """Acts of a procedure with the clause that demands each, which of them go source by source, and their order."""

    demands: dict[str, str]
    per_source: frozenset[str]
    constraints: tuple[Constraint, ...]

    @property
    def acts(self) -> tuple[str, ...]:
        """All acts, in one right order."""
        return tuple(self.demands)


_DEMANDS = {
    "prepare": f"{_CFR}(d)(1)",
    "notify": f"{_CFR}(c)(9)",
    "shut_down": f"{_CFR}(d)(2)",
    "isolate": f"{_CFR}(d)(3)",
    "lock": f"{_CFR}(d)(4)(i)",
    "release": f"{_CFR}(d)(5)(i)",
    "verify": f"{_CFR}(d)(6)",
    "work": f"{_CFR}(d)",
}


def _lockout(*pairs: tuple[str, str]) -> Procedure:
    return Procedure(
        demands=_DEMANDS,
        per_source=frozenset({"isolate", "lock", "release", "verify"}),
        constraints=tuple(Constraint(first, then, _DEMANDS[first]) for first, then in pairs),
    )


_BEFORE_MIDDLE = (("prepare", "shut_down"), ("shut_down", "isolate"), ("isolate", "lock"), ("notify", "lock"))
LOCKOUT = {
    # 29 CFR 1910.147(d), "in the following sequence", and (c)(9).
    "strict": _lockout(*_BEFORE_MIDDLE, ("lock", "release"), ("release", "verify"), ("verify", "work")),
    # 1910.333(b)(2) releases stored energy before it locks; this order leaves the two free.
    "tolerant": _lockout(
        *_BEFORE_MIDDLE,
        ("isolate", "release"),
        ("lock", "verify"),
        ("release", "verify"),
        ("verify", "work"),
    ),
}

# 29 CFR 1910.147(e)
GIVING_BACK = Procedure(
    demands={
        "inspect_area": f"{_CFR}(e)(1)",
        "check_people": f"{_CFR}(e)(2)(i)",
        "remove": f"{_CFR}(e)(3)",
        "notify": f"{_CFR}(e)(2)(ii)",
        "start": f"{_CFR}(e)",
    },
    per_source=frozenset({"remove"}),
    constraints=(
        Constraint("inspect_area", "remove", f"{_CFR}(e)(1)"),
        Constraint("check_people", "remove", f"{_CFR}(e)(2)(i)"),
        Constraint("remove", "notify", f"{_CFR}(e)(2)(ii)"),
        Constraint("notify", "start", f"{_CFR}(e)(2)(ii)"),
    ),
)

# 29 CFR 1910.147(f)(1)
TRIAL_RUN = Procedure(
    demands={
        "clear_tools": f"{_CFR}(f)(1)(i)",
        "clear_people": f"{_CFR}(f)(1)(ii)",
        "remove": f"{_CFR}(f)(1)(iii)",
        "energize_and_test": f"{_CFR}(f)(1)(iv)",
        "reapply": f"{_CFR}(f)(1)(v)",
    },
    per_source=frozenset({"remove", "reapply"}),
    constraints=(
        Constraint("clear_tools", "clear_people", f"{_CFR}(f)(1)(i)"),
        Constraint("clear_people", "remove", f"{_CFR}(f)(1)(ii)"),
        Constraint("remove", "energize_and_test", f"{_CFR}(f)(1)(iii)"),
        Constraint("energize_and_test", "reapply", f"{_CFR}(f)(1)(v)"),
    ),
)


def lockout_check(sources: Sequence[str], steps: Sequence[Step], order: str = "strict") -> Verdict:
    """Whether the steps lock out these energy sources in a right order, and every constraint they break.

    sources: names of the machine's energy sources, at least one, each once
    steps: acts prepare, notify, shut_down, isolate, lock, release (stored energy), verify, work, in the order done.
        isolate, lock, release and verify are for one source, or for all when none is named. Each source has its own
        chain, and chains may be woven into each other. Acts may be repeated.
    order: strict (29 CFR 1910.147(d): lock, then release) or tolerant (either first, as 1910.333(b)(2) has it)
    All acts but work are demanded. Where steps name persons, whoever works must have a lock of their own on every
    source by then. Raises BadInput for an unknown act, source or order.
    Source: 29 CFR 1910.147(c)(9), (d), (f)(3)(ii)(D), 2015 edition.
    """
    require_one_of("order", order, ORDERS)
    faults = [
        *order_faults(LOCKOUT[order], sources, steps, optional={"work"}),
        *_without_own_lock(sources, steps),
    ]
    return _verdict(faults)


def release_check(sources: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for giving back: inspect_area, check_people, remove (per source), notify, start.

    Source: 29 CFR 1910.147(e), 2015 edition.
    """
    return _verdict(order_faults(GIVING_BACK, sources, steps, optional={"start"}))


def trial_run_check(sources: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for a test run: clear_tools, clear_people, remove, energize_and_test, reapply.

    Source: 29 CFR 1910.147(f)(1), 2015 edition.
    """
    return _verdict(order_faults(TRIAL_RUN, sources, steps, optional=set()))


def _verdict(faults: Sequence[Broken]) -> Verdict:
    last = float("inf")
    found = sorted(faults, key=lambda fault: last if fault.step is None else fault.step)
    return Verdict(valid=not found, broken=tuple(found))


def order_faults(
    procedure: Procedure, sources: Sequence[str], steps: Sequence[Step], optional: set[str]
) -> list[Broken]:
    """Every constraint of a procedure that the steps break, then every demanded act that they leave out."""
    _require_known(procedure, sources, steps)
    faults: dict[Broken, None] = {}
    for constraint in procedure.constraints:
        for source, seen in _chains(procedure, constraint, sources):
            faults.update(dict.fromkeys(_too_early(constraint, source, seen, steps)))
    told = {(fault.rule.split("_before_")[0], fault.source) for fault in faults}
    for act, clause in procedure.demands.items():
        for source in sources if act in procedure.per_source else [None]:
            done = any(step.act == act and _covers(step, source) for step in steps)
            if not done and act not in optional and (act, source) not in told:
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
        if step.act == constraint.then and _covers(step, source) and not ready:
            yield Broken(index, constraint.rule, constraint.clause, reported)
        ready = ready or (step.act == constraint.first and _covers(step, source))


def _covers(step: Step, source: str | None) -> bool:
    """Whether a step is about a source; a step or a question without a source is about all."""
    return source is None or step.source is None or step.source == source


def _without_own_lock(sources: Sequence[str], steps: Sequence[Step]) -> Iterator[Broken]:
    """Each step of work by somebody who has no lock of their own on a source; only where locks name persons."""
    if not any(step.act == "lock" and step.person for step in steps):
        return
    for index, step in enumerate(steps):
        if step.act == "work" and step.person:
            for source in sources:
                mine = [s for s in steps[:index] if s.act == "lock" and s.person == step.person]
                if not any(_covers(lock, source) for lock in mine):
                    yield Broken(index, "own_lock_before_work", f"{_CFR}(f)(3)(ii)(D)", source)


def _require_known(procedure: Procedure, sources: Sequence[str], steps: Sequence[Step]) -> None:
    if not sources or len(set(sources)) != len(sources):
        raise BadInput("sources", list(sources), "at least one energy source, each once")
    for step in steps:
        require_one_of("act", step.act, procedure.acts)
        if step.source is not None:
            require_one_of("source", step.source, tuple(sources))


def right_orders(procedure: Procedure) -> Iterator[tuple[str, ...]]:
    """Every order of a procedure's acts, for one energy source, that keeps all constraints."""
    yield from _extend((), frozenset(procedure.acts), procedure)


def _extend(done: tuple[str, ...], left: frozenset[str], procedure: Procedure) -> Iterator[tuple[str, ...]]:
    if not left:
        yield done
    for act in procedure.acts:
        needs = {c.first for c in procedure.constraints if c.then == act}
        if act in left and not needs & left:
            yield from _extend((*done, act), left - {act}, procedure)


@cache
def count_orders(order: str = "strict") -> int:
    """How many orders of the eight acts of a lockout, for one source, are right. Raises BadInput."""
    require_one_of("order", order, ORDERS)
    return sum(1 for _ in right_orders(LOCKOUT[order]))
