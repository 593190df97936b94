"""What a run is worth: units that were done in their place, by part, and what no points make good."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from trainer.benches.acts import Act
from trainer.benches.frame import Best, Part, Score
from trainer.benches.lockout.cards import TRAPS
from trainer.benches.lockout.orders import acts_of, right_order
from trainer.benches.lockout.play import Run, run
from trainer.benches.lockout.rules import Fault, faults, tell
from trainer.benches.lockout.task import Task
from trainer.benches.lockout.units import PARTS, earned_by, named_by, units, worth
from trainer.sites.said import Said

# Steps that must not be missing when hands go in, and looks that must not come early.
_LIFELINES = frozenset({"verify", "own_lock", "lock", "tester_again", "tester_live"})
_EARLY_LOOKS = frozenset({"release_before_verify", "tester_live_before_verify"})


@dataclass(frozen=True)
class Judged:
    """A run and what was found of it.

    done: units in the order in which they were done; lost: those that were not done, or not in their place
    traps: which of its steps no procedure has
    """

    run: Run
    faults: tuple[Fault, ...]
    done: tuple[str, ...]
    lost: frozenset[str]
    traps: tuple[int, ...]


def judge(task: Task, acts: Sequence[Act]) -> Judged:
    """What a list of acts did, and what the rules say of it."""
    played = run(task, acts)
    told = tell(task, played.steps)
    found = faults(task, told)
    done = tuple(dict.fromkeys(earned_by(task, one) for one in told if one.at >= 0))
    named = {one for fault in found for one in named_by(task, fault)}
    lost = frozenset(one for one in units(task) if one not in done or one in named)
    traps = tuple(i for i, step in enumerate(played.steps) if step.card.id in TRAPS)
    return Judged(played, found, done, lost, traps)


def score(task: Task, acts: Sequence[Act]) -> Score:
    """Points by part, and the merit: 0 less what each lost unit and each trap weighs.

    No list of acts has more merit than the best one: the merit is a sum of terms none of which is above 0, and in the
    best list, which loses no unit and lays no trap, every term is 0.
    """
    judged = judge(task, acts)
    shares = _shares(task, judged)
    parts = tuple(_part(name, points, *shares[name]) for name, points in worth(task).items())
    merit = 0.0 - sum(points * shares[name][0] / shares[name][1] for name, points in worth(task).items())
    return Score(parts, merit, _failed(judged))


@cache
def best(task: Task) -> Best:
    """A right order, as the solver's plan has it: it loses nothing. See `score` for why nothing beats it."""
    acts = acts_of(task, right_order(task))
    return Best(acts, score(task, acts))


def fatal(fault: Fault) -> bool:
    """Whether no points make it good: zero not verified, or early; hands in without a lock; another's lock taken."""
    rule = fault.broken.rule
    if fault.check == "owner":
        return rule.endswith("_before_remove")
    first = rule.removesuffix("_missing").split("_before_")[0]
    if rule.endswith(("_before_work", "_missing")):
        looked = first in ("verify", "tester_live", "tester_again")
        return looked if rule.endswith("_missing") else first in _LIFELINES
    return rule in _EARLY_LOOKS


def _shares(task: Task, judged: Judged) -> Mapping[str, tuple[int, int]]:
    """Of each part: units that are lost, of how many; each trap costs one more where it is laid."""
    count = dict.fromkeys(worth(task), 0)
    lost = dict.fromkeys(worth(task), 0)
    for one in units(task).values():
        count[one.part] += 1
        lost[one.part] += one.id in judged.lost
    lost[_trapped(task)] += len(judged.traps)
    return {name: (lost[name], count[name]) for name in count}


def _trapped(task: Task) -> str:
    """The part in which a card that no procedure has costs points."""
    return next(one for one in ("isolate", "box", "lock", *worth(task)) if one in worth(task))


def _part(name: str, points: float, lost: int, total: int) -> Part:
    good = max(0, total - lost)
    found = Said(f"{good} of {total} in place", f"{good} de {total} en su lugar")
    return Part(PARTS[name], points * good / total, points, found)


def gravest(judged: Judged) -> list[Fault]:
    """What fails the run, the gravest first: another's lock, hands in without a lock, hands in or an end unproved."""
    return sorted((fault for fault in judged.faults if fatal(fault)), key=_rank)


def _rank(fault: Fault) -> int:
    rule = fault.broken.rule
    if fault.check == "owner":
        return 0
    if rule.startswith(("own_lock", "lock")):
        return 1
    return 2 if rule.endswith("_before_work") else 3


def _failed(judged: Judged) -> Said | None:
    found = gravest(judged)
    return _WHY[_rank(found[0])] if found else None


_WHY = (
    Said(
        "Somebody else's lock came off without what the rule asks first: a written procedure, the owner known to be "
        "away, everything tried to reach them. That fails the run, whatever the points: 29 CFR 1910.147(e)(3).",
        "Se quitó el candado de otra persona sin lo que la regla pide antes: procedimiento escrito, saber que el dueño "
        "no está, intentar todo para localizarlo. Con eso no pasas, con cualquier puntaje: 29 CFR 1910.147(e)(3).",
    ),
    Said(
        "Hands went in where your own lock did not hang. That fails the run, whatever the points: "
        "29 CFR 1910.147(d)(4)(i) and (f)(3)(ii)(D).",
        "Metiste las manos donde no estaba tu propio candado. Con eso no pasas, con cualquier puntaje: "
        "29 CFR 1910.147(d)(4)(i) y (f)(3)(ii)(D).",
    ),
    Said(
        "Work began before zero was proved at every source. One verification that is missing fails the run, whatever "
        "the points: 29 CFR 1910.147(d)(6).",
        "El trabajo empezó antes de comprobar el cero en cada fuente. Una verificación que falta y no pasas, con "
        "cualquier puntaje: 29 CFR 1910.147(d)(6).",
    ),
    Said(
        "A verification is missing, or came too early to prove anything. That fails the run, whatever the points: "
        "29 CFR 1910.147(d)(6).",
        "Falta una verificación, o se hizo muy temprano y no prueba nada. Con eso no pasas, con cualquier puntaje: "
        "29 CFR 1910.147(d)(6).",
    ),
)
