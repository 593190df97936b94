"""What the checks of lockout ask of their inputs: words that are known, sources named once, persons named."""

from tests.solver.refusals.rules import ANY, case, one_of, sentence
from trainer.solver import energies, energy_control, lock_holders, lockout, procedures
from trainer.solver.procedures import Step

ORDER = one_of("strict", "tolerant")
WORK = (Step("work", person="Ana"),)
SOURCES = ("chain", "air")
_CHECKS = {
    lockout.lockout_check: "prepare, notify, shut_down, isolate, lock, release, verify, work, keep_verifying",
    lockout.release_check: "inspect_area, check_people, remove, notify, start",
    lockout.trial_run_check: "clear_tools, clear_people, remove, energize_and_test, reapply",
    lockout.absent_owner_check: (
        "have_written_procedure, verify_absent, try_to_reach, remove, tell_owner, owner_resumes"
    ),
    lock_holders.group_check: "lock, work, stop, unlock, start",
    lock_holders.shift_change_check: "lock, verify, work, unlock",
}
_MORE = {lock_holders.group_check: {"crews": ()}, lock_holders.shift_change_check: {"outgoing": ("Ana",)}}


def _check(call, words, steps=(), sources=SOURCES):
    return sentence(call, words, sources=sources, steps=steps, **_MORE.get(call, {}))


CASES = [
    case(lockout.lockout_check, sources=(SOURCES, ANY), steps=((), ANY), order=("strict", ORDER)),
    case(lockout.lockout_plan, sources=(SOURCES, ANY), order=("strict", ORDER)),
    case(lockout.count_orders, order=("strict", ORDER)),
]

SENTENCES = [
    *[
        _check(call, "sources is []; it must be at least one energy source, each once", sources=())
        for call in _CHECKS
    ],
    *[
        _check(
            call,
            "sources is ['air', 'air']; it must be at least one energy source, each once",
            sources=("air",) * 2,
        )
        for call in _CHECKS
    ],
    *[
        _check(call, f"act is 'dance'; it must be one of {acts}", steps=(Step("dance", person="Ana"),))
        for call, acts in _CHECKS.items()
    ],
    *[
        _check(
            call,
            "source is 'steam'; it must be one of chain, air",
            steps=(Step(acts.split(", ")[-2], "steam", "Ana"),),
        )
        for call, acts in _CHECKS.items()
    ],
    *[
        sentence(
            call,
            "comes_back is 'steam'; it must be one of chain, air",
            sources=SOURCES,
            comes_back=("steam",),
            **more,
        )
        for call, more in ((lockout.lockout_check, {"steps": ()}), (lockout.lockout_plan, {}))
    ],
    sentence(
        lockout.lockout_plan, "sources is []; it must be at least one energy source, each once", sources=()
    ),
    sentence(
        lockout.contractor_check,
        "act is 'dance'; it must be one of tell_contractor, hear_contractor, instruct_own_people, contractor_works",
        steps=(Step("dance"),),
    ),
    *[
        _check(call, "person is None; it must be the name of who does work", steps=(Step("work"),))
        for call in (lock_holders.group_check, lock_holders.shift_change_check)
    ],
    sentence(
        lock_holders.shift_change_check,
        "outgoing is []; it must be at least one person with a lock on",
        sources=SOURCES,
        outgoing=(),
        steps=(),
    ),
    sentence(
        energies.returning,
        f"kind is 'steam'; it must be one of {', '.join(energies.ENERGIES)}",
        kinds={"boiler": "steam"},
    ),
    sentence(
        energy_control.retraining_due,
        "reasons is 'bored'; it must be one of job_changed, hazard_changed, procedure_changed, "
        "inspection_found_gap, gap_believed",
        reasons=("job_changed", "bored"),
    ),
    sentence(
        procedures.procedure_check,
        "source is 'steam'; it must be one of machine",
        procedure=lockout.GIVING_BACK,
        steps=(Step("remove", "steam"),),
    ),
]
