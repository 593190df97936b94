"""A run: which acts count, what they cost against the best search, and what its end is worth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.benches.acts import Act
from trainer.benches.fault.faults import NEEDLESS, label, repair_label, repair_of
from trainer.benches.fault.loop_tests import TESTS
from trainer.benches.fault.task import FaultTask
from trainer.benches.frame import Best, Part, Score
from trainer.quantities.writing import write_number
from trainer.sites.said import Said
from trainer.solver.search_path import ISOLATE, Move, ScoredPath, best_path, posterior_of, score_path

SEARCH, NAME, REPAIR = 60.0, 25.0, 15.0
COMES_BACK = 60.0  # min that a wrong repair costs before the line stands again: common practice, no source
SHOCK = 600.0  # min; an open live cabinet weighs more than any search
_SHORT = 12.0  # min; a search that could be done faster is measured as if it took this long

OPENED = Said(
    "You opened the cabinet before isolation was verified. Conductors inside can kill, also with the chain "
    "stopped. 29 CFR 1910.147 and 1910.333: lock out and verify first.",
    "Abriste el tablero antes de comprobar el aislamiento. Adentro hay conductores que matan, también con "
    "la cadena parada. 29 CFR 1910.147 y 1910.333: primero bloquea y comprueba.",
)


@dataclass(frozen=True)
class Run:
    """What the acts that count amount to.

    moves: tests and isolating; opened: the test behind the cabinet door that was begun too soon, which says nothing
    named: the fault and the repair that were named
    """

    acts: tuple[Act, ...]
    moves: tuple[Move, ...]
    done: frozenset[str]
    isolated: bool
    opened: str | None
    named: tuple[str, str] | None

    @property
    def over(self) -> bool:
        """Whether nothing more can be done."""
        return self.named is not None or self.opened is not None


def run_of(task: FaultTask, acts: Sequence[Act]) -> Run:
    """The run of those acts that can be done, in order."""
    run = Run((), (), frozenset(), False, None, None)
    for act in acts:
        if run.over:
            break
        if refused(task, run, act) is None:
            run = _after(task, run, act)
    return run


def refused(task: FaultTask, run: Run, act: Act) -> Said | None:
    """Why an act cannot be done now. Opening the cabinet too soon can be done: it ends the run."""
    if run.over:
        return Said("The run is over.", "El ejercicio ya terminó.")
    if not _known(task, act):
        return Said("This cannot be done here.", "Eso no se puede hacer aquí.")
    if act.kind == "isolate" and run.isolated:
        return Said("It is locked out and verified already.", "Ya está bloqueado y comprobado.")
    if act.kind == "test" and act.values["test"] in run.done:
        return Said("You made this test: it says the same again.", "Ya hiciste esta prueba: diría lo mismo.")
    return None


def _known(task: FaultTask, act: Act) -> bool:
    values = act.values
    if act.kind == "test":
        return values.get("test") in task.tests
    if act.kind == "name":
        return values.get("fault") in task.hypotheses and values.get("repair") in repairs(task)
    return act.kind == "isolate" and task.isolation > 0


def repairs(task: FaultTask) -> tuple[str, ...]:
    """Every repair that can be named: those of the hypotheses, and one that mends none of them."""
    return tuple(dict.fromkeys([*map(repair_of, task.hypotheses), NEEDLESS]))


def _after(task: FaultTask, run: Run, act: Act) -> Run:
    acts = (*run.acts, act)
    if act.kind == "isolate":
        return Run(acts, (*run.moves, ISOLATE), run.done, True, None, None)
    if act.kind == "name":
        return Run(acts, run.moves, run.done, run.isolated, None, (act.pick("fault"), act.pick("repair")))
    test = act.pick("test")
    if TESTS[test].after_isolation and not run.isolated:
        return Run(acts, run.moves, run.done, False, test, None)
    place = task.tests.index(test)
    move = Move(place, task.code(place, task.hidden))
    return Run(acts, (*run.moves, move), run.done | {test}, run.isolated, None, None)


@dataclass(frozen=True)
class Judged:
    """A run beside the best search.

    known: what was possible before the end, by place; rest: expected minutes of the search that were still to come
    proven: whatever was left needs the same repair; so it is at the latest where no test can tell more
    """

    path: ScoredPath
    known: tuple[int, ...]
    rest: float
    proven: bool


def judge(task: FaultTask, run: Run) -> Judged:
    """What the moves of a run were worth."""
    policy = task.policy
    path = score_path(policy, run.moves)
    survivors = policy.table.bits(path.possible)
    rest = policy.choose(survivors, run.isolated).minutes
    mending = {repair_of(task.hypotheses[one]) for one in path.possible}
    return Judged(path, path.possible, rest, len(mending) == 1)


def score(task: FaultTask, acts: Sequence[Act]) -> Score:
    """Points for the search, for the name and for the repair; the merit is minutes lost, as a number below 0.

    The merit is minus a sum of losses: the regrets of the moves, each 0 or more by Bellman's equation, and what the end
    loses, 0 or more. The best search has no regret and ends proven and right, so its merit 0 is the largest there is.
    A regret is an expectation from before the outcome is known: luck adds nothing.
    """
    run = run_of(task, acts)
    judged = judge(task, run)
    merit = 0.0 - judged.path.regret - _end_loss(task, run, judged)
    return Score(
        (_search(task, judged), _name(task, run, judged), _repair(task, run, judged)),
        merit,
        OPENED if run.opened else None,
    )


def _end_loss(task: FaultTask, run: Run, judged: Judged) -> float:
    """Minutes that the end is expected to lose: above 0 for whatever is not proven and right."""
    if run.opened:
        return SHOCK
    if run.named is None:
        return COMES_BACK
    fault, repair = run.named
    if not judged.proven:
        return COMES_BACK * (1.0 - _chance(task, judged, fault))
    wrong = (not names(task, judged, fault)) + (not mends(task, judged, repair))
    return COMES_BACK * wrong


def _chance(task: FaultTask, judged: Judged, fault: str) -> float:
    """How likely the named fault's repair mends it, as far as was known."""
    table = task.policy.table
    posterior = posterior_of(table, table.bits(judged.known))
    return sum(
        chance
        for chance, one in zip(posterior, task.hypotheses, strict=True)
        if repair_of(one) == repair_of(fault)
    )


