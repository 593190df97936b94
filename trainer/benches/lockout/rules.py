"""What the solver's rules of lockout say of a run: which step of which procedure each card is, and what it breaks."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from trainer.benches.lockout.play import BOX, Done, State, left_in, people, start, tester_dead
from trainer.benches.lockout.task import CREW, FORMER, MATE, ME, Task
from trainer.solver.lock_holders import Crew, group_check, shift_change_check
from trainer.solver.lockout import absent_owner_check, lockout_check, release_check, trial_run_check
from trainer.solver.procedures import CFR, Broken, Constraint, Procedure, Step, Verdict, procedure_check

TRY = "29 CFR 1910.147, Appendix A"
TEST = "29 CFR 1910.333(b)(2)(iv)"
PROOF = "29 CFR 1910.333(b)(2)(iv)(B)"

# How zero is verified: 29 CFR 1910.147(d)(6) with Appendix A. Nobody tries a start before the lock holds.
TRYING = Procedure(
    demands={"lock": f"{CFR}(d)(4)(i)", "try_start": TRY, "controls_off": TRY, "work": f"{CFR}(d)"},
    per_source=frozenset({"lock"}),
    constraints=(
        Constraint("lock", "try_start", f"{CFR}(d)(4)(i)"),
        Constraint("try_start", "controls_off", TRY),
        Constraint("controls_off", "work", TRY),
    ),
    optional=frozenset({"lock", "work"}),
)
# 29 CFR 1910.333(b)(2)(iv): controls first, then conductors; live, dead, live. It is law above 600 V and asked here
# at every voltage, as energy_control.must_prove_tester has it.
TESTING = Procedure(
    demands={
        "controls_off": TEST,
        "tester_live": PROOF,
        "verify": f"{CFR}(d)(6)",
        "tester_again": PROOF,
        "work": f"{CFR}(d)",
    },
    per_source=frozenset({"tester_live", "verify", "tester_again"}),
    constraints=(
        Constraint("controls_off", "verify", TEST),
        Constraint("tester_live", "verify", PROOF),
        Constraint("verify", "tester_again", PROOF),
        Constraint("tester_again", "work", PROOF),
    ),
    optional=frozenset({"controls_off", "verify", "work"}),
)
# 29 CFR 1910.147(e): giving back begins when the work is done.
AFTER_WORK = Procedure(
    demands=dict.fromkeys(("work", "inspect_area", "check_people", "remove"), f"{CFR}(e)"),
    per_source=frozenset({"remove"}),
    constraints=tuple(
        Constraint("work", act, f"{CFR}(e)") for act in ("inspect_area", "check_people", "remove")
    ),
    optional=frozenset({"work", "inspect_area", "check_people", "remove"}),
)

Emitted = tuple[str, Step]  # check, step


@dataclass(frozen=True)
class Fault:
    """A constraint that was broken: by which card of the run (None: one is missing), in which check.

    step: the step that came too early, as the check was told of it
    """

    at: int | None
    check: str
    broken: Broken
    step: Step | None


@dataclass(frozen=True)
class Told:
    """A step that the checks were told of, and by which card of the run; -1: before it began."""

    at: int
    check: str
    step: Step


def faults(task: Task, told: Sequence[Told]) -> tuple[Fault, ...]:
    """Every constraint that the run breaks, as the solver finds it; what is missing comes last."""
    found: dict[tuple[int | None, str, str | None], Fault] = {}
    demanded = _demanded(task)
    for name, check in _checks(task).items():
        mine = [one for one in told if one.check == name]
        if not mine and name not in demanded:
            continue
        for broken in check([one.step for one in mine]).broken:
            fault = _fault(name, broken, mine)
            if fault.at is not None or name in demanded:
                found.setdefault((fault.at, broken.rule, broken.source), fault)
    return tuple(sorted(found.values(), key=lambda one: inf if one.at is None else one.at))


def _fault(check: str, broken: Broken, told: Sequence[Told]) -> Fault:
    if broken.step is None:
        return Fault(None, check, broken, None)
    early = told[broken.step]
    return Fault(early.at, check, broken, early.step)


def _demanded(task: Task) -> frozenset[str]:
    """The checks whose missing steps count; another's lock is nobody's duty where its owner is there."""
    common = frozenset({"lockout", "trying", "testing", "after", "back", "shift", "trial"})
    return common | ({"owner"} if task.variant == "absent_owner" else set())


def _checks(task: Task) -> Mapping[str, Callable[[Sequence[Step]], Verdict]]:
    """The solver's checks that hold in this task."""
    sources, points = task.ids, tuple(point.id for point in task.points)
    if task.variant == "absent_owner":
        left = task.point(task.left).sources
        return {
            "owner": lambda steps: absent_owner_check(left, steps),
            "back": lambda steps: release_check(left, steps),
        }
    crew = Crew(CREW if task.variant == "group" else (ME, FORMER), ME)
    places = (BOX,) if task.variant == "group" else points
    found: dict[str, Callable[[Sequence[Step]], Verdict]] = {
        "trying": lambda steps: procedure_check(TRYING, steps, sources),
        "after": lambda steps: procedure_check(AFTER_WORK, steps, sources),
        "back": lambda steps: release_check(sources, steps),
        "holders": lambda steps: group_check(places, [crew], steps),
        "owner": lambda steps: absent_owner_check(sources, steps),
    }
    if task.tested:
        found["testing"] = lambda steps: procedure_check(TESTING, steps, task.tested)
    if task.variant == "test_run":
        found["trial"] = lambda steps: trial_run_check(sources, steps)
    if task.variant == "shift_change":
        found["shift"] = lambda steps: shift_change_check(sources, (FORMER,), steps)
    else:
        found["lockout"] = lambda steps: lockout_check(sources, steps, "strict", task.coming_back)
    return found


