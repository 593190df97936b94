"""In which orders energy may be locked out, given back and test-run, and which clause a wrong order breaks."""

from collections.abc import Collection, Iterator, Sequence

from trainer.solver.numbers import require_one_of
from trainer.solver.procedures import (
    CFR,
    Broken,
    Constraint,
    Plan,
    Procedure,
    Step,
    Verdict,
    count_orders_of,
    covers,
    order_faults,
    plan_of,
    procedure_check,
    require_known,
    verdict,
)

ORDERS = ("strict", "tolerant")

_DEMANDS = {
    "prepare": f"{CFR}(d)(1)",
    "notify": f"{CFR}(c)(9)",
    "shut_down": f"{CFR}(d)(2)",
    "isolate": f"{CFR}(d)(3)",
    "lock": f"{CFR}(d)(4)(i)",
    "release": f"{CFR}(d)(5)(i)",
    "verify": f"{CFR}(d)(6)",
    "work": f"{CFR}(d)",
}


def _lockout(*pairs: tuple[str, str]) -> Procedure:
    return Procedure(
        demands=_DEMANDS,
        per_source=frozenset({"isolate", "lock", "release", "verify"}),
        constraints=tuple(Constraint(first, then, _DEMANDS[first]) for first, then in pairs),
        optional=frozenset({"work"}),
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

# 29 CFR 1910.147(d)(5)(ii): where energy can come back, verifying goes on until the work is done or it no longer can.
# In an order of steps it is the act that sets this going: somebody at the gauge, a bleed that stays open.
RETURNING = Procedure(
    demands={
        "release": f"{CFR}(d)(5)(i)",
        "keep_verifying": f"{CFR}(d)(5)(ii)",
        "work": f"{CFR}(d)",
    },
    per_source=frozenset({"release", "keep_verifying"}),
    constraints=(
        Constraint("release", "keep_verifying", f"{CFR}(d)(5)(i)"),
        Constraint("keep_verifying", "work", f"{CFR}(d)(5)(ii)"),
    ),
    optional=frozenset({"release", "work"}),
)

# 29 CFR 1910.147(e)
GIVING_BACK = Procedure(
    demands={
        "inspect_area": f"{CFR}(e)(1)",
        "check_people": f"{CFR}(e)(2)(i)",
        "remove": f"{CFR}(e)(3)",
        "notify": f"{CFR}(e)(2)(ii)",
        "start": f"{CFR}(e)",
    },
    per_source=frozenset({"remove"}),
    constraints=(
        Constraint("inspect_area", "remove", f"{CFR}(e)(1)"),
        Constraint("check_people", "remove", f"{CFR}(e)(2)(i)"),
        Constraint("remove", "notify", f"{CFR}(e)(2)(ii)"),
        Constraint("notify", "start", f"{CFR}(e)(2)(ii)"),
    ),
    optional=frozenset({"start"}),
)

# 29 CFR 1910.147(f)(1)
TRIAL_RUN = Procedure(
    demands={
        "clear_tools": f"{CFR}(f)(1)(i)",
        "clear_people": f"{CFR}(f)(1)(ii)",
        "remove": f"{CFR}(f)(1)(iii)",
        "energize_and_test": f"{CFR}(f)(1)(iv)",
        "reapply": f"{CFR}(f)(1)(v)",
    },
    per_source=frozenset({"remove", "reapply"}),
    constraints=(
        Constraint("clear_tools", "clear_people", f"{CFR}(f)(1)(i)"),
        Constraint("clear_people", "remove", f"{CFR}(f)(1)(ii)"),
        Constraint("remove", "energize_and_test", f"{CFR}(f)(1)(iii)"),
        Constraint("energize_and_test", "reapply", f"{CFR}(f)(1)(v)"),
    ),
)

# 29 CFR 1910.147(e)(3), exception: the lock of somebody who is not there, under the employer's direction.
ABSENT_OWNER = Procedure(
    demands={
        "have_written_procedure": f"{CFR}(e)(3)",
        "verify_absent": f"{CFR}(e)(3)(i)",
        "try_to_reach": f"{CFR}(e)(3)(ii)",
        "remove": f"{CFR}(e)(3)",
        "tell_owner": f"{CFR}(e)(3)(iii)",
        "owner_resumes": f"{CFR}(e)(3)(iii)",
    },
    per_source=frozenset({"remove"}),
    constraints=(
        Constraint("have_written_procedure", "remove", f"{CFR}(e)(3)"),
        Constraint("verify_absent", "remove", f"{CFR}(e)(3)(i)"),
        Constraint("try_to_reach", "remove", f"{CFR}(e)(3)(ii)"),
        Constraint("remove", "tell_owner", f"{CFR}(e)(3)(iii)"),
        Constraint("tell_owner", "owner_resumes", f"{CFR}(e)(3)(iii)"),
    ),
    optional=frozenset({"tell_owner", "owner_resumes"}),
)

# 29 CFR 1910.147(f)(2): people of another firm work on the machine.
CONTRACTOR = Procedure(
    demands={
        "tell_contractor": f"{CFR}(f)(2)(i)",
        "hear_contractor": f"{CFR}(f)(2)(i)",
        "instruct_own_people": f"{CFR}(f)(2)(ii)",
        "contractor_works": f"{CFR}(f)(2)",
    },
    per_source=frozenset(),
    constraints=(
        Constraint("tell_contractor", "contractor_works", f"{CFR}(f)(2)(i)"),
        Constraint("hear_contractor", "contractor_works", f"{CFR}(f)(2)(i)"),
        Constraint("hear_contractor", "instruct_own_people", f"{CFR}(f)(2)(ii)"),
        Constraint("instruct_own_people", "contractor_works", f"{CFR}(f)(2)(ii)"),
    ),
    optional=frozenset({"contractor_works"}),
)

PROCEDURES = {
    **LOCKOUT,
    "giving_back": GIVING_BACK,
    "trial_run": TRIAL_RUN,
    "absent_owner": ABSENT_OWNER,
    "contractor": CONTRACTOR,
}


def lockout_check(
    sources: Sequence[str],
    steps: Sequence[Step],
    order: str = "strict",
    comes_back: Collection[str] = (),
) -> Verdict:
    """Whether the steps lock out these energy sources in a right order, and every constraint they break.

    sources: names of the machine's energy sources, at least one, each once
    steps: acts prepare, notify, shut_down, isolate, lock, release (stored energy), verify, keep_verifying, work, in the
        order done. isolate, lock, release, verify and keep_verifying are for one source, or for all when none is named.
        Each source has its own chain, and chains may be woven into each other. Acts may be repeated.
    order: strict (29 CFR 1910.147(d): lock, then release) or tolerant (either first, as 1910.333(b)(2) has it)
    comes_back: those sources whose energy can come back (energies.returning); each demands keep_verifying before work
    All other acts but work are demanded. Where steps name persons, whoever works must have a lock of their own on every
    source by then. Raises BadInput for an unknown act, source or order.
    Source: 29 CFR 1910.147(c)(9), (d), (f)(3)(ii)(D), 2015 edition.
    """
    require_one_of("order", order, ORDERS)
    require_known((*LOCKOUT[order].acts, "keep_verifying"), sources, steps)
    for source in comes_back:
        require_one_of("comes_back", source, tuple(sources))
    faults = [
        *order_faults(LOCKOUT[order], sources, steps),
        *(order_faults(RETURNING, tuple(comes_back), steps) if comes_back else ()),
        *_without_own_lock(sources, steps),
    ]
    return verdict(faults)


def lockout_plan(sources: Sequence[str], order: str = "strict", comes_back: Collection[str] = ()) -> Plan:
    """The steps of a lockout for these energy sources and which must come before which; inputs as lockout_check."""
    require_one_of("order", order, ORDERS)
    require_known(LOCKOUT[order].acts, sources, ())
    for source in comes_back:
        require_one_of("comes_back", source, tuple(sources))
    returning = [(RETURNING, tuple(comes_back))] if comes_back else []
    return plan_of([(LOCKOUT[order], tuple(sources)), *returning])


def release_check(sources: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for giving back: inspect_area, check_people, remove (per source), notify, start.

    Source: 29 CFR 1910.147(e), 2015 edition.
    """
    return procedure_check(GIVING_BACK, steps, sources)


def trial_run_check(sources: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for a test run: clear_tools, clear_people, remove, energize_and_test, reapply.

    Source: 29 CFR 1910.147(f)(1), 2015 edition.
    """
    return procedure_check(TRIAL_RUN, steps, sources)


def absent_owner_check(sources: Sequence[str], steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for taking off the lock of somebody who is away.

    Acts: have_written_procedure, verify_absent, try_to_reach, remove (per source), tell_owner, owner_resumes; the last
    two may lie ahead, but the owner never resumes before being told. Source: 29 CFR 1910.147(e)(3), 2015 edition.
    """
    return procedure_check(ABSENT_OWNER, steps, sources)


def contractor_check(steps: Sequence[Step]) -> Verdict:
    """As lockout_check, for work by another firm.

    Acts: tell_contractor (our procedures), hear_contractor (theirs), instruct_own_people, contractor_works.
    Source: 29 CFR 1910.147(f)(2), 2015 edition.
    """
    return procedure_check(CONTRACTOR, steps)


def _without_own_lock(sources: Sequence[str], steps: Sequence[Step]) -> Iterator[Broken]:
    """Each step of work by somebody who has no lock of their own on a source; only where locks name persons."""
    if not any(step.act == "lock" and step.person for step in steps):
        return
    for index, step in enumerate(steps):
        if step.act == "work" and step.person:
            for source in sources:
                mine = [s for s in steps[:index] if s.act == "lock" and s.person == step.person]
                if not any(covers(lock, source) for lock in mine):
                    yield Broken(index, "own_lock_before_work", f"{CFR}(f)(3)(ii)(D)", source)


def count_orders(order: str = "strict") -> int:
    """How many orders of the eight acts of a lockout, for one source, are right. Raises BadInput."""
    return count_orders_of(lockout_plan(("one",), order))