def names(task: FaultTask, judged: Judged, fault: str) -> bool:
    """Whether the fault is one of those that are left."""
    return task.hypotheses.index(fault) in judged.known


def mends(task: FaultTask, judged: Judged, repair: str) -> bool:
    """Whether the repair mends whatever is left."""
    return all(repair_of(task.hypotheses[one]) == repair for one in judged.known)


def _search(task: FaultTask, judged: Judged) -> Part:
    expected = task.policy.expected_minutes
    kept = max(0.0, 1.0 - judged.path.regret / max(expected, _SHORT))
    done = 1.0 if judged.proven else max(0.0, 1.0 - judged.rest / expected)
    lost, spent = judged.path.regret, judged.path.minutes
    found = Said(
        f"{_number(spent, 'en')} minutes spent; the choices lost {_number(lost, 'en')} minutes on average.",
        f"{_number(spent, 'es')} minutos; las decisiones perdieron {_number(lost, 'es')} minutos en promedio.",
    )
    return Part(Said("Search", "Búsqueda"), SEARCH * kept * done, SEARCH, found)


def _number(minutes: float, language: str) -> str:
    return write_number(round(minutes, 1), "es" if language == "es" else "en")


_NOT_NAMED = Said("Nothing was named.", "No se nombró nada.")
_GUESSED = Said("A guess: something else was still possible.", "Fue adivinar: todavía podía ser otra cosa.")


def _name(task: FaultTask, run: Run, judged: Judged) -> Part:
    title = Said("Fault", "Falla")
    if run.named is None:
        return Part(title, 0.0, NAME, _NOT_NAMED)
    if not judged.proven:
        return Part(title, 0.0, NAME, _GUESSED)
    fault = run.named[0]
    right = names(task, judged, fault)
    words = label(fault)
    found = (
        Said(f"Right: {words.en}.", f"Correcto: {words.es}.")
        if right
        else Said(f"The tests had ruled this out: {words.en}.", f"Las pruebas ya lo descartaban: {words.es}.")
    )
    return Part(title, NAME if right else 0.0, NAME, found)


def _repair(task: FaultTask, run: Run, judged: Judged) -> Part:
    title = Said("Repair", "Reparación")
    if run.named is None:
        return Part(title, 0.0, REPAIR, _NOT_NAMED)
    if not judged.proven:
        return Part(title, 0.0, REPAIR, _GUESSED)
    words = repair_label(run.named[1])
    right = mends(task, judged, run.named[1])
    found = (
        Said(f"Right: {words.en}.", f"Correcto: {words.es}.")
        if right
        else Said(f"This does not mend it: {words.en}.", f"Esto no lo repara: {words.es}.")
    )
    return Part(title, REPAIR if right else 0.0, REPAIR, found)


def best(task: FaultTask) -> Best:
    """The best search for what is hidden, then its name and its repair."""
    moves = best_path(task.policy, task.hidden)
    acts = [
        Act("isolate", {}) if move.test is None else Act("test", {"test": task.tests[move.test]})
        for move in moves
    ]
    judged = judge(task, run_of(task, acts))
    fault = task.hypotheses[judged.known[0]]
    acts.append(Act("name", {"fault": fault, "repair": repair_of(fault)}))
    return Best(tuple(acts), score(task, acts))


def is_over(task: FaultTask, acts: Sequence[Act]) -> bool:
    """Whether the run has ended: by a name, or by a cabinet that was opened too soon."""
    return run_of(task, acts).over