def tell(task: Task, steps: Sequence[Done]) -> list[Told]:
    """The run as the solver's checks are told of it: what came to nothing is taken out again."""
    told = [Told(-1, check, step) for check, step in _before(task)]
    known = {(one.check, one.step) for one in told}
    checks = frozenset(_checks(task))
    for at, done in enumerate(steps):
        void = _void(task, done)
        if void:
            told = [one for one in told if not (one.step.source == void and one.step.act in _UNDONE)]
            known = {(one.check, one.step) for one in told}
        for check, step in _emitted(task, done, told, checks):
            # To do again what stands breaks nothing and mends nothing; whose locks hang is followed step by step.
            followed = check in ("holders", "shift") and step.act != "verify"
            if followed or (check, step) not in known:
                told.append(Told(at, check, step))
                known.add((check, step))
    return told


_UNDONE = frozenset({"release", "verify", "tester_live", "tester_again"})


def _void(task: Task, done: Done) -> str:
    """The source whose energy came back in this step, so that releasing and verifying it count no longer."""
    if done.after.risen and not done.before.risen:
        return task.leaky
    # While hands are in, it comes back whether or not anybody looks.
    unwatched = done.card.act == "work" and task.leaky not in done.after.kept
    return task.leaky if unwatched else ""


def _before(task: Task) -> Iterator[Emitted]:
    """What was done before the task begins."""
    sources, points = task.ids, [point.id for point in task.points]
    match task.variant:
        case "absent_owner":
            return
        case "shift_change":
            yield from (("trying", Step("lock", one)) for one in sources)
            yield from (("holders", Step("lock", one, FORMER)) for one in points)
            yield from (("holders", Step(act, None, FORMER)) for act in ("work", "stop"))
            return
        case "test_run":
            yield from (("lockout", Step(act)) for act in ("prepare", "notify"))
            yield from (("holders", Step("lock", one, ME)) for one in points)
            yield from (("holders", Step(act, None, ME)) for act in ("work", "stop"))
            return
    if start(task).open:
        yield from (("lockout", Step(act)) for act in ("prepare", "notify", "shut_down", "isolate", "lock"))
        yield ("trying", Step("lock"))
        if task.variant != "group":
            yield from (("holders", Step("lock", one, ME)) for one in points)


_PLAIN: Mapping[str, tuple[Emitted, ...]] = {
    "read": (("lockout", Step("prepare")),),
    "tell": (("lockout", Step("notify")),),
    "stop": (("lockout", Step("shut_down")),),
    "try": (("trying", Step("try_start")),),
    "off": (("trying", Step("controls_off")), ("testing", Step("controls_off"))),
    "tools": (("back", Step("inspect_area")), ("after", Step("inspect_area"))),
    "people": (("back", Step("check_people")), ("after", Step("check_people"))),
    # Who starts it for the test is known, who starts it for good need not be: so the two are told apart.
    "run": (("trial", Step("energize_and_test")), ("holders", Step("start", None, ME))),
    "free": (("back", Step("notify")),),
    "start": (("back", Step("start")), ("holders", Step("start"))),
    "paper": (("owner", Step("have_written_procedure")),),
    "away": (("owner", Step("verify_absent")),),
    "call": (("owner", Step("try_to_reach")),),
    "told": (("owner", Step("tell_owner")),),
    "resume": (("owner", Step("owner_resumes")),),
    "estop": (),
    "fetch": (),
}
_AT_REST: Mapping[str, str] = {"tools": "clear_tools", "people": "clear_people"}
_LOCKING_OUT = frozenset(
    {"stop", "isolate", "lock", "release", "keep", "try", "off", "prove", "verify", "work"}
)


def _emitted(task: Task, done: Done, told: Sequence[Told], checks: Collection[str]) -> Iterable[Emitted]:
    """The steps that a card is, each of the check that it is for."""
    found = [one for one in _steps(task, done, told) if one[0] in checks]
    if task.variant == "test_run" and not done.before.ran:
        return [_on_trial(done, one) for one in found if _counts_before_the_run(done, one)]
    return found


