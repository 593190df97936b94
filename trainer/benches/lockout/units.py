"""What a task demands, piece by piece: each step once, with its card, its part of the points and its clause."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from trainer.benches.lockout.cards import TRAPS, Card, cards
from trainer.benches.lockout.play import BOX
from trainer.benches.lockout.rules import AFTER_WORK, TESTING, TRYING, Fault, Told
from trainer.benches.lockout.task import FORMER, Task
from trainer.sites.said import Said
from trainer.solver.lockout import ABSENT_OWNER, GIVING_BACK, LOCKOUT, RETURNING, TRIAL_RUN
from trainer.solver.procedures import CFR, Procedure

# Act of a card -> the steps it can be; those of a test run stand in `_ON_TRIAL`.
_STEPS: Mapping[str, tuple[str, ...]] = {
    "read": ("prepare",),
    "tell": ("notify",),
    "stop": ("shut_down",),
    "keep": ("keep_verifying",),
    "try": ("try_start",),
    "off": ("controls_off",),
    "prove": ("tester_live", "tester_again"),
    "run": ("energize_and_test",),
    "tools": ("inspect_area",),
    "people": ("check_people",),
    "paper": ("have_written_procedure",),
    "away": ("verify_absent",),
    "call": ("try_to_reach",),
    "told": ("tell_owner",),
    "resume": ("owner_resumes",),
    "fetch": (),
}
_ON_TRIAL = {"tools": "clear_tools", "people": "clear_people", "remove": "take_off"}
# (check, the rule's word) -> the step's word here, where they differ.
_CALLED: Mapping[tuple[str, str], str] = {
    ("back", "notify"): "free",
    ("back", "remove"): "remove",
    ("owner", "remove"): "cut",
    ("trial", "remove"): "take_off",
    ("trial", "reapply"): "lock",
    ("shift", "unlock"): "hand_off",
    ("shift", "incoming_lock"): "lock",
    ("shift", "own_lock"): "lock",
    ("holders", "own_lock"): "lock",
    ("holders", "unlock"): "remove",
}
_AT_POINTS = frozenset({"isolate", "lock", "remove", "take_off", "hand_off"})
_AT_SOURCES = frozenset({"release", "verify", "keep_verifying"})

_PART_OF: Mapping[str, str] = {
    "prepare": "prepare", "notify": "prepare", "shut_down": "prepare", "isolate": "isolate", "lock": "lock",
    "release": "release", "keep_verifying": "release", "try_start": "verify", "controls_off": "verify",
    "tester_live": "verify", "tester_again": "verify", "verify": "verify", "work": "work",
    "clear_tools": "run", "clear_people": "run", "take_off": "run", "energize_and_test": "run",
    "box_on": "box", "box_off": "box", "hand_off": "lock", "have_written_procedure": "owner",
    "verify_absent": "owner", "try_to_reach": "owner", "cut": "owner", "tell_owner": "owner",
    "owner_resumes": "owner",
}  # fmt: skip
PARTS: Mapping[str, Said] = {
    "owner": Said("The absent owner's lock", "El candado de quien no está"),
    "run": Said("The test run", "El movimiento de prueba"),
    "prepare": Said("Prepared and stopped", "Preparado y parado"),
    "isolate": Said("Isolated", "Aislado"),
    "lock": Said("Locked and tagged", "Con candado y etiqueta"),
    "box": Said("Each their own lock on the box", "Cada quien su candado en la caja"),
    "release": Said("Stored energy out, and kept out", "Energía almacenada fuera, y que no regrese"),
    "verify": Said("Zero verified", "Cero verificado"),
    "work": Said("Work under lock", "Trabajo con candado"),
    "back": Said("Given back", "Devuelto"),
}
# Points of each part; each adds up to 100. What proves zero weighs most. Common practice, no source.
_WORTH: Mapping[str, Mapping[str, float]] = {
    "whole": {"prepare": 10, "isolate": 15, "lock": 15, "release": 15, "verify": 25, "work": 5, "back": 15},
    "locked": {"release": 25, "verify": 40, "work": 10, "back": 25},
    "group": {"box": 25, "release": 15, "verify": 30, "work": 10, "back": 20},
    "shift_change": {"lock": 35, "verify": 35, "work": 10, "back": 20},
    "test_run": {
        "run": 20, "prepare": 5, "isolate": 10, "lock": 15, "release": 10, "verify": 20, "work": 5, "back": 15,
    },
    "absent_owner": {"owner": 60, "back": 40},
}  # fmt: skip


@dataclass(frozen=True)
class Unit:
    """A step that is demanded: its word, the point, source or person it is about, its card and part."""

    step: str
    key: str
    card: str
    part: str

    @property
    def id(self) -> str:
        """By which faults and orders find it."""
        return f"{self.step}:{self.key}"


@cache
def units(task: Task) -> Mapping[str, Unit]:
    """Every step that a task demands, by its id, in a right order of its cards."""
    found = [one for card in cards(task).values() if card.id not in TRAPS for one in _of(task, card)]
    return {one.id: one for one in found}


def _of(task: Task, card: Card) -> list[Unit]:
    steps = list(_STEPS.get(card.act, (card.act,)))
    if task.variant == "test_run" and card.act in _ON_TRIAL:
        steps.append(_ON_TRIAL[card.act])
    return [Unit(step, card.key, card.id, _PART_OF.get(step, "back")) for step in steps]


def worth(task: Task) -> Mapping[str, float]:
    """Points of each part of this task."""
    if task.variant in _WORTH:
        return _WORTH[task.variant]
    return _WORTH["whole" if "read" in cards(task) else "locked"]


def unit_of(task: Task, check: str, act: str, source: str | None, person: str | None) -> str:
    """The id of the unit that a check means by one of its steps; of none that is demanded for what it alone knows."""
    step = _CALLED.get((check, act), act)
    if check == "holders" and step in ("lock", "remove") and task.variant == "group":
        return f"{'box_on' if step == 'lock' else 'box_off'}:{person or ''}"
    if check == "holders" and step == "remove" and person == FORMER:
        step = "hand_off"
    if check == "holders" and step == "start" and person:
        return "energize_and_test:"
    if step in _AT_POINTS and source is not None:
        known = {one.id: one.id for one in task.points} | {one.id: one.point for one in task.sources}
        return f"{step}:{known.get(source, BOX)}"
    return f"{step}:{source or ''}" if step in _AT_SOURCES else f"{step}:"


def earned_by(task: Task, told: Told) -> str:
    """The unit that a step which a check was told of makes; '' where the check only follows whose locks hang."""
    if told.check == "holders" and task.variant != "group":
        return ""
    return unit_of(task, told.check, told.step.act, told.step.source, told.step.person)


def named_by(task: Task, fault: Fault) -> tuple[str, str]:
    """The units that a broken constraint names: what was not there, and what came too early ('' where nothing did)."""
    rule, source = fault.broken.rule, fault.broken.source
    if fault.step is None:
        return unit_of(task, fault.check, rule.removesuffix("_missing"), source, None), ""
    first, then = rule.split("_before_")
    step = fault.step
    early = unit_of(task, fault.check, then, step.source, step.person)
    return unit_of(task, fault.check, first, source, step.person), early


_PROCEDURES: tuple[Procedure, ...] = (
    LOCKOUT["strict"], RETURNING, TRYING, TESTING, TRIAL_RUN, ABSENT_OWNER, GIVING_BACK, AFTER_WORK,
)  # fmt: skip
_OWN_LOCK = f"{CFR}(f)(3)(ii)(D)"
_ELSEWHERE = {
    "free": GIVING_BACK.demands["notify"],
    "take_off": TRIAL_RUN.demands["remove"],
    "cut": ABSENT_OWNER.demands["remove"],
    "remove": GIVING_BACK.demands["remove"],
    "box_on": _OWN_LOCK,
    "box_off": _OWN_LOCK,
    "hand_off": f"{CFR}(f)(4)",
}


def clause(unit: Unit) -> str:
    """The clause that demands a step."""
    if unit.step in _ELSEWHERE:
        return _ELSEWHERE[unit.step]
    return next(one.demands[unit.step] for one in _PROCEDURES if unit.step in one.demands)