def _counts_before_the_run(done: Done, one: Emitted) -> bool:
    """Before the test run the machine is locked out already: only clearing, unlocking and the run itself are steps."""
    return done.card.act not in _LOCKING_OUT and one[0] != "after"


def _on_trial(done: Done, one: Emitted) -> Emitted:
    """Clearing and unlocking before the test run are for it, not for giving back."""
    check, step = one
    if check != "back" or done.card.act not in ("tools", "people", "remove"):
        return one
    return "trial", Step(_AT_REST.get(done.card.act, step.act), step.source)


def _steps(task: Task, done: Done, told: Sequence[Told]) -> list[Emitted]:
    card = done.card
    if card.act in _PLAIN:
        return list(_PLAIN[card.act])
    match card.act:
        case "isolate" | "lock" | "remove":
            found = _at_point(task, card.act, card.key)
        case "release" | "keep":
            found = _let_out(task, done)
        case "verify":
            found = _verified(task, done.before, card.key)
        case "prove":
            found = _proved(task, done, told)
        case "work":
            found = _worked(task)
        case _:
            found = _others(task, done)
    return found


def _at_point(task: Task, act: str, key: str) -> list[Emitted]:
    """A card at a point is a step for each source that is held there."""
    sources = task.point(key).sources
    checks = {"isolate": ("lockout",), "lock": ("lockout", "trying"), "remove": ("after", "back")}[act]
    found = [(check, Step(act, source)) for check in checks for source in sources]
    if act == "lock":
        found += [("trial", Step("reapply", source)) for source in sources]
        found += [("shift", Step("lock", source, ME)) for source in sources]
    if act in ("lock", "remove") and task.variant != "group":
        found.append(("holders", Step("lock" if act == "lock" else "unlock", key, ME)))
    return found


def _let_out(task: Task, done: Done) -> list[Emitted]:
    key = done.card.key
    released = [("lockout", Step("release", key))]
    if done.card.act == "release":
        return released
    # Whoever opens the drain on energy that came back, and leaves it open, lets it out as well.
    back = key == task.leaky and done.before.risen
    return [*(released if back else []), ("lockout", Step("keep_verifying", key))]


def _verified(task: Task, before: State, key: str) -> list[Emitted]:
    """A look that found energy which had come back, or was made with a dead tester, verifies nothing."""
    tested = key in task.tested
    if (tested and tester_dead(task, before)) or (
        key == task.leaky and left_in(task, before, key) and before.risen
    ):
        return []
    found: list[Emitted] = [("lockout", Step("verify", key)), ("shift", Step("verify", key, ME))]
    if tested and before.proved:
        found.append(("testing", Step("tester_live", key)))
    return [*found, *([("testing", Step("verify", key))] if tested else [])]


def _proved(task: Task, done: Done, told: Sequence[Told]) -> list[Emitted]:
    """A tester that still speaks afterwards says that the zeros before were true."""
    if done.after.word != "live":
        return []
    seen = [one.step.source for one in told if one.check == "testing" and one.step.act == "verify"]
    return [("testing", Step("tester_again", source)) for source in seen if source in task.tested]


def _worked(task: Task) -> list[Emitted]:
    found: list[Emitted] = [(check, Step("work")) for check in ("lockout", "trying", "testing", "after")]
    found.append(("shift", Step("work", None, ME)))
    found += [("holders", Step("work", None, person)) for person in people(task)]
    # Alone, the work ends with its card; in a group each stops by taking the own lock off.
    stops = [] if task.variant == "group" else [("holders", Step("stop", None, ME))]
    return [*found, *stops]


def _others(task: Task, done: Done) -> list[Emitted]:
    """Steps with other people's locks."""
    key = done.card.key
    match done.card.act:
        case "box_on":
            return [("holders", Step("lock", BOX, key))]
        case "box_off":
            return [("holders", Step("stop", None, key)), ("holders", Step("unlock", BOX, key))]
        case "cut":
            left = task.point(task.left).sources
            return [(check, Step("remove", one)) for check in ("owner", "back") for one in left]
        case "hand_off":
            return _handed(task, [key])
    taken = ("owner", Step("remove"))
    if task.variant == "group":
        return [taken, ("holders", Step("stop", None, MATE)), ("holders", Step("unlock", BOX, MATE))]
    return [taken, *_handed(task, [point for point, owner in done.before.locks if owner == FORMER])]


def _handed(task: Task, points: Sequence[str]) -> list[Emitted]:
    """The locks of whoever leaves come off at these points."""
    found: list[Emitted] = [("holders", Step("unlock", point, FORMER)) for point in sorted(points)]
    return found + [("shift", Step("unlock", one, FORMER)) for p in points for one in task.point(p).sources]
